//! What only shows over the day: meals, rest, movement, staff breaks.

use super::Broken;
use super::asleep::lies_down;
use super::scene::{Scene, any_holds, clock};
use fairturn::chart::{BlockKind, Chart, Place, State, Stay};
use fairturn::day::Day;
use fairturn::site::{ChildIndex, Energy, MealKind, Sleep, SpaceIndex, Span};

/// The stay of a child in each minute of the day.
fn by_minute(chart: &Chart, child: ChildIndex) -> Vec<Option<&Stay>> {
    let mut minutes = vec![None; 1440];
    for drawn in &chart.children {
        for stay in &drawn.stays {
            for minute in stay.span.from.0..stay.span.to.0 {
                if drawn.child == child && minutes[usize::from(minute)].is_none() {
                    minutes[usize::from(minute)] = Some(stay);
                }
            }
        }
    }
    minutes
}

/// Minutes of the longest time in one piece that a child is here within a window.
fn longest_here(spans: &[Span], window: Span) -> u16 {
    let mut longest = 0;
    for span in spans {
        let (from, to) = (span.from.max(window.from), span.to.min(window.to));
        longest = longest.max(to.0.saturating_sub(from.0));
    }
    longest
}

/// The same, up: not in a sleep by the own clock.
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
            let (mut eats, mut fetched) = (0, false);
            for minute in 0..1440 {
                let stay = minutes[usize::from(minute)];
                let at_it = stay
                    .is_some_and(|s| matches!(s.at, Place::Table(_)) && s.meal == Some(meal.kind));
                let in_window = meal.window.from.0 <= minute && minute < meal.window.to.0;
                eats += u16::from(at_it && in_window);
                // Fetched from the table: half of it will do.
                let goes = any_holds(spans, minute) && !any_holds(spans, minute + 1);
                fetched = fetched || (at_it && goes);
            }
            let enough = if fetched { meal.minutes.div_ceil(2) } else { meal.minutes };
            if eats == 0 || eats < enough {
                broken.insert((0, format!("child {} misses a meal", child.0)));
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

pub fn rest(day: &Day, chart: &Chart, broken: &mut Broken) {
    for (child, spans) in &day.children {
        let minutes = by_minute(chart, *child);
        let on_cot = |m: u16| {
            minutes[usize::from(m)].is_some_and(|s| s.at == Place::Rest && s.state != State::Awake)
        };
        let lies =
            |m: u16| minutes[usize::from(m)].is_some_and(|s| lies_down(day, chart, *child, s));
        let what = format!("child {}", child.0);
        let mut due: Vec<(Span, u16)> = Vec::new();
        match (&day.site.children[child.0].sleep, &day.schedule.rest) {
            (Sleep::InRest { minutes }, Some(rest)) => {
                due.push((rest.window, (*minutes).min(rest.minutes)));
            }
            (Sleep::At(times), _) => {
                for time in times {
                    due.push((*time, time.minutes()));
                }
            }
            _ => {}
        }
        for (window, wanted) in due {
            if longest_here(spans, window) < wanted {
                continue;
            }
            let (mut run, mut longest) = (0, 0);
            for minute in window.from.0..window.to.0 {
                run = if lies(minute) { run + 1 } else { 0 };
                longest = longest.max(run);
            }
            if longest < wanted {
                broken.insert((0, what.clone()));
            }
        }
        let Some(rest) = &day.schedule.rest else { continue };
        let mut awake = 0;
        for minute in 0..1440 {
            let up = minutes[usize::from(minute)].is_some_and(|s| s.state != State::Asleep);
            awake = if on_cot(minute) && up { awake + 1 } else { 0 };
            if awake > rest.awake_longest {
                broken.insert((0, what.clone()));
            }
        }
    }
}

pub fn movement(day: &Day, chart: &Chart, broken: &mut Broken) {
    let facts = day.schedule.movement;
    let open = day.schedule.open;
    for (child, spans) in &day.children {
        let mut here = 0u32;
        for minute in open.from.0..open.to.0 {
            here += u32::from(super::scene::any_holds(spans, minute));
        }
        let target = if day.indoor.value { facts.indoor_day } else { facts.outdoor_day };
        let mut owed = target * here / u32::from(open.minutes());
        // A room that moves often enough asks of nobody what it does while the child is away.
        let (mut held, mut joined) = (0, 0);
        for block in &chart.blocks {
            let moves = matches!(block.kind, BlockKind::Movement | BlockKind::Outdoors);
            if moves && block.span.minutes() >= facts.minutes {
                held += 1;
                let mut all = true;
                for minute in block.span.from.0..block.span.to.0 {
                    all &= super::scene::any_holds(spans, minute);
                }
                joined += u32::from(all);
            }
        }
        let mut most = 0;
        for (other, spans) in &day.children {
            let mut minutes = 0;
            for minute in open.from.0..open.to.0 {
                minutes += u32::from(super::scene::any_holds(spans, minute));
            }
            if !day.is_young(*other) {
                most = most.max(target * minutes / u32::from(open.minutes()));
            }
        }
        if held >= most {
            owed = owed.min(joined);
        }
        // Moving minutes at one kind of place that touch are one movement break.
        let minutes = by_minute(chart, *child);
        let (mut breaks, mut run) = (0, 0);
        for (minute, stay) in minutes.iter().enumerate() {
            let at = |stay: &Option<&Stay>| stay.map(|s| s.at);
            let moves = matches!(at(stay), Some(Place::Movement | Place::Outdoors));
            let goes_on = minute > 0 && at(&minutes[minute - 1]) == at(stay);
            run = if !moves { 0 } else { 1 + if goes_on { run } else { 0 } };
            breaks += u32::from(moves && run == facts.minutes.max(1));
        }
        if breaks < owed && !day.is_young(*child) {
            broken.insert((0, format!("child {} moves too seldom", child.0)));
        }
        let mut still = 0;
        for stay in by_minute(chart, *child) {
            let Some(stay) = stay else {
                still = 0;
                continue;
            };
            match stay.at {
                _ if stay.state == State::Asleep => still = 0,
                Place::WholeGroup | Place::Table(_) | Place::Rest => still += 1,
                Place::Station(at) if day.stations[at.0].energy == Energy::Still => still += 1,
                Place::Transition if stay.span.minutes() < 15 => {}
                Place::Care | Place::Unplaced => {}
                _ => still = 0,
            }
            if still > facts.longest_still {
                broken.insert((0, format!("child {} sits too long", child.0)));
            }
        }
    }
}

pub fn staff_break(day: &Day, chart: &Chart, broken: &mut Broken) {
    for (adult, spans) in &day.adults {
        for (which, due) in day.site.adults[adult.0].breaks.iter().enumerate() {
            if longest_here(spans, due.window) < due.minutes {
                continue;
            }
            let (mut run, mut longest) = (0, 0);
            for minute in due.window.from.0..due.window.to.0 {
                let scene = Scene::of(day, chart, minute);
                let off = scene
                    .adults
                    .iter()
                    .any(|(who, post)| who == adult && post.at == Place::StaffBreak(which));
                run = if off { run + 1 } else { 0 };
                longest = longest.max(run);
            }
            if longest < due.minutes {
                broken.insert((0, format!("adult {} break {which}", adult.0)));
            }
        }
    }
}

/// A line for a person: the minutes of a set as clock spans.
pub fn spans_in_words(minutes: &[u16]) -> String {
    let mut words = String::new();
    let mut at = 0;
    while at < minutes.len() {
        let mut end = at;
        while end + 1 < minutes.len() && minutes[end + 1] == minutes[end] + 1 {
            end += 1;
        }
        words += &format!(" {} to {}", clock(minutes[at]), clock(minutes[end] + 1));
        at = end + 1;
    }
    words
}

/// Who is in another space than a minute before, with the way there still to go.
pub fn walking(day: &Day, chart: &Chart, broken: &mut Broken) {
    // Minute by minute: the space, whether on the move, whether the way is part of what is done.
    type Minute = Option<(SpaceIndex, bool, bool)>;
    let mut people: Vec<(String, Vec<Minute>)> = Vec::new();
    for child in &chart.children {
        let mut day: Vec<Minute> = vec![None; 1440];
        for stay in &child.stays {
            for minute in stay.span.from.0..stay.span.to.0 {
                let care = stay.at == Place::Care;
                day[usize::from(minute)] = Some((stay.space, stay.at == Place::Transition, care));
            }
        }
        people.push((format!("child {}", child.child.0), day));
    }
    for adult in &chart.adults {
        let mut day: Vec<Minute> = vec![None; 1440];
        for post in &adult.posts {
            for minute in post.span.from.0..post.span.to.0 {
                let way = matches!(post.at, Place::Care | Place::Task(_) | Place::StaffBreak(_));
                day[usize::from(minute)] = Some((post.space, post.at == Place::Transition, way));
            }
        }
        people.push((format!("adult {}", adult.adult.0), day));
    }
    for (who, minutes) in people {
        for now in 1..1440 {
            let (Some(was), Some(is)) = (minutes[now - 1], minutes[now]) else { continue };
            if was.0 == is.0 || was.2 || is.2 {
                continue;
            }
            let mut takes = 0;
            for (from, to) in [(was.0, is.0), (is.0, was.0)] {
                for (space, named) in &day.site.spaces[from.0].walking {
                    if *space == to {
                        takes = takes.max(usize::from(*named));
                    }
                }
            }
            let mut moved = 0;
            while now > moved && minutes[now - 1 - moved] == Some((was.0, true, false)) {
                moved += 1;
            }
            let mut after = 0;
            while now + after < 1440 && minutes[now + after] == Some((is.0, true, false)) {
                after += 1;
            }
            if moved + after < takes {
                let by = takes - moved - after;
                broken.insert((0, format!("{who} at {} by {by}", clock(now as u16))));
            }
        }
    }
}
