//! Standards and rules: the lists, or one of them; sites that are invented.

use super::args::{Format, InventArgs, RulesArgs, StandardsArgs};
use super::{Answer, Wrong, input};
use crate::page::text::{print_rules, print_standard, print_standards};
use crate::standards::{find, library};
use crate::wire::{invent, lists};

pub(super) fn standards(args: &StandardsArgs) -> Result<Answer, Wrong> {
    let text = match (&args.id, args.format) {
        (None, Format::Text) => print_standards(),
        (None, Format::Json) => lists::standards(),
        (Some(id), format) => {
            let known = || library().iter().map(|s| s.id.as_str());
            let standard =
                find(id).ok_or_else(|| input::unknown("standards", "standard", id, known()))?;
            match format {
                Format::Text => print_standard(&standard),
                Format::Json => lists::standard(&standard),
            }
        }
    };
    Ok(Answer::plain(text))
}

pub(super) fn rules(args: &RulesArgs) -> Answer {
    Answer::plain(match args.format {
        Format::Text => print_rules(),
        Format::Json => lists::rules(),
    })
}

/// Most children in one invented room.
const MOST_IN_A_ROOM: usize = 24;

pub(super) fn invent(args: &InventArgs) -> Result<Answer, Wrong> {
    let (rooms, children) = (usize::from(args.rooms), usize::from(args.children));
    if children > rooms * MOST_IN_A_ROOM {
        let cause = format!("--children: {children} are more than {rooms} rooms hold");
        let enough = children.div_ceil(MOST_IN_A_ROOM);
        return Err(Wrong::one(format!("{cause}; add --rooms {enough}")));
    }
    let invent = if args.awkward { invent::awkward } else { invent::invent };
    let text = invent(rooms, children, usize::from(args.adults), args.seed);
    Ok(Answer { to: args.out.clone(), ..Answer::plain(text) })
}
