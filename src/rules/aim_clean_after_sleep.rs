//! Who has slept in a nappy is changed.

use super::reading::Reading;
use super::{Aim, Decided, rows};
use crate::chart::{Chart, ChildDay, Place, State};
use crate::day::Day;
use crate::site::Toileting;

/// The aim. Nappies are looked at on waking as well as every two hours (Oregon OAR 414-305-0650, New
/// Hampshire He-C 4002.29: verified); that a change is planned for it is common practice.
pub static AIM: Aim = Aim {
    slug: "clean-after-sleep",
    says: "A child in nappies is changed between its last sleep and going home, if it is here for a \
           turn at the changing place then: the children who are not.",
    unit: "children not changed after their sleep",
    unit_of_one: "child not changed after its sleep",
    measure: Some(measure),
    rows: Some(rows::care::clean_after_sleep),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let reading = Reading::of(day, chart);
    let nappies = |c: &&ChildDay| day.site[c.child].toileting == Toileting::Nappies;
    let children = reading.chart.children.iter().filter(nappies);
    children.filter(|child| goes_home_wet(day, child)).count() as i64
}

fn goes_home_wet(day: &Day, child: &ChildDay) -> bool {
    let stays = &child.stays;
    let asleep = stays.iter().filter(|s| s.state == State::Asleep).map(|s| s.span.to);
    let (Some(woke), Some(home)) = (asleep.max(), stays.iter().map(|s| s.span.to).max()) else {
        return false;
    };
    let changed = stays.iter().any(|s| s.at == Place::Care && s.span.from >= woke);
    !changed && woke.later(day.site.settings.care_minutes) <= home
}
