//! Small groups: those that stand for the theme, and what is left of them on one date.
//!
//! Map: `form` puts children together, `names` gives the groups their pictures.

mod form;
mod names;

use crate::chart::Group;
use crate::day::{Day, KeptFor};
use crate::site::{AdultIndex, ChildIndex, RoomIndex, Site, StandingGroup};
use chrono::NaiveDate;
use form::{Member, form};

/// The small groups that stand for the theme in a room.
///
/// The teacher's groups stay as they are; enrolled children whom they leave out, and rooms without
/// groups, get groups formed from the whole enrolment, so that the pictures on the wall do not
/// depend on who comes on one date. Ages are taken at `on` (the first day of the theme, or the
/// date). Children kept apart are never in one group, the young are never with the marched ones;
/// sizes come next, then the young ones' key adults, then few groups, then no day on which a group
/// is one child, friends, even sizes, ages. The same enrolment and seed give the same groups.
#[must_use]
pub fn standing_groups(
    site: &Site,
    room: RoomIndex,
    on: NaiveDate,
    seed: u64,
) -> Vec<StandingGroup> {
    let mut groups = site[room].groups.clone();
    let left_out: Vec<ChildIndex> =
        site.children_of(room).filter(|c| !groups.iter().any(|g| g.children.contains(c))).collect();
    let young_under = site.settings.young_under_months;
    let (young, marched): (Vec<ChildIndex>, Vec<ChildIndex>) =
        left_out.into_iter().partition(|&c| site[c].months(on) < young_under);
    let mut formed = Vec::new();
    for (children, by_key_adult) in [(marched, false), (young, true)] {
        let members = members(site, &children, on, by_key_adult);
        let mut parts = form(&members, site[room].group_size, site[room].group_ages, seed);
        parts.iter_mut().for_each(|part| part.sort_unstable());
        parts.sort();
        formed.extend(
            parts.into_iter().map(|part| part.into_iter().map(|at| children[at]).collect()),
        );
    }
    for children in formed {
        let name = names::free(&groups);
        groups.push(StandingGroup { children, ..name });
    }
    groups
}

/// What forming needs to know of each child, with friends and keep-aparts by position.
fn members(site: &Site, children: &[ChildIndex], on: NaiveDate, by_key_adult: bool) -> Vec<Member> {
    let positions = |wanted: &[ChildIndex]| -> Vec<usize> {
        (0..children.len()).filter(|&at| wanted.contains(&children[at])).collect()
    };
    let one_sided = |child: ChildIndex| -> Vec<usize> {
        (0..children.len()).filter(|&at| site[children[at]].keep_apart.contains(&child)).collect()
    };
    children
        .iter()
        .map(|&child| {
            let facts = &site[child];
            let mut apart = positions(&facts.keep_apart);
            apart.extend(one_sided(child));
            apart.sort_unstable();
            apart.dedup();
            Member {
                months: facts.months(on),
                key_adult: facts.key_adult.filter(|_| by_key_adult),
                weekdays: std::array::from_fn(|day| !facts.attendance[day].is_empty()),
                apart,
                with: positions(&facts.keep_with),
            }
        })
        .collect()
}

/// The small groups of one date: of each standing group the members who come, without cells.
///
/// A group of one joins another, the young the young and the marched the marched ones, where
/// keep-apart and the room's largest group allow it; a group with a kept cell today stays, though
/// others may join it. Children of the day whom no standing group names are treated as groups of
/// one. Groups in which nobody comes are left out.
#[must_use]
pub fn groups_today(day: &Day, standing: &[StandingGroup]) -> Vec<Group> {
    let comes = |child: &ChildIndex| !day.child_here(*child).is_empty();
    let mut groups: Vec<Group> = standing
        .iter()
        .map(|group| Group {
            id: group.id.clone(),
            label: group.label.clone(),
            picture: group.picture.clone(),
            children: group.children.iter().copied().filter(comes).collect(),
            cells: Vec::new(),
        })
        .filter(|group| !group.children.is_empty())
        .collect();
    let mut named = standing.to_vec();
    for &(child, ref spans) in &day.children {
        if spans.is_empty() || groups.iter().any(|g| g.children.contains(&child)) {
            continue;
        }
        let StandingGroup { id, label, picture, .. } = names::free(&named);
        named.push(StandingGroup {
            id: id.clone(),
            label: label.clone(),
            picture: picture.clone(),
            children: vec![child],
        });
        groups.push(Group { id, label, picture, children: vec![child], cells: Vec::new() });
    }
    // From the last, so that whom no standing group names joins one before it could be joined.
    for at in (0..groups.len()).rev() {
        if let Some(host) = joins(day, &groups, at) {
            let guest = groups.remove(at).children;
            let host = if host > at { host - 1 } else { host };
            groups[host].children.extend(guest);
            groups[host].children.sort_unstable();
        }
    }
    groups
}

/// Which other group the group at `at` joins today, if it is one child and some group takes it.
fn joins(day: &Day, groups: &[Group], at: usize) -> Option<usize> {
    let [child] = groups[at].children[..] else { return None };
    let kept = day.kept.iter().any(|k| k.who == KeptFor::Group(groups[at].id.clone()));
    if kept {
        return None;
    }
    let site = &day.site;
    let key = |c: ChildIndex| -> Option<AdultIndex> { site[c].key_adult };
    let apart = |a: ChildIndex, b: ChildIndex| {
        site[a].keep_apart.contains(&b) || site[b].keep_apart.contains(&a)
    };
    let most = site[day.room].group_size.1.max(2);
    (0..groups.len())
        .filter(|&host| host != at && day.any_young(&groups[host].children) == day.is_young(child))
        .filter(|&host| groups[host].children.len() < most)
        .filter(|&host| groups[host].children.iter().all(|&other| !apart(child, other)))
        .min_by_key(|&host| {
            let others = &groups[host].children;
            let other_key = day.is_young(child) && others.iter().all(|&o| key(o) != key(child));
            let no_friend = !others.iter().any(|o| site[child].keep_with.contains(o));
            let years: u32 =
                others.iter().map(|&o| day.months(o).abs_diff(day.months(child))).sum::<u32>()
                    / (12 * u32::try_from(others.len()).unwrap_or(u32::MAX).max(1));
            (other_key, no_friend, others.len(), years, host)
        })
}
