//! Movement: breaks enough over the day, and nobody sits still for too long.

use super::pieces::{for_each_child, stay_pieces};
use super::reading::{Reading, is_awake};
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Block, BlockKind, Chart, ChildDay, Place, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Energy, Minute, Span};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Every child who is no longer young has the day's movement breaks (indoors or out, each \
           of the full minutes; a child here for a part of the day that part of them, rounded \
           down, and none that the room holds while the child is away), and no awake child sits still for longer than the longest still stretch.",
    audit,
    words,
    rows: Some(rows::still::movement),
    kept: Kept::Always,
    about: About::Day,
    reads: Reads::Day,
    mended_by: &[Mend::Movement],
};
const SLUG: &str = "movement";

/// A transition of so many minutes is a walk about and ends a still stretch; a shorter one neither
/// ends it nor counts (common practice).
const LONG_TRANSITION: u16 = 15;

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let chart = &*reading.chart;
    let mut found = Vec::new();
    for (child, here) in &day.children {
        if !day.is_young(*child) {
            found.extend(too_few(day, *child, here, chart));
        }
    }
    for child in &chart.children {
        found.extend(too_still(day, child));
    }
    for_each_child(found)
}

fn too_few(day: &Day, child: ChildIndex, here: &[Span], chart: &Chart) -> Option<Problem> {
    let (movement, open) = (&day.schedule.movement, day.schedule.open);
    let here: Vec<Span> = here.iter().filter_map(|h| h.meet(open)).collect();
    let span = Span::new(here.first()?.from, here.last()?.to)?;
    let target = if day.indoor.value { movement.indoor_day } else { movement.outdoor_day };
    let owed = owed_by(day, &here, target);
    // Where the room moves often enough, nobody owes a break that is held without them.
    let room = chart.blocks.iter().filter(|b| {
        matches!(b.kind, BlockKind::Movement | BlockKind::Outdoors)
            && b.span.minutes() >= movement.minutes
    });
    let with = |b: &&Block| here.iter().any(|h| h.holds(b.span));
    let (held, while_here) = (room.clone().count(), room.filter(with).count());
    let enough = u32::try_from(held).unwrap_or(u32::MAX) >= most_owed(day, target);
    let owed = if enough { owed.min(u32::try_from(while_here).unwrap_or(owed)) } else { owed };
    let stays = chart.child(child).map_or(&[][..], |c| &c.stays);
    let moving =
        stay_pieces(stays, |s| matches!(s.at, Place::Movement | Place::Outdoors).then_some(s.at));
    let breaks = moving.iter().filter(|(_, span)| span.minutes() >= movement.minutes).count();
    let breaks = u32::try_from(breaks).unwrap_or(u32::MAX);
    (breaks < owed).then(|| Problem {
        children: vec![child],
        needed: owed,
        present: breaks,
        by: owed - breaks,
        unit: Unit::Times,
        ..Problem::of(SLUG, "too-few", span)
    })
}

/// The part of the target that falls to who is here for these spans, rounded down.
fn owed_by(day: &Day, here: &[Span], target: u32) -> u32 {
    let open = day.schedule.open;
    let present: u64 =
        here.iter().filter_map(|h| h.meet(open)).map(|h| u64::from(h.minutes())).sum();
    // The part of the target is never more than the target, which fits.
    let owed = u64::from(target) * present / u64::from(open.minutes());
    u32::try_from(owed).unwrap_or(target)
}

/// What the child who is here longest owes: so many the room has to hold.
fn most_owed(day: &Day, target: u32) -> u32 {
    let marched = day.children.iter().filter(|(c, _)| !day.is_young(*c));
    marched.map(|(_, here)| owed_by(day, here, target)).max().unwrap_or(0)
}

/// What a stay does to a still stretch.
#[derive(PartialEq)]
enum Body {
    /// Sits: counts.
    Still,
    /// Shortly on the way or being changed: neither counts nor ends it.
    Between,
    /// Moves, walks about, chooses or sleeps: ends it.
    Free,
}

fn body(day: &Day, stay: &Stay) -> Body {
    if !is_awake(stay) {
        return Body::Free;
    }
    match stay.at {
        Place::WholeGroup | Place::Table(_) | Place::Rest => Body::Still,
        Place::Station(s) => match day.station(s).energy {
            Energy::Moving | Energy::Vigorous => Body::Free,
            Energy::Still => Body::Still,
        },
        Place::Transition if stay.span.minutes() >= LONG_TRANSITION => Body::Free,
        Place::Transition | Place::Care | Place::Unplaced => Body::Between,
        _ => Body::Free,
    }
}

fn too_still(day: &Day, child: &ChildDay) -> Vec<Problem> {
    let longest = u32::from(day.schedule.movement.longest_still);
    let mut found = Vec::new();
    let mut still: Option<(Span, u32)> = None;
    let mut end = |still: &mut Option<(Span, u32)>| {
        if let Some((span, minutes)) = still.take()
            && minutes > longest
        {
            found.push(Problem {
                children: vec![child.child],
                needed: longest,
                present: minutes,
                by: minutes - longest,
                unit: Unit::Minutes,
                ..Problem::of(SLUG, "too-still", span)
            });
        }
    };
    let mut last_end = Minute(0);
    for (body, span) in stay_pieces(&child.stays, |s| Some(body(day, s))) {
        if span.from > last_end {
            end(&mut still);
        }
        last_end = last_end.max(span.to);
        match body {
            Body::Still => {
                let before = still.take().unwrap_or((span, 0));
                let whole = Span { from: before.0.from, to: span.to.max(before.0.to) };
                still = Some((whole, before.1 + u32::from(span.minutes())));
            }
            Body::Between => {}
            Body::Free => end(&mut still),
        }
    }
    end(&mut still);
    found
}

fn words(day: &Day, p: &Problem) -> String {
    let (who, many) = (phrase::children(day, &p.children), p.children.len());
    if p.case == "too-few" {
        let has = phrase::verb(many, "has", "have");
        let breaks = phrase::count(p.present, "movement break");
        return format!("{who} {has} {breaks} today, {} wanted", p.needed);
    }
    format!(
        "{who} {} still for {} between {} and {}, at most {} wanted",
        phrase::verb(many, "sits", "sit"),
        phrase::count(p.present, "minute"),
        p.span.from,
        p.span.to,
        p.needed
    )
}
