//! Who is here when, after a happening.

use super::{After, ExtraAdult, Who, held_up_id, site_mut};
use crate::site::{Adult, AdultIndex, Minute, Span, Task};
use chrono::Datelike;

/// Who is due so many minutes ago may not have come yet (common practice).
const AWAITED: u16 = 30;

impl After {
    fn here(&self, who: Who) -> Vec<Span> {
        match who {
            Who::Child(child) => self.day.child_here(child).to_vec(),
            Who::Adult(adult) => self.day.adult_here(adult).to_vec(),
        }
    }

    /// What of somebody's presence lies from the moment on.
    fn ahead(&self, who: Who) -> Vec<Span> {
        let ahead = Span { from: self.at, to: Minute::END_OF_DAY };
        self.here(who).iter().filter_map(|h| h.meet(ahead)).collect()
    }

    /// Gives somebody this presence from the moment on; the past stays.
    fn set(&mut self, who: Who, ahead: Vec<Span>) {
        let past = Span::new(Minute(0), self.at);
        let before = past.map_or_else(Vec::new, |past| {
            self.here(who).iter().filter_map(|h| h.meet(past)).collect()
        });
        let here = joined(before.into_iter().chain(ahead).collect());
        match who {
            Who::Child(child) => put(&mut self.day.children, child, here),
            Who::Adult(adult) => put(&mut self.day.adults, adult, here),
        }
    }

    pub(super) fn away(&mut self, who: Who, span: Option<Span>) {
        let Some(span) = self.ahead_of_now(span) else { return };
        let ahead = self.ahead(who);
        if !ahead.iter().any(|h| h.meets(span)) {
            let (label, when) = (self.label(who), if_ends(span));
            self.fault(format!("{label} is not here {when} anyway"), "leave it out");
            return;
        }
        let left = ahead.iter().flat_map(|h| without(*h, span)).collect();
        self.set(who, left);
    }

    pub(super) fn late(&mut self, who: Who, time: Minute) {
        let with_children = time.later(self.day.minutes_to_reach(who));
        let (label, at, mut ahead) = (self.label(who), self.at, self.ahead(who));
        let come = |h: &&Span| h.from.later(AWAITED) < at && at < h.to;
        let since = self.here(who).iter().find(come).map(|h| h.from);
        if time <= at {
            self.fault(format!("{time} is not after {at}"), "give the time at which they come");
        } else if let Some(since) = since {
            let cause = format!("by the chart {label} is here since {since}");
            let why = format!("if {label} has not come, or goes and comes back");
            self.fault(cause, format!("{why}, say away, {label} from {at} to {time}"));
        } else if ahead.is_empty() {
            self.fault(format!("{label} is not due any more today"), "say that they are back");
        } else if ahead[0].from >= with_children {
            let cause = format!("{label} is due only at {}", ahead[0].from);
            self.fault(cause, "leave it out: that is not late");
        } else if ahead[0].to <= with_children {
            let cause = format!("{label} would have left again at {}", ahead[0].to);
            self.fault(cause, "say that they are away");
        } else {
            ahead[0].from = with_children;
            self.set(who, ahead);
        }
    }

    pub(super) fn leaving(&mut self, who: Who, time: Minute) {
        if !self.not_past(time) {
            return;
        }
        let (label, ahead) = (self.label(who), self.ahead(who));
        if !ahead.iter().any(|h| h.from <= time && time < h.to) {
            let cause = format!("{label} is not here at {time} anyway");
            self.fault(cause, "give a time at which they would be here");
            return;
        }
        let until = Span { from: Minute(0), to: time };
        self.set(who, ahead.iter().filter_map(|h| h.meet(until)).collect());
    }

    pub(super) fn staying(&mut self, who: Who, until: Minute) {
        let (label, mut ahead) = (self.label(who), self.ahead(who));
        // Who would leave at this very minute has not gone yet.
        let leaves_now = self.here(who).last().is_some_and(|h| h.to == self.at);
        if ahead.is_empty() && leaves_now {
            ahead.extend(Span::new(self.at, until));
        }
        let Some(last) = ahead.last_mut() else {
            let cause = format!("{label} is not here any more today");
            return self.fault(cause, "say that they are back, and until when");
        };
        let before = if leaves_now { self.at } else { last.to };
        if until <= before {
            let cause = format!("{label} stays until {before} anyway");
            return self.fault(cause, "give a later time");
        }
        last.to = until;
        self.set(who, ahead);
    }

    pub(super) fn back(&mut self, who: Who, time: Option<Minute>, until: Option<Minute>) {
        let from = time.unwrap_or(self.at);
        if !self.not_past(from) {
            return;
        }
        let label = self.label(who);
        if self.back_from_hold(who, from) {
            return;
        }
        let ahead = self.ahead(who);
        if ahead.iter().any(|h| h.contains(from)) {
            let cause = format!("{label} is here at {from} anyway");
            return self.fault(cause, "leave it out: only who was away can be back");
        }
        let usual = self.usual_end(who, from);
        let next = ahead.iter().find(|h| h.from > from).map(|h| h.to);
        let Some(span) = until.or(usual.max(next)).and_then(|to| Span::new(from, to)) else {
            let cause = format!("{label} is usually not here after {from}");
            return self.fault(cause, "say until when");
        };
        let mut here = ahead;
        here.push(span);
        here.sort_unstable();
        self.set(who, joined(here));
    }

    /// When somebody usually leaves on this weekday, if after `from`.
    fn usual_end(&self, who: Who, from: Minute) -> Option<Minute> {
        let weekday = self.day.date.weekday().num_days_from_monday() as usize;
        let usual = match who {
            Who::Child(child) => &self.day.site[child].attendance[weekday],
            Who::Adult(adult) => &self.day.site[adult].shifts[weekday],
        };
        let end = usual.iter().map(|s| s.to).max()?;
        let end = if let Who::Child(_) = who { end.min(self.day.schedule.open.to) } else { end };
        (end > from).then_some(end)
    }

    /// Somebody who is held up comes back before the time that was said.
    fn back_from_hold(&mut self, who: Who, from: Minute) -> bool {
        let Who::Adult(adult) = who else { return false };
        let holds = self.day.held_up();
        let ahead = |span: Span| span.to > from && (span.contains(from) || self.at <= span.from);
        let Some(&(_, task, span)) = holds.iter().find(|(a, _, s)| *a == adult && ahead(*s)) else {
            return false;
        };
        self.day.schedule.tasks[task].minutes = from.0.saturating_sub(span.from.0);
        true
    }

    pub(super) fn held_up(&mut self, adult: AdultIndex, span: Span) {
        // The task is added even where this is a fault, so that the numbers stay in step.
        let held =
            self.day.happened.iter().filter(|h| matches!(h.what, super::Happening::HeldUp { .. }));
        let id = held_up_id(held.count());
        let home = self.day.site[self.day.room].home;
        self.day.schedule.tasks.push(Task {
            id,
            label: "Busy".into(),
            minutes: span.minutes(),
            window: span,
            space: home,
            watching: false,
        });
        if !self.not_past(span.from) {
            return;
        }
        let who = Who::Adult(adult);
        if !self.here(who).iter().any(|h| h.holds(span)) {
            let label = self.label(who);
            let cause = format!("{label} is not here from {span}");
            self.fault(cause, "give a span in which they are, or say that they are away");
        }
    }

    pub(super) fn extra(&mut self, extra: &ExtraAdult) {
        let (at, closes) = (self.at, self.day.closes());
        let known = |a: &&Adult| a.id == extra.id || a.label == extra.label;
        if let Some(adult) = self.day.site.adults.iter().find(known) {
            let cause = format!("{} is on the team already", adult.label);
            let mend = "say that they are back or staying, or give another label (who comes in twice, two)";
            return self.fault(cause, mend);
        }
        if let Some(child) = self.day.site.children.iter().find(|c| c.label == extra.label) {
            let cause = format!("{} is the name of a child", child.label);
            return self.fault(cause, "give a label by which the two are told apart");
        }
        let span = extra.span.or(Span::new(at, closes));
        let Some(span) = span.filter(|s| s.from >= at) else {
            let cause = format!("{} cannot come before {at}", extra.label);
            return self.fault(cause, format!("give a time from {at} on"));
        };
        let room = self.day.room;
        let adults = &mut site_mut(&mut self.day).adults;
        adults.push(Adult {
            id: extra.id.clone(),
            label: extra.label.clone(),
            shifts: Default::default(),
            counts: extra.counts,
            may_be_alone: extra.may_be_alone,
            lead: extra.lead,
            first_aid: extra.first_aid,
            qualifications: extra.qualifications.clone(),
            rooms: vec![room],
            floater: false,
            in_rooms: Vec::new(),
            breaks: Vec::new(),
            posts_not_taken: Vec::new(),
        });
        let adult = AdultIndex(adults.len() - 1);
        self.set(Who::Adult(adult), vec![span]);
    }
}

/// The parts of a span outside another.
fn without(span: Span, out: Span) -> Vec<Span> {
    let before = Span::new(span.from, span.to.min(out.from));
    let after = Span::new(span.from.max(out.to), span.to);
    before.into_iter().chain(after).collect()
}

/// Spans in order, those that touch made into one.
fn joined(spans: Vec<Span>) -> Vec<Span> {
    let mut joined: Vec<Span> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.from <= last.to => last.to = last.to.max(span.to),
            _ => joined.push(span),
        }
    }
    joined
}

fn put<T: PartialEq + Copy>(list: &mut Vec<(T, Vec<Span>)>, who: T, here: Vec<Span>) {
    match list.iter_mut().find(|(one, _)| *one == who) {
        Some((_, spans)) => *spans = here,
        None => list.push((who, here)),
    }
}

fn if_ends(span: Span) -> String {
    match span.to {
        Minute::END_OF_DAY => format!("after {}", span.from),
        _ => format!("from {span}"),
    }
}
