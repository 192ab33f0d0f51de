//! Happenings that cannot all be so.

use super::{Happening, Who};
use crate::site::{Span, StationIndex};

/// What a happening is about.
#[derive(PartialEq, Eq)]
pub(super) enum Subject<'a> {
    Person(Who),
    Station(StationIndex),
    Sky,
    Extra(&'a str),
}

/// What it is about.
pub(super) fn subject(what: &Happening) -> Subject<'_> {
    match what {
        Happening::Away { who, .. }
        | Happening::Late { who, .. }
        | Happening::Leaving { who, .. }
        | Happening::Staying { who, .. }
        | Happening::Back { who, .. } => Subject::Person(*who),
        Happening::HeldUp { adult, .. }
        | Happening::MissedBreak { adult, .. }
        | Happening::BreakAt { adult, .. } => Subject::Person(Who::Adult(*adult)),
        Happening::ExtraAdult(extra) => Subject::Extra(&extra.id),
        Happening::Closed { station, .. } | Happening::Open { station, .. } => {
            Subject::Station(*station)
        }
        Happening::Indoors | Happening::Outdoors => Subject::Sky,
    }
}

/// Whether two happenings about the same thing cannot both be so: the same kind twice (but for
/// times that lie apart), away for good and anything else, leaving and staying, late and back.
pub(super) fn contradict(one: &Happening, other: &Happening) -> bool {
    use Happening::{
        Away, Back, BreakAt, Closed, HeldUp, Late, Leaving, MissedBreak, Open, Staying,
    };
    if subject(one) != subject(other) {
        return false;
    }
    let apart = |a: &Option<Span>, b: &Option<Span>| match (a, b) {
        (Some(a), Some(b)) => !a.meets(*b),
        _ => false,
    };
    match (one, other) {
        (Away { span: a, .. }, Away { span: b, .. })
        | (
            Closed { span: a, .. } | Open { span: a, .. },
            Closed { span: b, .. } | Open { span: b, .. },
        ) => !apart(a, b),
        (HeldUp { span: a, .. }, HeldUp { span: b, .. }) => a.meets(*b),
        (Away { span: Some(a), .. }, HeldUp { span: b, .. })
        | (HeldUp { span: b, .. }, Away { span: Some(a), .. }) => a.meets(*b),
        (MissedBreak { due: a, .. }, MissedBreak { due: b, .. })
        | (BreakAt { due: a, .. }, BreakAt { due: b, .. }) => a == b,
        (BreakAt { from, .. }, HeldUp { span, .. })
        | (HeldUp { span, .. }, BreakAt { from, .. })
        | (BreakAt { from, .. }, Away { span: Some(span), .. })
        | (Away { span: Some(span), .. }, BreakAt { from, .. }) => span.contains(*from),
        (MissedBreak { .. } | BreakAt { .. }, _) | (_, MissedBreak { .. } | BreakAt { .. }) => {
            false
        }
        (Away { span: None, .. }, _) | (_, Away { span: None, .. }) => true,
        (Away { .. } | HeldUp { .. }, _) | (_, Away { .. } | HeldUp { .. }) => false,
        (Late { .. } | Back { .. }, Leaving { .. } | Staying { .. })
        | (Leaving { .. } | Staying { .. }, Late { .. } | Back { .. }) => false,
        _ => true,
    }
}
