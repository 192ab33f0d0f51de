//! A way through the day: settled stays and open cells in order, and how one is laid over another.

use crate::chart::{Apart, Place, State, Stay};
use crate::model::Planned;
use crate::site::{SpaceIndex, Span, ZoneIndex};

/// A plain awake stay.
#[must_use]
pub fn stay(span: Span, space: SpaceIndex, at: Place, zone: Option<ZoneIndex>) -> Stay {
    Stay { span, space, at, zone, state: State::Awake, meal: None, apart: None }
}

/// `stay`, apart from the group.
#[must_use]
pub fn apart(mut stay: Stay, why: Apart) -> Stay {
    stay.apart = Some(why);
    stay
}

/// The part of a plan inside a span.
#[must_use]
pub fn clip(plan: &[Planned], within: Span) -> Vec<Planned> {
    plan.iter().filter_map(|p| within.meet(p.span()).map(|span| with_span(p, span))).collect()
}

/// Lays a settled stay over a plan; whatever it covers gives way. Time outside the plan is ignored.
pub fn overlay(plan: &mut Vec<Planned>, over: &Stay) {
    let mut laid: Vec<Planned> = Vec::new();
    for old in plan.drain(..) {
        let span = old.span();
        let Some(common) = span.meet(over.span) else {
            laid.push(old);
            continue;
        };
        if let Some(before) = Span::new(span.from, common.from) {
            laid.push(with_span(&old, before));
        }
        laid.push(Planned::Fixed(Stay { span: common, ..over.clone() }));
        if let Some(after) = Span::new(common.to, span.to) {
            laid.push(with_span(&old, after));
        }
    }
    *plan = join(laid);
}

fn with_span(planned: &Planned, span: Span) -> Planned {
    match planned {
        Planned::Fixed(stay) => Planned::Fixed(Stay { span, ..stay.clone() }),
        Planned::Cell { cell, .. } => Planned::Cell { span, cell: *cell },
    }
}

/// Joins neighbours that differ only in their time.
#[must_use]
pub fn join(plan: Vec<Planned>) -> Vec<Planned> {
    let mut joined: Vec<Planned> = Vec::new();
    for next in plan {
        if let Some(last) = joined.last_mut() {
            let span = last.span();
            let touching = span.to == next.span().from;
            if touching && with_span(&next, span) == *last {
                *last = with_span(last, Span { from: span.from, to: next.span().to });
                continue;
            }
        }
        joined.push(next);
    }
    joined
}

/// The planned thing at the start of a span, if the plan covers it.
#[must_use]
pub fn at(plan: &[Planned], span: Span) -> Option<&Planned> {
    plan.iter().find(|p| p.span().contains(span.from))
}
