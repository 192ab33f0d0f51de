//! Meals over the day: had, once, far enough from one another, at a table with an adult.

use super::Broken;
use super::long::by_minute;
use super::scene::{Scene, any_holds};
use fairturn::chart::{Chart, Place, State, Stay};
use fairturn::day::Day;
use fairturn::site::{ChildIndex, MealKind, Sleep, Span};

/// Minutes of the longest time in one piece that a child is here within a window and up: not in a sleep
/// by the own clock.
fn longest_up(day: &Day, child: ChildIndex, spans: &[Span], window: Span) -> u16 {
    let (mut run, mut longest) = (0, 0);
    for minute in window.from.0..window.to.0 {
        let sleeps = match &day.site.children[child.0].sleep {
            Sleep::At(times) => any_holds(times, minute),
            _ => false,
        };
        run = if any_holds(spans, minute) && !sleeps { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest
}

pub fn meals(day: &Day, chart: &Chart, broken: &mut Broken) {
    for (child, spans) in &day.children {
        let minutes = by_minute(chart, *child);
        for meal in &day.schedule.meals {
            let asked =
                meal.kind != MealKind::Breakfast || day.site.children[child.0].breakfast_here;
            if !asked || longest_up(day, *child, spans, meal.window) < meal.minutes {
                continue;
            }
            let (mut eats, mut had, mut fetched) = (0, 0, false);
            for minute in 0..1440 {
                let stay = minutes[usize::from(minute)];
                let at_it = stay
                    .is_some_and(|s| matches!(s.at, Place::Table(_)) && s.meal == Some(meal.kind));
                let in_window = meal.window.from.0 <= minute && minute < meal.window.to.0;
                eats += u16::from(at_it && in_window);
                had += u16::from(at_it);
                // Fetched from the table: half of it will do.
                let goes = any_holds(spans, minute) && !any_holds(spans, minute + 1);
                fetched = fetched || (at_it && goes);
            }
            let enough = if fetched { meal.minutes.div_ceil(2) } else { meal.minutes };
            if had + had < meal.minutes && eats < enough {
                broken.insert((0, format!("child {} misses a meal", child.0)));
            } else if eats < enough {
                broken.insert((0, format!("child {} has a meal cut short", child.0)));
            }
        }
        meal_gaps(day, chart, (*child, spans), &minutes, broken);
    }
    for minute in 0..1440 {
        let scene = Scene::of(day, chart, minute);
        for (child, stay) in &scene.children {
            let Place::Table(table) = stay.at else { continue };
            let mut sits = false;
            for (_, post) in &scene.adults {
                let serves = post.for_child.is_none() || post.for_child == Some(*child);
                sits = sits || (post.at == stay.at && serves);
            }
            if stay.meal.is_some() && !sits {
                broken.insert((minute, format!("table {} without an adult", table.0)));
            }
        }
    }
}

/// A meal that a child sits down to: which, when, and for how many minutes.
struct SitsDown {
    kind: MealKind,
    from: u16,
    to: u16,
    minutes: u16,
}

/// The meals of a child in order, minute by minute: care and ways in the middle are part of one, a
/// minute of anything else, or of not being drawn at all, ends it.
fn sits_down(minutes: &[Option<&Stay>]) -> Vec<SitsDown> {
    let mut found: Vec<SitsDown> = Vec::new();
    let mut on = None;
    for (minute, stay) in minutes.iter().enumerate() {
        let minute = minute as u16;
        let Some(stay) = stay else {
            on = None;
            continue;
        };
        match (stay.at, stay.meal) {
            (Place::Table(_), Some(kind)) => {
                if on != Some(kind) {
                    found.push(SitsDown { kind, from: minute, to: minute, minutes: 0 });
                }
                on = Some(kind);
                let last = found.len() - 1;
                found[last].to = minute + 1;
                found[last].minutes += 1;
            }
            (Place::Care | Place::Transition, _) => {}
            _ => on = None,
        }
    }
    found
}

/// When a child who is here in a minute came; `None` when it is not here.
fn came(spans: &[Span], minute: u16) -> Option<u16> {
    let mut from = None;
    for span in spans {
        if span.from.0 <= minute && minute < span.to.0 {
            from = Some(span.from.0);
        }
    }
    from
}

/// Whether a child came too late for a meal that it sits down to, and is offered food within the hour.
fn came_too_late(day: &Day, chart: &Chart, child: ChildIndex, kind: MealKind, from: u16) -> bool {
    let here = |of: ChildIndex| {
        day.children.iter().filter(move |d| d.0 == of).flat_map(|d| d.1.clone()).collect::<Vec<_>>()
    };
    let Some(arrival) = came(&here(child), from) else { return false };
    // When each child without an own clock sits down to the same meal, and when it had come.
    let mut table: Vec<(ChildIndex, u16, u16)> = Vec::new();
    for drawn in &chart.children {
        let clock = &day.site.children[drawn.child.0].sleep;
        if matches!(clock, Sleep::At(_)) || table.iter().any(|t| t.0 == drawn.child) {
            continue;
        }
        let eats = sits_down(&by_minute(chart, drawn.child));
        if let Some(first) = eats.iter().find(|s| s.kind == kind)
            && let Some(arrived) = came(&here(drawn.child), first.from)
        {
            table.push((drawn.child, first.from, arrived));
        }
    }
    let Some(begins) = table.iter().map(|t| t.1).min() else {
        return window_too_short(day, kind, arrival) && from - arrival <= 60;
    };
    let mut last = None;
    for (other, sits, arrived) in table {
        if other != child && arrived <= begins {
            last = last.max(Some(sits));
        }
    }
    let late = match last {
        // A breakfast is no sitting of everybody: it is there as long as its window is.
        Some(last) if kind != MealKind::Breakfast => last < arrival,
        _ => window_too_short(day, kind, arrival),
    };
    late && from - arrival <= 60
}

/// Whether the window of a meal has no room for it any more from a minute on.
fn window_too_short(day: &Day, kind: MealKind, from: u16) -> bool {
    let meal = day.schedule.meals.iter().find(|meal| meal.kind == kind);
    meal.is_some_and(|meal| from + meal.minutes > meal.window.to.0)
}

fn meal_gaps(
    day: &Day,
    chart: &Chart,
    (child, spans): (ChildIndex, &[Span]),
    minutes: &[Option<&Stay>],
    broken: &mut Broken,
) {
    let mut limits = Vec::new();
    for standard in &day.standards {
        limits.extend(standard.meal_interval());
    }
    if limits.is_empty() {
        limits.push(day.site.settings.meal_interval);
    }
    let meals = sits_down(minutes);
    let mut had: Vec<MealKind> = Vec::new();
    for (at, meal) in meals.iter().enumerate() {
        let whole =
            day.schedule.meals.iter().find(|m| m.kind == meal.kind).map_or(0, |m| m.minutes);
        let taken_away = any_holds(spans, meal.to - 1) && spans.iter().any(|s| s.to.0 == meal.to);
        if had.contains(&meal.kind) {
            broken.insert((0, format!("child {} has a meal twice", child.0)));
        } else if !taken_away || 2 * meal.minutes >= whole {
            had.push(meal.kind);
        }
        let Some(before) = at.checked_sub(1).map(|before| &meals[before]) else { continue };
        let gap = meal.from - before.from;
        let (mut slept, mut away) = (0, false);
        for between in before.from..meal.from {
            let stay = minutes[usize::from(between)];
            slept += u16::from(stay.is_some_and(|s| s.state == State::Asleep));
            away = away || !any_holds(spans, between);
        }
        let excused =
            || [before, meal].iter().any(|m| came_too_late(day, chart, child, m.kind, m.from));
        for (least, most) in &limits {
            let too_soon = gap < *least && before.kind != meal.kind && !excused();
            if too_soon || (gap - slept > *most && !away) {
                broken.insert((0, format!("child {} between meals", child.0)));
            }
        }
    }
}
