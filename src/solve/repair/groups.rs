//! Who goes round together in the rest of the day.

use super::Broken;
use crate::chart::Group;
use crate::day::Day;
use crate::site::ChildIndex;
use crate::solve::groups::standing_groups;

/// The groups of the posted chart, cells empty, with the children who are here today after all:
/// each joins its standing group, or else the smallest one that takes it.
pub(super) fn groups(broken: Broken<'_>, seed: u64) -> Vec<Group> {
    let day = broken.day;
    let here = |c: &ChildIndex| !day.child_here(*c).is_empty();
    let mut groups: Vec<Group> = broken.posted.groups.clone();
    for group in &mut groups {
        group.cells.clear();
        group.children.retain(here);
    }
    let comes = day.children.iter().map(|(c, _)| *c).filter(here);
    let new: Vec<ChildIndex> =
        comes.filter(|c| !groups.iter().any(|g| g.children.contains(c))).collect();
    if new.is_empty() {
        return groups;
    }
    let standing = standing_groups(&day.site, day.room, day.date, seed);
    for child in new {
        let own = standing.iter().find(|s| s.children.contains(&child));
        let own = own.and_then(|s| groups.iter().position(|g| g.id == s.id));
        match own.or_else(|| host(day, &groups, child)) {
            Some(at) => {
                groups[at].children.push(child);
                groups[at].children.sort_unstable();
            }
            None => {
                let id = format!("with-{}", day.site[child].id);
                let label = day.site[child].label.clone();
                let picture = "boat".to_owned();
                groups.push(Group { id, label, picture, children: vec![child], cells: Vec::new() });
            }
        }
    }
    groups
}

/// The smallest group of children as young, or as old, with nobody to be kept apart from.
fn host(day: &Day, groups: &[Group], child: ChildIndex) -> Option<usize> {
    let apart = |other: &ChildIndex| {
        day.site[child].keep_apart.contains(other) || day.site[*other].keep_apart.contains(&child)
    };
    let fits = |g: &Group| {
        day.any_young(&g.children) == day.is_young(child) && !g.children.iter().any(apart)
    };
    let hosts = (0..groups.len()).filter(|&g| fits(&groups[g]));
    hosts.min_by_key(|&g| (groups[g].children.len(), g))
}
