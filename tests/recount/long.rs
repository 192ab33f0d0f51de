//! What only shows over the day: rest, movement, staff breaks, ways.

use super::Broken;
use super::asleep::lies_down;
use super::scene::{Scene, clock};
use fairturn::chart::{BlockKind, Chart, Place, State, Stay};
use fairturn::day::Day;
use fairturn::site::{ChildIndex, Energy, Sleep, SpaceIndex, Span};

/// The stay of a child in each minute of the day.
pub fn by_minute(chart: &Chart, child: ChildIndex) -> Vec<Option<&Stay>> {
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
