//! One adult's day: the ways merged into what follows, with the own heads to count.

use crate::chart::{AdultDay, BlockKind, Chart, Group, Place, Post, Stay, present_at};
use crate::day::Day;
use crate::planner::{HeadCount, head_counts};
use crate::say::{self, adult as said};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, slices};
use std::collections::BTreeMap;

/// Most groups and children whose names stand at a post; of more only the heads.
const MOST_NAMED: usize = 3;

/// One adult's day.
#[derive(Clone, Debug)]
pub struct Own {
    /// Who.
    pub name: String,
    /// The shift, and what a stranger must know.
    pub known: Vec<String>,
    /// What from when on, until the next.
    pub lines: Vec<(Minute, String)>,
}

impl Own {
    /// Of an adult of the chart; `short`: where a heading says what is counted.
    pub fn of(
        day: &Day,
        chart: &Chart,
        counts: &[HeadCount],
        adult: &AdultDay,
        short: bool,
    ) -> Own {
        let all_day = beside_all_day(adult);
        let mut own = Own {
            name: day.site[adult.adult].label.clone(),
            known: said::known(day, adult.adult, all_day),
            lines: Vec::new(),
        };
        let mut way: Option<(Span, Vec<usize>)> = None;
        let mut before: Option<Post> = None;
        for mut post in adult.posts.iter().flat_map(|post| by_heads(counts, adult.adult, post)) {
            let count = count_of(counts, adult.adult, &post).map(|count| count.children.len());
            let alone = post.for_child.is_some();
            post.for_child = post.for_child.filter(|_| all_day.is_none());
            if way.as_ref().is_some_and(|(span, _)| span.to != post.span.from) {
                own.left_over(way.take(), short);
            }
            if post.at == Place::Transition && post.for_child.is_none() {
                let (span, heads) = way.get_or_insert((post.span, Vec::new()));
                span.to = post.span.to;
                heads.extend(count.filter(|n| heads.last() != Some(n)));
                before = None;
                continue;
            }
            let same = |b: &Post| {
                let alike = Post { span: post.span, ..b.clone() };
                alike == post && b.span.to == post.span.from
            };
            let goes_on = before.as_ref().is_some_and(same);
            let also = count.map(said::also);
            if goes_on {
                own.lines.extend(also.map(|also| (post.span.from, also)));
            } else {
                let words = words(day, chart, adult.adult, (&post, alone), short);
                let (from, counts) =
                    way.take().map_or((post.span.from, Vec::new()), |(s, c)| (s.from, c));
                let words = also.map_or(words.clone(), |also| said::both(&words, &also));
                own.lines.push((from, said::way(&counts, Some(&words), short)));
            }
            before = Some(post);
        }
        own.left_over(way, short);
        own
    }

    /// A way after which nothing follows.
    fn left_over(&mut self, way: Option<(Span, Vec<usize>)>, short: bool) {
        self.lines.extend(way.map(|(span, counts)| (span.from, said::way(&counts, None, short))));
    }
}

/// Every adult's day; heads that several count together, and what all do who are here then, are told
/// once, before them.
pub(super) fn everybody(day: &Day, chart: &Chart) -> Vec<Own> {
    let (shared, single): (Vec<HeadCount>, Vec<HeadCount>) =
        head_counts(day, chart).into_iter().partition(|count| count.adults.len() > 1);
    let own = |adult| Own::of(day, chart, &single, adult, true);
    let mut owns: Vec<Own> = chart.adults.iter().map(own).collect();
    let mut together: Vec<(Minute, String)> = Vec::new();
    for line in owns.iter().flat_map(|own| own.lines.clone()) {
        let here = chart.adults.iter().zip(&owns);
        let here = here.filter(|(a, _)| a.posts.iter().any(|p| p.span.contains(line.0)));
        let here: Vec<&Own> = here.map(|(_, own)| own).collect();
        if here.len() > 1 && here.iter().all(|own| own.lines.contains(&line)) {
            together.push(line);
        }
    }
    together.sort();
    together.dedup();
    for own in &mut owns {
        own.lines.retain(|line| !together.contains(line));
    }
    let mut lines: BTreeMap<Minute, String> = together.into_iter().collect();
    let home = day.site[day.room].home;
    for (n, count) in shared.iter().enumerate() {
        let before = shared[..n].iter().rfind(|b| b.space == count.space);
        let same = |b: &&HeadCount| b.children.len() == count.children.len();
        if before.filter(same).is_some_and(|b| b.span.to == count.span.from) {
            continue;
        }
        let line = lines.entry(count.span.from).or_default();
        let label = day.site[count.space].label.as_str();
        let space = (count.space != home && !line.contains(label)).then_some(label);
        *line = said::all_count(count.children.len(), n == 0, space, line);
    }
    if !lines.is_empty() {
        let (name, lines) = (said::ALL.into(), lines.into_iter().collect());
        owns.insert(0, Own { name, known: Vec::new(), lines });
    }
    owns
}

/// Whose heads one adult counts on the way, and whom this adult changes.
pub fn by_name(
    day: &Day,
    chart: &Chart,
    counts: &[HeadCount],
    adult: &AdultDay,
) -> Vec<(Span, String)> {
    let mut told: Vec<(Span, Vec<ChildIndex>)> = Vec::new();
    for post in adult.posts.iter().flat_map(|post| by_heads(counts, adult.adult, post)) {
        let who: Vec<ChildIndex> = match (count_of(counts, adult.adult, &post), post.at) {
            (Some(count), _) => count.children.clone(),
            (None, Place::Care) => {
                let changed = |s: &Stay| {
                    s.at == Place::Care && s.space == post.space && s.span.meets(post.span)
                };
                let there = chart.children.iter().filter(|c| c.stays.iter().any(changed));
                there.map(|c| c.child).collect()
            }
            _ => continue,
        };
        match told.last_mut() {
            Some((span, before)) if span.to == post.span.from && *before == who => {
                span.to = post.span.to;
            }
            _ => told.push((post.span, who)),
        }
    }
    told.retain(|(_, who)| !who.is_empty());
    told.into_iter().map(|(span, who)| (span, say::children(day, &who))).collect()
}

/// The child whom an adult is beside at every post but the staff breaks.
fn beside_all_day(adult: &AdultDay) -> Option<ChildIndex> {
    let working = || adult.posts.iter().filter(|p| !matches!(p.at, Place::StaffBreak(_)));
    let child = working().next()?.for_child;
    child.filter(|_| working().all(|p| p.for_child == child))
}

/// What an adult is at; `alone`: for one child alone.
fn words(
    day: &Day,
    chart: &Chart,
    adult: AdultIndex,
    (post, alone): (&Post, bool),
    short: bool,
) -> String {
    let site = &day.site;
    let heads = if alone { (Vec::new(), 0) } else { own_heads(day, chart, post) };
    let mut what = match post.at {
        Place::StaffBreak(which) => {
            let due = site[adult].breaks.get(which);
            said::staff_break(post.span.to, due.is_some_and(|b| b.may_leave), short)
        }
        Place::Table(table) => {
            // Which group sits at which table stands in the grid.
            let named = short && !heads.0.is_empty();
            let table = (!named).then_some(&*site[table].label);
            let what = said::at_table(meal_then(chart, post.span), table);
            match post.for_child {
                Some(child) => say::place::beside(day, child, &what),
                None => what,
            }
        }
        Place::Task(task) if !day.schedule.tasks.get(task).is_some_and(|t| t.watching) => {
            said::not_watching(&say::place::of_adults(day, post.at, post.space, post.for_child))
        }
        Place::Care if short && post.for_child.is_none() => said::NAPPIES.to_owned(),
        at => say::place::of_adults(day, at, post.space, post.for_child),
    };
    if heads.1 > 0 {
        what += &said::heads(&heads.0, heads.1);
    }
    what + &post.covers.map_or_else(String::new, |other| said::covers(&site[other].label))
}

/// Children who sit or play where the adult is, by their groups, and how many heads; whoever chooses is counted where it
/// goes.
fn own_heads<'c>(day: &'c Day, chart: &'c Chart, post: &Post) -> (Vec<&'c str>, usize) {
    let there = |at: Place| match (post.at, at) {
        (Place::Station(_) | Place::Table(_), at) => at == post.at,
        (Place::Zone(zone), Place::Station(s)) => day.station(s).zone == zone,
        (Place::Zone(zone), Place::Table(t)) => day.site[t].zone == zone,
        _ => false,
    };
    let children = present_at(chart, post.span.from).0.into_iter();
    let heads: Vec<ChildIndex> = children.filter(|(_, s)| there(s.at)).map(|(c, _)| c).collect();
    // A group of which most are there by its name, else the children, or nobody where they are many.
    let there = |g: &&Group| {
        let there = g.children.iter().filter(|c| heads.contains(c)).count();
        2 * there > g.children.len()
    };
    let groups: Vec<&Group> = chart.groups.iter().filter(there).collect();
    let others = heads.iter().filter(|c| !groups.iter().any(|g| g.children.contains(c)));
    let others: Vec<&str> = others.map(|c| &*day.site[*c].label).collect();
    let mut names: Vec<&str> = groups.iter().map(|g| g.label.as_str()).collect();
    if others.len() <= MOST_NAMED {
        names.extend(others);
    }
    names.truncate(if names.len() <= MOST_NAMED { MOST_NAMED } else { 0 });
    (names, heads.len())
}

/// The meal whose block the post falls into.
fn meal_then(chart: &Chart, span: Span) -> Option<&'static str> {
    chart.blocks.iter().find_map(|b| match b.kind {
        BlockKind::Meal(kind) if b.span.meets(span) => Some(say::block::meal(kind)),
        _ => None,
    })
}

/// The children on the way whom an adult counts at a post, from its start.
fn count_of<'c>(counts: &'c [HeadCount], adult: AdultIndex, post: &Post) -> Option<&'c HeadCount> {
    let here = |c: &&HeadCount| {
        c.space == post.space && c.adults.contains(&adult) && c.span.contains(post.span.from)
    };
    counts.iter().find(here)
}

/// A post cut where there are other heads to count.
fn by_heads(counts: &[HeadCount], adult: AdultIndex, post: &Post) -> Vec<Post> {
    let mine = counts.iter().filter(|c| c.space == post.space && c.adults.contains(&adult));
    let inner = mine.flat_map(|c| [c.span.from, c.span.to]);
    let inner = inner.filter(|e| post.span.from < *e && *e < post.span.to);
    let edges = inner.chain([post.span.from, post.span.to]);
    slices(edges).into_iter().map(|span| Post { span, ..post.clone() }).collect()
}
