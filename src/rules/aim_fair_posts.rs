//! Messy posts go round among the adults.

use super::{Aim, Decided, rows};
use crate::chart::{AdultDay, BlockKind, Chart, Place};
use crate::day::Day;
use crate::site::people::NotTaken;
use crate::site::{Adult, Mess, Span};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "fair-posts",
    says: "Messy stations are shared among the counted adults who take them: the turns and choice \
           blocks that an adult spends at one beyond an even share, rounded up, are counted.",
    unit: "blocks beyond a fair share",
    unit_of_one: "block beyond a fair share",
    measure: Some(measure),
    rows: Some(rows::wishes::breaks_in_rest),
    decided: Decided::Posts,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let blocks: Vec<Span> = chart
        .blocks
        .iter()
        .filter(|b| matches!(b.kind, BlockKind::Turn | BlockKind::Choice))
        .map(|b| b.span)
        .collect();
    let mut by_adult: Vec<usize> = Vec::new();
    for adult in &chart.adults {
        let messy = blocks.iter().filter(|b| is_messy(day, adult, **b)).count();
        if messy > 0 || day.site.adults.get(adult.adult.0).is_some_and(takes_wet) {
            by_adult.push(messy);
        }
    }
    let all: usize = by_adult.iter().sum();
    let share = all.div_ceil(by_adult.len().max(1));
    let above: usize = by_adult.iter().map(|messy| messy.saturating_sub(share)).sum();
    i64::try_from(above).unwrap_or(i64::MAX)
}

fn takes_wet(adult: &Adult) -> bool {
    adult.counts && !adult.posts_not_taken.contains(&NotTaken::Wet)
}

fn is_messy(day: &Day, adult: &AdultDay, block: Span) -> bool {
    adult.posts.iter().any(|p| {
        let messy = match p.at {
            Place::Station(s) => day.stations.get(s.0).is_some_and(|s| s.mess != Mess::None),
            _ => false,
        };
        messy && p.span.meets(block)
    })
}
