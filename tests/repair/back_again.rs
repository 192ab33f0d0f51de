//! An adult who is back after a while goes on with what was hers, and as few posts are changed for it as
//! trying every way shows to be possible.

use super::mornings::wall;
use super::safest::said;
use super::tiny_floor::{away, house, standard};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{AdultDay, Chart, Place, Post};
use fairturn::day::Day;
use fairturn::planner::{Options, make, repair};
use fairturn::rules::{self, posts_changed};
use fairturn::site::{AdultIndex, Minute, Span, ZoneIndex, slices};

/// Two groups in a room of so many zones, each with something to choose, and three adults.
fn room(zones: usize) -> Build {
    let mut build = house("09:00-12:00", &[50, 50], 3);
    standard(&mut build, "fraction_sum", 4, 4);
    for n in 1..zones {
        let zone = build.zone(&format!("corner {n}"), CLASSROOM);
        for m in 0..2 {
            let station = build.station(&format!("corner {n}{m}"), CLASSROOM);
            build.site.stations[station.0].zone = zone;
        }
    }
    build.site.stations.iter_mut().for_each(|s| s.seats = 1);
    build
}

/// The fewest posts that are not kept of all ways to post the adults of a chart from a moment on that
/// break no more than the chart does in any minute: each set of posts that could be kept is tried, with
/// every zone for whoever is free.
fn fewest(day: &Day, posted: &Chart, chart: &Chart, at: Minute) -> u32 {
    let spans = chart.children.iter().flat_map(|c| c.stays.iter().map(|s| s.span));
    let stood = posted.adults.iter().flat_map(|a| a.posts.iter().map(|p| p.span));
    let now = chart.adults.iter().flat_map(|a| a.posts.iter().map(|p| p.span));
    let edges = spans.chain(stood).chain(now).flat_map(|s| [s.from, s.to]).chain([at]);
    let cuts: Vec<Span> = slices(edges).into_iter().filter(|s| s.from >= at).collect();
    let post_at = |chart: &Chart, adult: AdultIndex, minute: Minute| -> Option<Post> {
        chart.adult(adult)?.posts.iter().find(|p| p.span.contains(minute)).cloned()
    };
    // In each slice the ways to stand that break no more than the chart does.
    let short = |chart: &Chart, span: Span| -> u64 {
        let problems = rules::audit(day, chart);
        problems.iter().filter(|p| p.span.meets(span)).map(|p| p.by as u64).sum()
    };
    let mut ways: Vec<Vec<Vec<Option<Post>>>> = Vec::new();
    for span in &cuts {
        let most = short(chart, *span);
        let here: Vec<AdultIndex> = day
            .adults
            .iter()
            .filter(|(_, here)| here.iter().any(|h| h.holds(*span)))
            .map(|a| a.0)
            .collect();
        let mut options: Vec<Post> = Vec::new();
        let zones = day.site.zones.iter().enumerate().filter(|(_, zone)| zone.space == CLASSROOM);
        for (z, zone) in zones {
            let at = Place::Zone(ZoneIndex(z));
            options.push(Post {
                span: *span,
                space: zone.space,
                at,
                zone: None,
                for_child: None,
                covers: None,
            });
        }
        for adult in &here {
            for known in [posted, chart] {
                let post = post_at(known, *adult, span.from).map(|p| Post { span: *span, ..p });
                options.extend(post.filter(|p| !options.contains(p)));
            }
        }
        let mut fine: Vec<Vec<Option<Post>>> = Vec::new();
        for mut way in 0..options.len().pow(here.len() as u32) {
            let mut stand = vec![None; day.site.adults.len()];
            for adult in &here {
                stand[adult.0] = Some(options[way % options.len()].clone());
                way /= options.len();
            }
            let mut drawn = chart.clone();
            for AdultDay { adult, posts } in &mut drawn.adults {
                let Some(post) = &stand[adult.0] else { continue };
                let mut cut: Vec<Post> = Vec::new();
                for old in posts.drain(..) {
                    let before = Span::new(old.span.from, old.span.to.min(span.from));
                    let after = Span::new(old.span.from.max(span.to), old.span.to);
                    let parts = before.into_iter().chain(after);
                    cut.extend(parts.map(|span| Post { span, ..old.clone() }));
                }
                cut.push(post.clone());
                cut.sort_by_key(|p| p.span);
                *posts = cut;
            }
            if short(&drawn, *span) <= most {
                fine.push(stand);
            }
        }
        ways.push(fine);
    }
    let ahead: Vec<(AdultIndex, &Post)> = posted
        .adults
        .iter()
        .flat_map(|a| a.posts.iter().map(move |p| (a.adult, p)))
        .filter(|(adult, p)| {
            let here = day.adult_here(*adult);
            p.span.to > at && here.iter().any(|h| h.to > at && h.meets(p.span))
        })
        .collect();
    assert!(ahead.len() <= 16, "a tiny day");
    let same = |one: &Post, other: &Post| {
        (one.space, one.at, one.zone, one.for_child)
            == (other.space, other.at, other.zone, other.for_child)
    };
    let can = |kept: u32| {
        cuts.iter().zip(&ways).all(|(span, fine)| {
            fine.iter().any(|stand| {
                ahead.iter().enumerate().all(|(n, (adult, post))| {
                    let bound = kept & (1 << n) != 0 && post.span.meets(*span);
                    !bound || stand[adult.0].as_ref().is_none_or(|now| same(now, post))
                })
            })
        })
    };
    let most_kept = (0..1_u32 << ahead.len()).filter(|kept| can(*kept)).map(u32::count_ones).max();
    ahead.len() as u32 - most_kept.expect("the chart itself is a way")
}

#[test]
fn as_few_posts_change_as_can_be_when_an_adult_is_back_after_forty_minutes() {
    for zones in [2, 3] {
        let day = room(zones).day();
        let posted = make(&day, &Options::default()).chart;
        for adult in 0..3 {
            let at = Minute::hm(10, 0);
            let told = [away(adult, span("10:00-10:40"))];
            let done = repair(&day, &posted, at, &told, &Options::default()).expect("it can be");
            let chart = &done.plan.chart;
            let changed = posts_changed(&done.day, &posted, chart, at);
            let least = fewest(&done.day, &posted, chart, at);
            assert_eq!(changed, least, "{zones} zones, adult {adult}: {:?}", chart.adults);
            let back = chart.adult(AdultIndex(adult)).expect("she is here again");
            let goes_on = back.posts.iter().find(|p| p.span.contains(Minute::hm(10, 40)));
            let was = posted.adult(AdultIndex(adult)).expect("she was");
            let was = was.posts.iter().find(|p| p.span.contains(Minute::hm(10, 40)));
            let place = |post: Option<&Post>| post.map(|p| (p.space, p.at, p.zone));
            assert_eq!(place(goes_on), place(was), "{zones} zones: she goes on where she was");
        }
    }
}

/// On the chart on the wall, as it is read there: whoever is back goes on with what was hers, and nobody
/// else changes for that.
#[test]
fn who_is_back_does_not_take_what_a_colleague_has() {
    let day = wall("preschool-room", "back-again");
    for (at, away, changed) in [
        ("15:35", "petra:15:35-15:50", "1 post of an adult changed"),
        ("11:55", "runa:11:55-12:10", "3 posts of adults changed"),
    ] {
        let text = said(&day, &["--at", at, "--away", away]);
        assert!(text.contains(&format!("No child is moved. {changed}")), "{away}: {text}");
        let (_, changes) = text.split_once("What changes from").expect("what changes");
        let (changes, _) = changes.split_once("What does not change").expect("what does not");
        let who = if away.starts_with("petra") { "Petra: " } else { "Runa: " };
        assert!(!changes.contains(who), "{away}: {changes}");
    }
}
