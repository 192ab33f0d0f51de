//! Happenings by chance, all of which can be on a given day.

use fairturn::chart::{Chart, Place};
use fairturn::day::{Day, ExtraAdult, Happening, Who};
use fairturn::site::{AdultIndex, Minute, Span, StationIndex};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A moment of a day, and one to three things that happen then.
pub fn happenings(day: &Day, chart: &Chart, seed: u64) -> (Minute, Vec<Happening>) {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let open = day.schedule.open;
    let mut below = |n: usize| (chance.next_u64() % n.max(1) as u64) as usize;
    let at = Minute(open.from.0 + below(usize::from(open.minutes() - 5)) as u16);
    let mut list: Vec<Happening> = Vec::new();
    for _ in 0..=below(3) {
        for _ in 0..20 {
            let one = one(day, chart, at, &mut below);
            let with = [list.clone(), vec![one]].concat();
            if day.after(at, &with).is_ok() {
                list = with;
                break;
            }
        }
    }
    (at, list)
}

/// The last staff break of an adult that has begun on the chart; one that nobody has, if none has.
fn last_begun(chart: &Chart, adult: AdultIndex, at: Minute) -> Option<usize> {
    let posts = chart.adult(adult).map_or(&[][..], |d| &d.posts);
    let begun = posts.iter().rev().find_map(|p| match p.at {
        Place::StaffBreak(due) if p.span.from < at => Some(due),
        _ => None,
    });
    begun.or(Some(usize::MAX))
}

fn one(day: &Day, chart: &Chart, at: Minute, below: &mut impl FnMut(usize) -> usize) -> Happening {
    let children = day.site.children_of(day.room).collect::<Vec<_>>();
    let adults: Vec<AdultIndex> = day.site.adults_of(day.room).collect();
    let who = match below(2) {
        0 => Who::Child(children[below(children.len())]),
        _ => Who::Adult(adults[below(adults.len())]),
    };
    let adult = adults[below(adults.len())];
    let station = StationIndex(below(day.stations.len()));
    let later = |n: usize| at.later(n as u16);
    let from = later(below(90));
    let span = Span::new(from, from.later(5 + below(120) as u16));
    let time = later(1 + below(180));
    match below(13) {
        0 => Happening::Away { who, span: None },
        1 => Happening::Away { who, span },
        2 => Happening::Late { who, at: time },
        3 => Happening::Leaving { who, at: time },
        4 => Happening::Staying { who, until: time },
        5 => Happening::Back { who, at: None, until: None },
        6 | 7 => Happening::HeldUp { adult, span: span.unwrap_or(Span { from: at, to: later(5) }) },
        8 => Happening::ExtraAdult(ExtraAdult {
            id: "extra".into(),
            label: "Extra".into(),
            span: Span::new(from, day.schedule.open.to),
            counts: below(3) > 0,
            may_be_alone: below(2) > 0,
            lead: false,
            first_aid: false,
            qualifications: Vec::new(),
        }),
        9 => Happening::Closed { station, span: None },
        10 => Happening::Closed { station, span },
        11 => Happening::Open { station, span: None },
        _ if below(3) > 0 => Happening::MissedBreak { adult, due: last_begun(chart, adult, at) },
        _ => {
            if below(2) > 0 {
                Happening::Indoors
            } else {
                Happening::Outdoors
            }
        }
    }
}
