//! Adults whose own post leaves them no hand for the other children of a space.

use super::Elsewhere;
use super::pieces::Piece;
use super::slices::counted_children;
use crate::chart::{Place, Post};
use crate::day::Day;
use crate::planner::list;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex};

/// Whether a post ties its adult: to one child, to a station, to the changing place, to the door, to
/// a task, or to a staff break. Whoever has one is not free for children who are elsewhere, also
/// where the ratio counts them.
pub(super) fn ties(post: &Post) -> bool {
    let at = matches!(
        post.at,
        Place::Station(_) | Place::Care | Place::Door | Place::Task(_) | Place::StaffBreak(_)
    );
    at || post.for_child.is_some()
}

/// Counted adults of a space who are tied to a post other than a station that was asked for, with
/// the children who are at it with them; `here` are those who are told at their station already.
pub(super) fn elsewhere(
    day: &Day,
    piece: &Piece,
    space: SpaceIndex,
    here: &[AdultIndex],
) -> Vec<Elsewhere> {
    let counted = piece.counted(day, Some(space));
    let tied = piece.adults.iter().filter(|(a, p)| counted.contains(a) && ties(p));
    tied.filter(|(a, _)| !here.contains(a))
        .map(|(adult, post)| {
            let with = |at: Place| matches!(at, Place::Station(_) | Place::Care) && at == post.at;
            let there = piece.children_in(space).filter(|(_, s)| with(s.at));
            let children: Vec<ChildIndex> = there.map(|(c, _)| *c).collect();
            let company = match children.len() {
                0 => String::new(),
                n => format!(" with {}", counted_children(n as u32)),
            };
            let label = &day.site[*adult].label;
            let words = format!("{label} at {}{company}", place(day, post.at));
            Elsewhere { adult: *adult, at: post.at, children, words }
        })
        .collect()
}

/// `Deniz is at Dough and Oona is at the changing place`.
pub(super) fn told(day: &Day, who: &[(AdultIndex, Place)]) -> String {
    let one = |(adult, at): &(AdultIndex, Place)| {
        let label = day.site.adults.get(adult.0).map_or("another adult", |a| a.label.as_str());
        match at {
            Place::StaffBreak(_) => format!("{label} is on a staff break"),
            at => format!("{label} is at {}", place(day, *at)),
        }
    };
    list(&who.iter().map(one).collect::<Vec<_>>())
}

fn place(day: &Day, at: Place) -> String {
    match at {
        Place::Station(s) => day.station(s).label.clone(),
        Place::Care => "the changing place".into(),
        Place::Door => "the door".into(),
        Place::Task(_) => "a task".into(),
        _ => "a post beside one child".into(),
    }
}
