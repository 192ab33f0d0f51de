//! Which staff break was missed, or is to be at another time, where nobody said.

use crate::chart::{Chart, Place};
use crate::day::{Day, Happening, HappeningFault};
use crate::site::{AdultIndex, BreakDue, Minute};

/// Says which staff break was missed where nobody did: the last one of the chart that has begun.
pub(super) fn which_breaks(
    day: &Day,
    posted: &Chart,
    at: Minute,
    happenings: &[Happening],
) -> Result<Vec<Happening>, Vec<HappeningFault>> {
    let mut faults = Vec::new();
    let said = happenings.iter().enumerate().map(|(about, what)| {
        if let Happening::BreakAt { adult, due, from } = *what {
            let next = breaks(posted, adult).filter(|b| b.1 >= at).min_by_key(|b| b.1);
            let missed = |h: &Happening| matches!(h, Happening::MissedBreak { adult: who, .. } if *who == adult);
            let told_anew = happenings.iter().any(missed);
            let due = due.or(next.map(|b| b.0)).or_else(|| {
                // None is to come: it was missed on the chart as well, or has been had.
                let begun = begun_breaks(posted, adult, at).filter(|_| !told_anew);
                begun.filter(|_| !lacks_a_break(day, posted, adult, at))
            });
            // One that goes on may be broken off and had at another time.
            if due.is_some_and(|d| is_over(posted, adult, d, at)) {
                faults.push(HappeningFault {
                    about,
                    cause: format!("that staff break was had before {at}"),
                    mend: "leave it out, or say that it was missed".into(),
                });
            }
            return Happening::BreakAt { adult, due, from };
        }
        let Happening::MissedBreak { adult, due } = *what else { return what.clone() };
        let begun = begun_breaks(posted, adult, at);
        let posted_later =
            due.is_some_and(|d| posted_at(posted, adult, d).is_some_and(|from| from >= at));
        if posted_later || (due.is_none() && begun.is_none() && has_breaks(posted, adult)) {
            faults.push(HappeningFault {
                about,
                cause: format!("that staff break is not on the chart before {at}"),
                mend: "leave it out: it is still to come".into(),
            });
        }
        Happening::MissedBreak { adult, due: due.or(begun) }
    });
    let said = said.collect();
    if faults.is_empty() { Ok(said) } else { Err(faults) }
}

fn breaks(posted: &Chart, adult: AdultIndex) -> impl Iterator<Item = (usize, Minute)> {
    let posts = posted.adult(adult).map_or(&[][..], |d| &d.posts);
    posts.iter().filter_map(|p| match p.at {
        Place::StaffBreak(due) => Some((due, p.span.from)),
        _ => None,
    })
}

/// Whether a staff break that can still be had is not on the chart at all.
fn lacks_a_break(day: &Day, posted: &Chart, adult: AdultIndex, at: Minute) -> bool {
    let due = day.site.adults.get(adult.0).map_or(&[][..], |a| &a.breaks);
    let is_lacking =
        |(n, b): (usize, &BreakDue)| b.window.to > at && posted_at(posted, adult, n).is_none();
    due.iter().enumerate().any(is_lacking)
}

fn has_breaks(posted: &Chart, adult: AdultIndex) -> bool {
    breaks(posted, adult).next().is_some()
}

fn begun_breaks(posted: &Chart, adult: AdultIndex, at: Minute) -> Option<usize> {
    breaks(posted, adult).filter(|b| b.1 < at).max_by_key(|b| b.1).map(|b| b.0)
}

fn is_over(posted: &Chart, adult: AdultIndex, due: usize, at: Minute) -> bool {
    let posts = posted.adult(adult).map_or(&[][..], |d| &d.posts);
    let had = posts.iter().filter(|p| p.at == Place::StaffBreak(due)).map(|p| p.span.to);
    had.max().is_some_and(|to| to <= at)
}

fn posted_at(posted: &Chart, adult: AdultIndex, due: usize) -> Option<Minute> {
    breaks(posted, adult).filter(|b| b.0 == due).map(|b| b.1).min()
}
