//! Stations, outdoors and staff breaks, after a happening.

use super::{After, Who, site_mut};
use crate::day::{IndoorDay, NearEnds};
use crate::site::{AdultIndex, BreakDue, Minute, Part, PartKind, Span, StationIndex};

impl After {
    pub(super) fn closed(&mut self, station: StationIndex, span: Option<Span>) {
        let Some(span) = self.ahead_of_now(span) else { return };
        let closed = &mut self.day.closed[station.0];
        if closed.iter().any(|c| c.holds(span)) {
            let label = self.day.station(station).label.clone();
            return self.fault(format!("{label} is closed then anyway"), "leave it out");
        }
        closed.push(span);
        merge(closed);
    }

    pub(super) fn open(&mut self, station: StationIndex, span: Option<Span>) {
        let Some(span) = self.ahead_of_now(span) else { return };
        let facts = self.day.station(station).clone();
        let hours = self.hours_closed(station);
        let closed = &self.day.closed[station.0];
        let said = |c: &&Span| c.meet(span).is_some_and(|c| !hours.iter().any(|h| h.holds(c)));
        if !closed.iter().any(|c| said(&c)) {
            let cause = format!("{} is not closed then, or only outside its hours", facts.label);
            return self.fault(cause, "leave it out");
        }
        let mut left: Vec<Span> = closed
            .iter()
            .flat_map(|c| {
                let before = Span::new(c.from, c.to.min(span.from));
                before.into_iter().chain(Span::new(c.from.max(span.to), c.to))
            })
            .chain(hours)
            .collect();
        merge(&mut left);
        self.day.closed[station.0] = left;
    }

    /// When a station is shut whatever anybody says: outside its hours, and in the open air while
    /// the children stay in.
    fn hours_closed(&self, station: StationIndex) -> Vec<Span> {
        let facts = self.day.station(station);
        let mut shut = Vec::new();
        if !facts.open.is_empty() {
            let mut from = Minute(0);
            for open in &facts.open {
                shut.extend(Span::new(from, open.from));
                from = open.to;
            }
            shut.extend(Span::new(from, Minute::END_OF_DAY));
        }
        if self.day.indoor.value && self.day.site[facts.space].outdoors {
            shut.extend(Span::new(self.at, Minute::END_OF_DAY));
        }
        shut
    }

    pub(super) fn indoors(&mut self) {
        let at = self.at;
        let out = |p: &&Part| p.kind == PartKind::Outdoors;
        if self.day.indoor.value {
            return self.fault("the children stay in today anyway", "leave it out");
        }
        let why = format!("From {at} on the children stay in: you said so.");
        let mut indoor = IndoorDay { value: true, why, ..IndoorDay::default() };
        // What was out of doors before the moment stays; the rest is laid over as on an indoor day.
        let mut ahead = self.day.schedule.clone();
        let mut past: Vec<Part> = Vec::new();
        ahead.parts.retain_mut(|part| {
            if !out(&&*part) || part.span.from >= at {
                return true;
            }
            let done = Part { span: Span { to: part.span.to.min(at), ..part.span }, ..*part };
            past.push(done);
            part.span.from = at;
            part.span.from < part.span.to
        });
        ahead.movement.indoor_day = self.movement_owed_indoors();
        let mut today = indoor.lay_over(&ahead);
        today.parts.extend(past);
        today.parts.sort_by_key(|p| p.span);
        indoor.movement_target = today.movement.indoor_day;
        indoor.clothing = self.day.indoor.clothing;
        (self.day.schedule, self.day.indoor) = (today, indoor);
        for station in (0..self.day.stations.len()).map(StationIndex) {
            if self.day.site[self.day.station(station).space].outdoors {
                let closed = &mut self.day.closed[station.0];
                closed.extend(Span::new(at, Minute::END_OF_DAY));
                merge(closed);
            }
        }
    }

    /// Movement breaks of a day on which the children stay in from the moment on: of those that an
    /// indoor day has more than one out of doors, the part that falls to the times outdoors that are
    /// lost, rounded up.
    fn movement_owed_indoors(&self) -> u32 {
        let movement = &self.day.schedule.movement;
        let parts = self.day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
        let lost = |p: &&Part| p.span.from.later(movement.minutes) > self.at;
        let (all, lost) = (parts.clone().count() as u32, parts.filter(lost).count() as u32);
        let more = movement.indoor_day.saturating_sub(movement.outdoor_day);
        movement.indoor_day - more + (more * lost).div_ceil(all.max(1))
    }

    pub(super) fn outdoors(&mut self) {
        let (at, day) = (self.at, &self.day);
        if !day.indoor.value {
            return self.fault("the children go out today anyway", "leave it out");
        }
        let schedules = &day.site[day.room].schedules;
        let Some(usual) = schedules.iter().find(|s| s.id == day.schedule.id).cloned() else {
            return self.fault("the schedule has no outdoor time", "leave it out");
        };
        let out = usual.parts.iter().find(|p| p.kind == PartKind::Outdoors);
        let home = day.site[day.room].home;
        let way = day.way_out(out.map_or(home, |p| p.space));
        let from = at.later(day.minutes_to_go_out(day.here_at(at), way));
        let from = Minute(from.0.div_ceil(5) * 5);
        let least = usual.movement.minutes.max(15);
        let ahead = |p: &Part| {
            let span = Span::new(p.span.from.max(from), p.span.to)?;
            let fits = p.kind == PartKind::Outdoors && span.minutes() >= least;
            fits.then_some(Part { span, ..*p })
        };
        let parts: Vec<Part> = usual.parts.iter().filter_map(ahead).collect();
        if parts.is_empty() {
            let cause = format!("the schedule has no outdoor time left after {at}");
            return self.fault(cause, "leave it out; take the children out in the choice time");
        }
        let tasks = self.day.schedule.tasks.clone();
        let past = self
            .day
            .schedule
            .parts
            .iter()
            .filter(|p| p.kind == PartKind::Outdoors && p.span.to <= at);
        let past: Vec<Part> = past.copied().collect();
        let mut today = usual;
        today.dressing = day.schedule.dressing.clone();
        today.parts.retain(|p| p.kind != PartKind::Outdoors);
        today.parts.extend(parts);
        today.parts.extend(past);
        today.parts.sort_by_key(|p| p.span);
        today.tasks = tasks;
        let why = format!("From {at} on the children go out after all: you said so.");
        let movement_target = today.movement.outdoor_day;
        let clothing = day.indoor.clothing;
        self.day.indoor =
            IndoorDay { value: false, why, movement_target, clothing, ..IndoorDay::default() };
        self.day.schedule = today;
        for station in (0..self.day.stations.len()).map(StationIndex) {
            let facts = self.day.station(station);
            if self.day.site[facts.space].outdoors {
                let mut closed = self.hours_closed(station);
                closed.extend(Span::new(Minute(0), at));
                merge(&mut closed);
                self.day.closed[station.0] = closed;
            }
        }
    }

    pub(super) fn missed_break(&mut self, adult: AdultIndex, due: Option<usize>) {
        let (at, label) = (self.at, self.label(Who::Adult(adult)));
        let breaks = &self.day.site[adult].breaks;
        let begun = |b: &BreakDue| b.window.from < at;
        let Some(due) = due.or_else(|| breaks.iter().rposition(begun)) else {
            let cause = format!("no staff break of {label} was due before {at}");
            return self.fault(cause, "leave it out");
        };
        let Some(missed) = breaks.get(due).filter(|b| begun(b)).cloned() else {
            let cause = format!("that staff break of {label} is not due before {at}");
            return self.fault(cause, "name one that is, counted from 1");
        };
        let here = self.day.adult_here(adult);
        let Some(end) = here.iter().map(|h| h.to).max() else {
            return self.fault(format!("{label} is not here today"), "leave it out");
        };
        let fits = |to: Minute| {
            let room = |within: Span| here.iter().filter_map(move |h| h.meet(within));
            Span::new(at, to).filter(|s| room(*s).any(|r| r.minutes() >= missed.minutes))
        };
        // Work comes before and after a break, as far as that can still be.
        let before_end = |near| fits(self.day.break_at_another_time(adult, near)?.to);
        let when_due = fits(missed.window.to.min(end));
        let later = when_due.or_else(|| before_end(NearEnds::No));
        let late = later.or_else(|| before_end(NearEnds::IfNeedBe));
        let Some(window) = late.or_else(|| fits(end)) else {
            let cause = format!("{label} leaves before a staff break could be made up for");
            return self.fault(cause, "leave it out; there is no time for it any more");
        };
        let breaks = &mut site_mut(&mut self.day).adults[adult.0].breaks;
        // The one that was missed is over: no time is left in which it could be due.
        breaks[due].window = Span { from: at.earlier(1), to: at };
        breaks.push(BreakDue { window, ..missed });
    }

    pub(super) fn break_at(&mut self, adult: AdultIndex, due: Option<usize>, from: Minute) {
        if !self.not_past(from) {
            return;
        }
        let (at, label) = (self.at, self.label(Who::Adult(adult)));
        let breaks = &self.day.site[adult].breaks;
        let Some(due) = due.or_else(|| breaks.iter().position(|b| b.window.to > at)) else {
            let cause = format!("no staff break of {label} is still to come");
            return self.fault(cause, "leave it out");
        };
        let Some(minutes) = breaks.get(due).map(|b| b.minutes) else {
            let cause = format!("{label} has {} staff breaks due", breaks.len());
            return self.fault(cause, "name one that is, counted from 1");
        };
        let here = self.day.adult_here(adult);
        let whole = Span::new(from, from.later(minutes));
        let Some(window) = whole.filter(|w| here.iter().any(|h| h.holds(*w))) else {
            let cause = format!("{label} is not here for {minutes} minutes from {from} on");
            return self.fault(cause, "give a time at which the whole staff break fits");
        };
        site_mut(&mut self.day).adults[adult.0].breaks[due].window = window;
    }
}

/// Spans in order, those that touch made into one.
fn merge(spans: &mut Vec<Span>) {
    spans.sort_unstable();
    spans.dedup_by(|next, last| {
        let touch = next.from <= last.to;
        if touch {
            last.to = last.to.max(next.to);
        }
        touch
    });
}
