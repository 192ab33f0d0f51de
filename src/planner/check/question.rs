//! What is asked about a block, and what can be wrong with it.

use crate::day::Day;
use crate::site::{Span, StationIndex};

/// Most stations of one block.
pub const MOST_STATIONS: usize = 20;

/// These stations, from then to then.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlockQuestion {
    /// When.
    pub span: Span,
    /// Which stations run; at least one.
    pub stations: Vec<StationIndex>,
}

/// Why a question has no answer.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct QuestionFault {
    /// What is wrong, in one clause.
    pub cause: String,
    /// What to do.
    pub mend: String,
}

impl BlockQuestion {
    /// Each station once, in order.
    pub(super) fn in_order(&self) -> BlockQuestion {
        let mut stations = self.stations.clone();
        stations.sort_unstable();
        stations.dedup();
        BlockQuestion { span: self.span, stations }
    }

    /// Everything that keeps this question from being answered on a day: no station, a span outside
    /// the opening hours, a station of another room, or one that is closed then.
    #[must_use]
    pub fn faults(&self, day: &Day) -> Vec<QuestionFault> {
        let fault = |cause: String, mend: String| QuestionFault { cause, mend };
        let mut faults = Vec::new();
        let open = day.schedule.open;
        if !open.holds(self.span) {
            faults.push(fault(
                format!("{} is outside the opening hours", self.span),
                format!("ask about a time between {} and {}", open.from, open.to),
            ));
        }
        if self.stations.len() > MOST_STATIONS {
            let cause =
                format!("{} stations are named, at most {MOST_STATIONS}", self.stations.len());
            return vec![fault(cause, "ask about some of them".into())];
        }
        if self.stations.is_empty() {
            faults.push(fault("no station is named".into(), "name at least one".into()));
        }
        let twice =
            |(n, at): (usize, &StationIndex)| self.stations[..n].contains(at).then_some(*at);
        for at in self.stations.iter().enumerate().filter_map(twice) {
            faults.push(fault(
                format!("{} is named twice", day.station(at).label),
                "name each station once".into(),
            ));
        }
        let room = &day.site[day.room];
        for at in self.in_order().stations {
            let station = day.station(at);
            if !room.spaces.contains(&station.space) {
                let mut ours = room.spaces.iter().flat_map(|s| day.site.stations_of(*s));
                let ours: Vec<&str> = ours.by_ref().map(|s| day.site[s].id.as_str()).collect();
                faults.push(fault(
                    format!("{} is in no space of {}", station.label, room.label),
                    format!("name one of {}", ours.join(", ")),
                ));
                continue;
            }
            let mut shut = day.closed.get(at.0).map_or(&[][..], Vec::as_slice).to_vec();
            shut.sort_unstable();
            for when in shut.iter().filter_map(|s| s.meet(self.span)) {
                let indoor = day.indoor.value && day.site[station.space].outdoors;
                let why = if indoor { ": the children stay in that day" } else { "" };
                faults.push(fault(
                    format!("{} is closed from {when}{why}", station.label),
                    "ask about another time or another station".into(),
                ));
            }
        }
        faults
    }
}
