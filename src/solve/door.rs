//! Who can be spared for the door while children come and go.

use super::demand::{Duties, adults_wanted, demands};
use crate::chart::{BlockKind, Chart};
use crate::day::Day;
use crate::site::{Minute, SpaceIndex, Span};

/// Shorter than this nobody is sent to the door and back.
const SHORTEST: u16 = 10;

/// The stretches of arrival and going home in which an adult is free for the door and children are
/// still due (or still to be fetched). A plan without anyone at the door is no breach: who watches
/// the room then opens it.
#[must_use]
pub fn at_the_door(day: &Day, chart: &Chart, duties: &Duties) -> Vec<(SpaceIndex, Span)> {
    let home = day.site[day.room].home;
    let demands = demands(day, chart, duties);
    let mut doors = Vec::new();
    for block in &chart.blocks {
        let due = match block.kind {
            BlockKind::Arrival => {
                edges(day, block.span, |s| s.from).max().map(|to| (block.span.from, to))
            }
            BlockKind::GoingHome => {
                edges(day, block.span, |s| s.to).min().map(|at| (at.earlier(15), block.span.to))
            }
            _ => None,
        };
        let Some(due) = due.and_then(|(from, to)| Span::new(from.max(block.span.from), to)) else {
            continue;
        };
        let mut run: Option<Span> = None;
        for demand in demands.iter().filter(|d| due.holds(d.span)) {
            let spare = demand.counted_on_hand + demand.others_on_hand > adults_wanted(demand);
            run = match (run, spare) {
                (Some(open), true) => Some(Span { from: open.from, to: demand.span.to }),
                (None, true) => Some(demand.span),
                (Some(open), false) => {
                    doors.push((home, open));
                    None
                }
                (None, false) => None,
            };
        }
        doors.extend(run.map(|open| (home, open)));
    }
    doors.retain(|(_, span)| span.minutes() >= SHORTEST);
    doors
}

fn edges<'a>(
    day: &'a Day,
    within: Span,
    edge: impl Fn(&Span) -> Minute + 'a,
) -> impl Iterator<Item = Minute> + 'a {
    let spans = day.children.iter().flat_map(|(_, here)| here);
    spans.map(edge).filter(move |&m| within.from <= m && m <= within.to)
}
