//! Friends are in one small group.

use super::{Aim, Decided};
use crate::chart::Chart;
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "keep-with",
    says: "Children to keep together are in one small group: pairs who both come today and are \
           not are counted, each once.",
    unit: "pairs apart",
    unit_of_one: "pair apart",
    measure: Some(measure),
    rows: None,
    decided: Decided::Groups,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let mut pairs = Vec::new();
    for (child, _) in &day.children {
        for friend in &day.site[*child].keep_with {
            let pair = (*child.min(friend), *child.max(friend));
            let both_come = !day.child_here(*friend).is_empty() && child != friend;
            let together = chart
                .groups
                .iter()
                .any(|g| g.children.contains(child) && g.children.contains(friend));
            if both_come && !together && !pairs.contains(&pair) {
                pairs.push(pair);
            }
        }
    }
    i64::try_from(pairs.len()).unwrap_or(i64::MAX)
}
