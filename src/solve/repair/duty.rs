//! Staff breaks, tasks and doors: what is done or goes on, and what is still open.

use super::children::Rounds;
use super::{Broken, Rest, care};
use crate::chart::{AdultDay, Place, Post};
use crate::model::frame::BreakChoice;
use crate::site::{AdultIndex, Minute, Span};
use crate::solve::clock::{GRID, grid_up};
use crate::solve::few;

/// Adds everything that adults have to do to a frame, with what is posted of it.
pub(super) fn duties(broken: Broken<'_>, changes: Rounds, rest: &mut Rest<'_>) {
    rest.done.held = broken.day.held_up();
    breaks(broken, rest);
    tasks(broken, rest);
    doors(broken, rest);
    care::rounds(broken, changes, rest);
}

pub(super) fn posts(broken: Broken<'_>) -> impl Iterator<Item = (AdultIndex, &Post)> {
    let adults = &broken.posted.adults;
    adults.iter().flat_map(|d: &AdultDay| d.posts.iter().map(move |p| (d.adult, p)))
}

fn breaks(broken: Broken<'_>, rest: &mut Rest<'_>) {
    let Broken { day, at, .. } = broken;
    let most = few::most_starts(day);
    for (adult, here) in &day.adults {
        for (due, b) in day.site[*adult].breaks.iter().enumerate() {
            let posted =
                posts(broken).filter(|(a, p)| a == adult && p.at == Place::StaffBreak(due));
            let posted: Vec<&Post> = posted.map(|(_, p)| p).collect();
            let start = posted.iter().map(|p| p.span.from).min();
            let over = |s: Minute| s.later(b.minutes) <= at;
            if let Some(start) = start.filter(|s| over(*s)) {
                rest.done.breaks.push((*adult, due, start));
                continue;
            }
            // Missed: nobody goes on with it.
            if b.window.to <= at && b.window.minutes() < b.minutes {
                continue;
            }
            let held = &rest.done.held;
            let free = |span: Span| !held.iter().any(|h| h.0 == *adult && h.2.meets(span));
            let fits = |s: &Minute| {
                let span = Span::new(*s, s.later(b.minutes));
                span.is_some_and(|b| free(b) && here.iter().any(|h| h.holds(b)))
            };
            let going_on = start.filter(|s| *s < at);
            let mut starts: Vec<Minute> =
                b.starts(GRID).filter(|s| *s >= at).filter(fits).collect();
            starts = few::starts(starts, most, start);
            // One that goes on does so only for who is here and not called away from it.
            let goes_on = |s: Minute| {
                let left = Span::new(at, s.later(b.minutes));
                left.is_some_and(|left| free(left) && here.iter().any(|h| h.holds(left)))
            };
            let whole = |s: Minute| if s < at { goes_on(s) } else { fits(&s) };
            let posted = start.filter(|s| whole(*s));
            // What is posted outside the window stands where it goes on, and where nothing else is left.
            let window = |s: Minute| {
                Span::new(s, s.later(b.minutes)).is_some_and(|whole| b.window.holds(whole))
            };
            let stands = |s: &Minute| *s < at || window(*s) || starts.is_empty();
            if let Some(start) = posted.filter(|s| stands(s) && !starts.contains(s)) {
                starts.push(start);
                starts.sort_unstable();
            }
            // Called from it for good, or until it would be over: nobody goes back to five minutes of it.
            let called = |s: Minute| {
                let end = s.later(b.minutes);
                let mut held = held.iter().filter(|h| h.0 == *adult);
                let returns = |h: &Span| h.from > at && h.from < end;
                !here.iter().any(returns) && !held.any(|h| h.2.to > at && h.2.to < end)
            };
            let cut_short = going_on.filter(|s| !goes_on(*s) && called(*s));
            if starts.is_empty() {
                rest.done.breaks.extend(cut_short.map(|start| (*adult, due, start)));
                continue;
            }
            // Else it moves no further than it has to.
            let far = |s: Minute, posted: Minute| s.0.abs_diff(posted.0);
            let number = posted.and_then(|posted| {
                (0..starts.len()).min_by_key(|&n| (far(starts[n], posted), starts[n]))
            });
            // Missed on the posted chart as well: then that is what is posted.
            let number = number.or((start.is_none()).then_some(starts.len()));
            rest.breaks.push(number);
            rest.cut_short.push(cut_short);
            let minutes = b.minutes;
            rest.frame.breaks.push(BreakChoice { adult: *adult, due, minutes, starts });
        }
    }
}

fn tasks(broken: Broken<'_>, rest: &mut Rest<'_>) {
    let Broken { day, at, .. } = broken;
    let most = few::most_starts(day);
    for (task, facts) in day.schedule.tasks.iter().enumerate() {
        if rest.done.held.iter().any(|h| h.1 == task) || facts.minutes == 0 {
            continue;
        }
        let posted = posts(broken).filter(|(_, p)| p.at == Place::Task(task));
        let start = posted.map(|(_, p)| p.span.from).min();
        if let Some(start) = start.filter(|s| *s < at) {
            rest.done.tasks.push((task, start));
            continue;
        }
        let last = facts.window.to.0;
        let grid = (grid_up(facts.window.from.0)..last).step_by(usize::from(GRID)).map(Minute);
        let mut starts: Vec<Minute> =
            grid.filter(|s| *s >= at && s.0 + facts.minutes <= last).collect();
        starts = few::starts(starts, most, start);
        if let Some(start) = start.filter(|s| !starts.contains(s)) {
            starts.push(start);
            starts.sort_unstable();
        }
        if starts.is_empty() {
            continue;
        }
        let number = start.and_then(|p| starts.iter().position(|s| *s == p));
        rest.tasks.push(Some(number.unwrap_or(starts.len())));
        rest.frame.tasks.push((task, starts));
    }
}

/// Whoever is posted at the door stays there as long as can be.
fn doors(broken: Broken<'_>, rest: &mut Rest<'_>) {
    let ahead = Span { from: broken.at, to: Minute::END_OF_DAY };
    let posted = posts(broken).filter(|(_, p)| p.at == Place::Door);
    let doors = posted.filter_map(|(_, p)| Some((p.space, p.span.meet(ahead)?)));
    rest.done.door = doors.collect();
    rest.done.door.sort_unstable();
}
