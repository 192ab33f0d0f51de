//! The day as it was applied, laid out so that nothing has to be worked out from the scenario.

use super::name::Named;
use super::shape::*;
use super::write::Names;
use crate::day::{self, Day, KeptFor};
use crate::site::{Span, StationIndex};

pub(super) fn indoor(day: &Day) -> Indoor {
    let indoor = &day.indoor;
    let input = |input: &day::Input| InputLine {
        name: input.name.clone(),
        value: input.value,
        unit: input.unit.clone(),
    };
    Indoor {
        value: indoor.value,
        shorten: indoor.shorten,
        why: indoor.why.clone(),
        inputs: indoor.inputs.iter().map(input).collect(),
        formula: indoor.formula.clone(),
        threshold: indoor.threshold.clone(),
        movement_target: indoor.movement_target,
        movement_minutes: day.schedule.movement.minutes,
        longest_still: day.schedule.movement.longest_still,
        clothing: indoor.clothing.word().into(),
        dressing_minutes: day.longest_dressing(day.children.iter().map(|(c, _)| *c)),
    }
}

pub(super) fn day_applied(names: &Names) -> DayApplied {
    let day = names.day;
    let site = &day.site;
    DayApplied {
        schedule: day.schedule.id.clone(),
        open: Span { to: day.closes(), ..day.schedule.open }.into(),
        children: day
            .children
            .iter()
            .map(|(child, here)| Presence {
                id: names.child(*child),
                months: Some(day.months(*child)),
                here: clocks(here),
            })
            .collect(),
        adults: day
            .adults
            .iter()
            .map(|(adult, here)| Presence {
                id: names.adult(*adult),
                months: None,
                here: clocks(here),
            })
            .collect(),
        stations: (0..site.stations.len()).map(|at| station(day, StationIndex(at))).collect(),
        kept: day
            .kept
            .iter()
            .map(|kept| {
                let (group, child) = match &kept.who {
                    KeptFor::Group(id) => (Some(id.clone()), None),
                    KeptFor::Child(child) => (None, Some(names.child(*child))),
                };
                let station = site[kept.station].id.clone();
                KeptLine { group, child, station, clock: kept.span.into() }
            })
            .collect(),
        must_do: day
            .must_do
            .iter()
            .map(|(child, station)| MustDoLine {
                child: names.child(*child),
                station: site[*station].id.clone(),
            })
            .collect(),
        happened: crate::wire::repair::happened(day),
    }
}

fn station(day: &Day, at: StationIndex) -> StationToday {
    let station = day.station(at);
    StationToday {
        id: station.id.clone(),
        activity: day.activities.get(at.0).cloned().flatten(),
        from_months: station.from_months,
        hazards: station.hazards.iter().map(|h| h.word()).collect(),
        allergens: station.allergens.clone(),
        closed: day.closed.get(at.0).map_or_else(Vec::new, |spans| clocks(spans)),
    }
}

fn clocks(spans: &[Span]) -> Vec<Clock> {
    spans.iter().map(|s| Clock::from(*s)).collect()
}
