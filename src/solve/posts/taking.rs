//! Which of a slice's spots each adult can take.

use super::cost::{Crowd, only};
use super::slice::{Slice, Spot};
use crate::chart::Place;
use crate::day::Day;
use crate::site::people::NotTaken;
use crate::site::{AdultIndex, ChildIndex, Mess};
use crate::solve::demand::Duties;

impl Slice {
    /// Adds what each adult can take: fixed on a staff break, nothing while off shift.
    pub(super) fn take(&mut self, day: &Day, duties: &Duties) {
        let minute = self.span.from;
        let home = day.site[day.room].home;
        if self.spaces.is_empty() {
            self.wait_in(day, home);
        }
        for (who, spans) in &day.adults {
            if !spans.iter().any(|s| s.contains(minute)) {
                self.takes.push(Vec::new());
                continue;
            }
            let on_break = (0..duties.breaks.len())
                .filter(|&i| duties.breaks[i].0 == *who)
                .find(|&i| duties.break_span(day, i).is_some_and(|s| s.contains(minute)));
            let held = duties.held.iter().find(|h| h.0 == *who && h.2.contains(minute));
            let away = on_break.map(|at| Place::StaffBreak(duties.breaks[at].1));
            if let Some(at) = held.map(|h| Place::Task(h.1)).or(away) {
                let spot = self.spot(home, at, None);
                let facts = &mut self.spots[spot];
                (facts.company, facts.load) = (None, None);
                (facts.active, facts.counts, facts.excused) = (false, false, true);
                self.takes.push(vec![as_spot(spot)]);
                continue;
            }
            let takes = |s: &Spot| {
                !matches!(s.at, Place::StaffBreak(_))
                    && does_take(day, *who, s)
                    && s.for_child.is_none_or(|c| stands_by(day, *who, c).is_some())
            };
            let mut can: Vec<u8> =
                (0..self.spots.len()).filter(|&i| takes(&self.spots[i])).map(as_spot).collect();
            if can.is_empty() {
                can.push(as_spot(self.wait_in(day, home)));
            }
            self.takes.push(can);
        }
    }
}

fn as_spot(position: usize) -> u8 {
    u8::try_from(position).unwrap_or(0)
}

/// Whether an adult takes such posts at all.
fn does_take(day: &Day, who: AdultIndex, spot: &Spot) -> bool {
    day.site[who].posts_not_taken.iter().all(|not| match not {
        NotTaken::Care => spot.at != Place::Care,
        NotTaken::Outdoors => spot.at != Place::Outdoors && !day.site[spot.space].outdoors,
        NotTaken::Movement => spot.at != Place::Movement,
        NotTaken::Wet => match spot.at {
            Place::Station(s) => day.station(s).mess != Mess::Wet,
            _ => true,
        },
        NotTaken::Rest => spot.at != Place::Rest,
    })
}

/// How far down the list of a child's adults somebody stands: 0 is the child's own.
pub(super) fn stands_by(day: &Day, who: AdultIndex, child: ChildIndex) -> Option<usize> {
    let support = day.site[child].one_to_one.as_ref()?;
    let mut in_order = std::iter::once(&support.adult).chain(&support.stand_ins);
    in_order.position(|&a| a == who)
}

/// The set of adults for whom something holds.
pub(super) fn those(day: &Day, holds: impl Fn(AdultIndex) -> bool) -> Crowd {
    let positions = day.adults.iter().enumerate();
    positions.filter(|(_, (a, _))| holds(*a)).fold(0, |set, (i, _)| set | only(i))
}
