//! Standards: the list, or one of them; sites that are invented.

use super::args::InventArgs;
use super::{Answer, Wrong, input};
use crate::page::text::{print_standard, print_standards};
use crate::standards::{find, library};
use crate::wire::invent;

pub(super) fn standards(id: Option<&str>) -> Result<Answer, Wrong> {
    let Some(id) = id else { return Ok(Answer::plain(print_standards())) };
    match find(id) {
        Some(standard) => Ok(Answer::plain(print_standard(&standard))),
        None => {
            let known = library().iter().map(|s| s.id.as_str());
            Err(input::unknown("standards", "standard", id, known))
        }
    }
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
    Ok(Answer { before: Vec::new(), text, to: args.out.clone(), exit: 0 })
}
