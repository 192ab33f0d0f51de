//! Adults posted on small days built by hand: shifts tiled, breaks kept, the least bad place open.

mod demand;
mod duties;
mod edges;
mod least;
mod naive;
mod persons;
mod whole;

use crate::audits::build::{Build, span};
use fairturn::chart::{Chart, Place, Post};
use fairturn::day::Day;
use fairturn::site::*;
use fairturn::solve::demand::Duties;
use fairturn::solve::posts::post;

/// Posts the adults and checks what must hold of any posting.
fn posted(b: &Build, duties: &Duties) -> (Day, Chart) {
    let (day, mut chart) = (b.day(), b.chart.clone());
    post(&day, &mut chart, duties);
    check(&day, &chart, duties);
    let mut again = b.chart.clone();
    post(&day, &mut again, duties);
    assert_eq!(chart, again, "the same day gives the same posts");
    (day, chart)
}

/// Posts tile the shifts, staff breaks are where they were put, and nobody takes what it does not.
fn check(day: &Day, chart: &Chart, duties: &Duties) {
    let on_shift: Vec<AdultIndex> = day.adults.iter().map(|a| a.0).collect();
    let in_chart: Vec<AdultIndex> = chart.adults.iter().map(|a| a.adult).collect();
    assert_eq!(in_chart, on_shift);
    for (adult, shift) in &day.adults {
        let posts = &chart.adult(*adult).expect("in the chart").posts;
        let mut left = shift.clone();
        for p in posts {
            let at = left.iter().position(|s| s.from == p.span.from && s.to >= p.span.to);
            let at = at.unwrap_or_else(|| panic!("{posts:?} do not tile {shift:?}"));
            match Span::new(p.span.to, left[at].to) {
                Some(rest) => left[at] = rest,
                None => _ = left.remove(at),
            }
            for not in &day.site[*adult].posts_not_taken {
                assert!(
                    *not != fairturn::site::people::NotTaken::Care || p.at != Place::Care,
                    "{p:?}"
                );
                assert!(
                    *not != fairturn::site::people::NotTaken::Outdoors || p.at != Place::Outdoors,
                    "{p:?}"
                );
            }
            if let Some(child) = p.for_child {
                let support = day.site[child].one_to_one.as_ref().expect("one-to-one");
                assert!(support.adult == *adult || support.stand_ins.contains(adult));
            }
            assert_ne!(p.covers, Some(*adult));
        }
        assert_eq!(left, [], "{posts:?} do not tile {shift:?}");
        let breaks: Vec<(Span, Place)> = posts
            .iter()
            .filter(|p| matches!(p.at, Place::StaffBreak(_)))
            .map(|p| (p.span, p.at))
            .collect();
        let mut due: Vec<(Span, Place)> = (0..duties.breaks.len())
            .filter(|&i| duties.breaks[i].0 == *adult)
            .map(|i| {
                let when = duties.break_span(day, i).expect("a break that is due");
                (when, Place::StaffBreak(duties.breaks[i].1))
            })
            .collect();
        due.sort_unstable_by_key(|d| d.0);
        assert_eq!(breaks, due);
    }
}

/// The posts of an adult that share a minute with a span.
fn posts_in(chart: &Chart, adult: AdultIndex, when: &str) -> Vec<Post> {
    let posts = &chart.adult(adult).expect("in the chart").posts;
    posts.iter().filter(|p| p.span.meets(span(when))).cloned().collect()
}

/// The one place of an adult in a span.
fn place_in(chart: &Chart, adult: AdultIndex, when: &str) -> Place {
    let posts = posts_in(chart, adult, when);
    let place = posts.first().expect("on shift").at;
    assert!(posts.iter().all(|p| p.at == place), "one place in {when}, not {posts:?}");
    place
}

/// A break of so many minutes in a window.
fn due(minutes: u16, window: &str) -> BreakDue {
    BreakDue { minutes, window: span(window), paid: true, may_leave: false }
}
