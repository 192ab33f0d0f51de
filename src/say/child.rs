//! What a child does who is not where the group is, and why.

use super::{counted, list};
use crate::chart::Apart;
use crate::site::{MealKind, Minute, Span};

/// Asleep.
pub const ASLEEP: &str = "asleep";

/// A meal at a table.
pub fn eats(meal: MealKind, table: &str) -> String {
    super::adult::at_table(Some(super::block::meal(meal)), Some(table))
}

/// Something, and why.
pub fn because(what: &str, why: &str) -> String {
    format!("{what} ({why})")
}

/// Why a child is not where the group is; `barred`: why the group's place is not for it.
pub fn why(apart: Apart, meal: Option<MealKind>, barred: impl Fn() -> String) -> String {
    match apart {
        Apart::Barred => barred(),
        Apart::Sleep => "own sleep time".into(),
        Apart::Care => "being changed".into(),
        Apart::Food if meal == Some(MealKind::Breakfast) => "breakfasts here".into(),
        Apart::Food => "eats at another time".into(),
        Apart::Kept => "as you asked".into(),
        Apart::OwnAdult => "with the own adult".into(),
    }
}

/// What speaks against a station for one child.
pub enum NotFor<'a> {
    /// What is in its materials that the child is allergic to.
    Has(&'a [&'a str]),
    /// What is in them of which that is not known.
    Ask(&'a [&'a str]),
    /// It is for older children.
    From(u32),
    /// It is for younger children.
    Younger,
    /// The child's own facts.
    Facts,
}

/// The group's station, and why it is not for the child.
pub fn group_is_at(station: &str, why: NotFor<'_>) -> String {
    let why = match why {
        NotFor::Has(what) => format!("has {} in it", list(what)),
        NotFor::Ask(what) => format!("has {} in it: ask first what that is", list(what)),
        NotFor::From(months) => {
            format!("is for children from {}", counted(months as usize, "month", "months"))
        }
        NotFor::Younger => "is for younger children".into(),
        NotFor::Facts => "is not for this child".into(),
    };
    format!("the group is at {station}, which {why}")
}

/// The group is at no station, and it is not for the child all the same.
pub const GROUP_ELSEWHERE: &str = "what the group does is not for this child";

/// When a child is asleep in the rest.
pub fn asleep(spans: &[Span]) -> String {
    super::clocks(spans)
}

/// Lying or sitting quietly in the rest, not asleep.
pub fn lies_until(until: Minute, goes_home: bool) -> String {
    let picked_up = if goes_home { " (picked up)" } else { "" };
    format!("quiet to {until}{picked_up}")
}

/// Who at what time.
pub fn at(time: &str, who: &str) -> String {
    format!("{time} {who}")
}

/// What holds for whom.
pub fn people(what: &str, who: &str) -> String {
    format!("{what}: {who}")
}
