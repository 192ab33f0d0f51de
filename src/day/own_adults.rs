//! The adults whom a station takes for itself: by how closely it is watched, and at water by the
//! standards.
//!
//! This is the one reading of it for everything that plans or tells; the audit has a reading of its
//! own.

use super::Day;
use crate::site::{ChildIndex, Hazard, StationIndex, Supervision};
use crate::standards::{Head, Outing};

impl Day {
    /// Whether a station takes an adult of its own while in use.
    #[must_use]
    pub fn takes_own_adult(&self, at: StationIndex) -> bool {
        let asks =
            || self.standards.iter().any(|s| s.activity_adults(Outing::Water, &[], true).is_some());
        matches!(self.station(at).supervision, Supervision::Staffed { .. })
            || (self.is_at_water(at) && asks())
    }

    /// Counted adults whom the standards ask for at a station with these children: where there is
    /// water to play in. It is taken for a water table, which some standards leave out.
    #[must_use]
    pub fn water_adults(&self, at: StationIndex, children: &[ChildIndex]) -> u32 {
        if !self.is_at_water(at) {
            return 0;
        }
        let heads: Vec<Head> = children.iter().map(|c| self.head(*c, false)).collect();
        let asked = self.standards.iter();
        asked.filter_map(|s| s.activity_adults(Outing::Water, &heads, true)).max().unwrap_or(0)
    }

    /// Counted adults whom a station takes for itself with these children; `everyone`: they are all the
    /// children who are awake in its space, so that one adult has all of them in view.
    #[must_use]
    pub fn own_adults(&self, at: StationIndex, children: &[ChildIndex], everyone: bool) -> u32 {
        let count = u32::try_from(children.len()).unwrap_or(u32::MAX);
        let watched = self.station(at).supervision.adults_for(count);
        let watched = if everyone { watched.min(1) } else { watched };
        watched.max(self.water_adults(at, children))
    }

    /// Of children who may come to a station, as many as have seats there beside those who are at it,
    /// those first for whom most adults are asked.
    #[must_use]
    pub fn may_sit_down(
        &self,
        at: StationIndex,
        there: &[ChildIndex],
        coming: &[ChildIndex],
    ) -> Vec<ChildIndex> {
        let seats = (self.station(at).seats as usize).saturating_sub(there.len());
        let mut coming = coming.to_vec();
        coming.sort_by_key(|c| (self.months(*c), *c));
        coming.truncate(seats);
        there.iter().copied().chain(coming).collect()
    }

    fn is_at_water(&self, at: StationIndex) -> bool {
        self.station(at).hazards.contains(&Hazard::Water)
    }
}
