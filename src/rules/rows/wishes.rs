//! Rows of the aims that open cells decide.

use super::Rows;
use crate::chart::{Block, BlockKind, Place, State};
use crate::day::Day;
use crate::day::materials::allergy_at;
use crate::model::frame::RoundOption;
use crate::model::unknowns::VISIT_MINUTES;
use crate::model::{CellOption, Frame, Line, Model, Planned, Target, Var};
use crate::site::{ChildIndex, Energy, Hazard, Mess, Span, StationIndex};
use crate::standards::{foods::Meeting, hazards::caution};
use crate::steps::{self, Stage};
use std::collections::{BTreeMap, BTreeSet};

fn station_options<'a>(
    rows: &'a Rows<'_, '_>,
    cell: usize,
) -> impl Iterator<Item = (StationIndex, Var)> + 'a {
    let options = rows.frame.cells[cell].options.iter().zip(&rows.unknowns.cells[cell]);
    steps::count(Stage::Model, 1 + options.len() as u64 / 8);
    options.filter_map(|(o, v)| match o.target {
        Target::Station(s) => Some((s, *v)),
        Target::Nest { .. } | Target::Unplaced => None,
    })
}

/// One for each owed visit that no cell makes.
pub fn must_do(rows: &Rows<'_, '_>, model: &mut Model) {
    for &(child, station) in &rows.frame.day.must_do {
        let mut line = Line::new(1);
        for var in rows.unknowns.visits(rows.frame, child, station) {
            line.add(-1, var);
        }
        model.short("must-do", format!("must-do:{}:{}", child.0, station.0), line, 1);
    }
}

/// Options by which a child surely visits a station, by the visits of each cell: the child is there
/// for a visit's minutes, whoever fetches it to be changed meanwhile.
fn sure_visits(rows: &Rows<'_, '_>, child: ChildIndex, cell: usize) -> Vec<(StationIndex, Var)> {
    let (frame, open) = (rows.frame, &rows.frame.cells[cell]);
    steps::count(Stage::Model, 1 + open.options.len() as u64 / 8);
    if !frame.groups[open.group].children.contains(&child) {
        return Vec::new();
    }
    // Who has a meal of its own in the middle is not there meanwhile.
    let plan = frame.children.iter().find(|(c, _)| *c == child).map_or(&[][..], |(_, plan)| plan);
    let there = |p: &Planned| matches!(p, Planned::Cell { cell: c, .. } if *c == cell);
    let here = plan.iter().filter(|p| there(p)).map(|p| p.span().minutes()).max().unwrap_or(0);
    let fetched = frame.rounds.iter().map(|ways| {
        let of = |way: &RoundOption| -> u16 {
            let mine = way.children.iter().filter(|c| c.0 == child);
            mine.filter_map(|c| c.1.meet(open.span)).map(|m| m.minutes()).sum()
        };
        ways.iter().map(of).max().unwrap_or(0)
    });
    if here < VISIT_MINUTES + fetched.sum::<u16>() {
        return Vec::new();
    }
    let options = open.options.iter().zip(&rows.unknowns.cells[cell]);
    let at = |(option, var): (&CellOption, &Var)| {
        let instead = option.instead.iter().find(|i| i.0 == child).map(|i| i.1);
        let own = match option.target {
            Target::Station(s) => Some(s),
            Target::Nest { .. } | Target::Unplaced => None,
        };
        instead.or(own).map(|s| (s, *var))
    };
    options.filter_map(at).collect()
}

/// Children of all groups, each with its group.
fn children<'a>(rows: &'a Rows<'_, '_>) -> impl Iterator<Item = (usize, ChildIndex)> + 'a {
    let groups = rows.frame.groups.iter().enumerate();
    groups.flat_map(|(g, group)| group.children.iter().map(move |&c| (g, c)))
}

/// Cells of a group.
fn cells_of(rows: &Rows<'_, '_>, group: usize) -> Vec<usize> {
    (0..rows.frame.cells.len()).filter(|&c| rows.frame.cells[c].group == group).collect()
}

/// One for each child and station visited again in one assigned stretch.
pub fn no_repeat(rows: &Rows<'_, '_>, model: &mut Model) {
    // Children of one group mostly go together: one quantity for all who do.
    let mut alike: BTreeMap<(usize, Run, StationIndex, Vec<Var>), i64> = BTreeMap::new();
    for (group, child) in children(rows) {
        let mut visits: BTreeMap<(Run, StationIndex), Vec<Var>> = BTreeMap::new();
        for c in cells_of(rows, group) {
            for (station, var) in sure_visits(rows, child, c) {
                let stretch = run_of(rows.frame, c);
                visits.entry((stretch, station)).or_default().push(var);
            }
        }
        for ((stretch, station), vars) in visits {
            *alike.entry((group, stretch, station, vars)).or_default() += 1;
        }
    }
    for ((group, stretch, station, vars), count) in alike {
        let line = vars.iter().fold(Line::new(-1), |l, v| l.plus(1, *v));
        let name = format!("again:{group}:{}:{}:{}", stretch.0, stretch.1, station.0);
        model.short("no-repeat", name, line, count);
    }
}

/// The turns of one assigned stretch with no meal, rest, circle or time outdoors between them: the
/// stretch, and how many of those have come before.
type Run = (usize, usize);

fn run_of(frame: &Frame<'_>, cell: usize) -> Run {
    use BlockKind::{Circle, Meal, Outdoors, Rest};
    let cell = &frame.cells[cell];
    let parts = |b: &&Block| matches!(b.kind, Meal(_) | Rest | Circle | Outdoors);
    let before = frame.blocks.iter().filter(parts).filter(|b| b.span.from < cell.span.from);
    (cell.stretch, before.count())
}

/// A care round that fetches children from something costs how much it disturbs.
pub fn little_disturbance(rows: &Rows<'_, '_>, model: &mut Model) {
    for (ways, vars) in rows.frame.rounds.iter().zip(&rows.unknowns.rounds) {
        for (way, var) in ways.iter().zip(vars) {
            model.cost("little-waiting", *var, way.disturbs);
        }
    }
}

/// Three still turns in a row; something vigorous right before rest; something wet right before
/// whole-group time: for each child who is there in all of it.
pub fn balance(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    let mut still_rows: BTreeMap<(usize, [Vec<Var>; 3]), i64> = BTreeMap::new();
    let mut badly_followed: BTreeMap<Var, i64> = BTreeMap::new();
    let mut settled = 0;
    for (child, plan) in &frame.children {
        // The last stay that is no way to somewhere, and the turns in a row before it.
        let mut before: Option<&Planned> = None;
        let mut turns: Vec<usize> = Vec::new();
        for planned in plan {
            match planned {
                Planned::Fixed(s) if matches!(s.at, Place::Transition | Place::Care) => continue,
                Planned::Fixed(s) => {
                    turns.clear();
                    match before {
                        Some(Planned::Cell { cell, .. }) => {
                            for (station, var) in sure_visits(rows, *child, *cell) {
                                let of = day.station(station);
                                let bad = match s.at {
                                    Place::Rest => of.energy == Energy::Vigorous,
                                    Place::WholeGroup => of.mess == Mess::Wet,
                                    _ => false,
                                };
                                if bad {
                                    *badly_followed.entry(var).or_default() += 1;
                                }
                            }
                        }
                        Some(Planned::Fixed(b)) if s.at == Place::Rest => {
                            let moving = matches!(b.at, Place::Movement | Place::Outdoors);
                            settled += i64::from(moving);
                        }
                        _ => {}
                    }
                }
                Planned::Cell { cell, .. } => {
                    if turns.last().is_some_and(|t| run_of(frame, *t) != run_of(frame, *cell)) {
                        turns.clear();
                    }
                    if turns.last() != Some(cell) {
                        turns.push(*cell);
                        if let [.., a, b, c] = turns[..] {
                            let still = |cell| -> Vec<Var> {
                                let visits = sure_visits(rows, *child, cell).into_iter();
                                let still =
                                    |s: &StationIndex| day.station(*s).energy == Energy::Still;
                                visits.filter(|(s, _)| still(s)).map(|v| v.1).collect()
                            };
                            *still_rows.entry((c, [a, b, c].map(still))).or_default() += 1;
                        }
                    }
                }
            }
            before = Some(planned);
        }
    }
    for ((cell, three), count) in still_rows {
        let line = three.iter().flatten().fold(Line::new(-2), |l, v| l.plus(1, *v));
        model.short("balance", format!("still-row:{cell}"), line, count);
    }
    badly_followed.into_iter().for_each(|(var, each)| model.cost("balance", var, each));
    if settled > 0 {
        let settled = model.forced("out-of-breath", vec![Line::new(settled)]);
        model.cost("balance", settled, 1);
    }
}

/// What is more than one above a child's fewest visits, squared, as the aim counts it.
///
/// Today a station gets one visit more or none, and the fewest rises by one only where every station
/// that has the fewest is visited: `behind` says that one of them is not. A visit on the same day to
/// the same station is one visit; so is what the layout settles, which is not seen here.
pub fn fair_shares(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    let above = |n: i64| (n - 1).max(0).pow(2);
    for (group, child) in children(rows).filter(|(_, c)| !day.is_young(*c)) {
        let before = visits_before(rows, child);
        let Some(fewest) = before.values().copied().min() else { continue };
        if before.values().all(|n| *n == fewest) {
            // No visit of today is more than one above the fewest.
            continue;
        }
        let mut today: BTreeMap<StationIndex, Vec<Var>> = BTreeMap::new();
        for c in cells_of(rows, group) {
            for (station, var) in sure_visits(rows, child, c) {
                today.entry(station).or_default().push(var);
            }
        }
        let name = |what: &str, s: StationIndex| format!("{what}:{}:{}", child.0, s.0);
        let unmet = before.iter().filter(|(_, n)| **n == fewest).map(|(station, _)| {
            let vars = today.get(station).map_or(&[][..], |v| v);
            vars.iter().fold(Line::new(1), |l, v| l.plus(-1, *v))
        });
        let behind = model.forced(format!("behind:{}", child.0), unmet.collect());
        let mut settled = 0;
        for (&station, &count) in &before {
            let n = count - fewest;
            // Left alone or visited, while nobody is behind and while somebody is.
            let (even, even_more) = (above(n - 1), above(n));
            let (left, left_more) = (above(n), above(n + 1));
            settled += even;
            model.cost("fair-shares", behind, left - even);
            let Some(vars) = today.get(&station).filter(|_| left_more > 0) else { continue };
            let once = vars.iter().map(|v| Line::default().plus(1, *v)).collect();
            let visited = model.forced(name("visited", station), once);
            model.cost("fair-shares", visited, even_more - even);
            let both = Line::new(-1).plus(1, visited).plus(1, behind);
            let both = model.forced(name("visited-behind", station), vec![both]);
            model.cost("fair-shares", both, (left_more - left) - (even_more - even));
        }
        if settled > 0 {
            let settled_before = vec![Line::new(settled)];
            let settled = model.forced(format!("uneven:{}", child.0), settled_before);
            model.cost("fair-shares", settled, 1);
        }
    }
    twice_a_day(rows, model);
}

/// Days with a visit before today, for each station of the room that is open today and that a child
/// may use.
fn visits_before(rows: &Rows<'_, '_>, child: ChildIndex) -> BTreeMap<StationIndex, i64> {
    let day = rows.frame.day;
    let spaces = &day.site[day.room].spaces;
    let counted = |s: &StationIndex| {
        spaces.contains(&day.station(*s).space)
            && !day.closed[s.0].iter().any(|span| span.holds(day.schedule.open))
            && may_use(day, child, *s)
    };
    let dates = |s: StationIndex| {
        let mine = day.record.visits.iter().filter(|v| v.child == child && v.station == s);
        let dates: BTreeSet<_> = mine.map(|v| v.date).filter(|d| *d < day.date).collect();
        dates.len() as i64
    };
    let stations = (0..day.stations.len()).map(StationIndex).filter(counted);
    stations.map(|s| (s, dates(s))).collect()
}

/// Whether age, allergies and "not for" let a child to a station.
fn may_use(day: &Day, child: ChildIndex, at: StationIndex) -> bool {
    let (facts, months, station) = (&day.site[child], day.months(child), day.station(at));
    let cautious = |h: &Hazard| caution(*h).barred_under_months.is_none_or(|least| months >= least);
    station.from_months <= months
        && station.below_months.is_none_or(|below| months < below)
        && station.hazards.iter().all(cautious)
        && !facts.not_for.contains(&at)
        && allergy_at(station, facts) == Meeting::No
}

/// Nobody meets one station twice a day for no reason: the last wish of all, and no aim of its own.
fn twice_a_day(rows: &Rows<'_, '_>, model: &mut Model) {
    let mut today: BTreeMap<(usize, StationIndex), Vec<Var>> = BTreeMap::new();
    for (c, cell) in rows.frame.cells.iter().enumerate() {
        for (station, var) in station_options(rows, c) {
            today.entry((cell.group, station)).or_default().push(var);
        }
    }
    for ((group, station), vars) in today {
        let line = vars.iter().fold(Line::new(-1), |l, v| l.plus(1, *v));
        let count = rows.frame.groups[group].children.len() as i64;
        model.short("fair-posts", format!("twice:{group}:{}", station.0), line, 2 * count);
    }
}

/// One for each child and turn away from every station that the child often chooses.
pub fn often_chosen(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    let mut elsewhere: BTreeMap<Var, i64> = BTreeMap::new();
    for (group, child) in children(rows) {
        let often = &day.site[child].often_chosen;
        if often.is_empty() {
            continue;
        }
        for c in cells_of(rows, group) {
            for (station, var) in sure_visits(rows, child, c) {
                if !often.contains(&station) {
                    *elsewhere.entry(var).or_default() += 1;
                }
            }
        }
    }
    elsewhere.into_iter().for_each(|(var, each)| model.cost("often-chosen", var, each));
}

/// A staff break costs what it takes from the minutes in which the children settle. Tasks cost nothing:
/// whether somebody does one is up to the posts.
pub fn settling(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    let Some(rest) = &day.schedule.rest else { return };
    // Whoever may be changed all that time need not lie there.
    let changed = |child: ChildIndex, settle: &Span| {
        let mut ways = frame.rounds.iter().flatten().flat_map(|way| &way.children);
        ways.any(|(c, span)| *c == child && span.meets(*settle))
    };
    let lies_down = |settle: &Span| {
        let lies = |p: &Planned| matches!(p, Planned::Fixed(s) if s.at == Place::Rest && s.span.meets(*settle));
        let mut children = frame.children.iter();
        children.any(|(child, plan)| plan.iter().any(lies) && !changed(*child, settle))
    };
    let settles: Vec<Span> = frame
        .blocks
        .iter()
        .filter(|b| b.kind == BlockKind::Rest)
        .filter_map(|b| Span::new(b.span.from, b.span.from.later(rest.settling_minutes)))
        .filter(lies_down)
        .collect();
    for (due, vars) in frame.breaks.iter().zip(&rows.unknowns.breaks) {
        for (start, var) in due.starts.iter().zip(vars) {
            let gone = Span { from: *start, to: start.later(due.minutes) };
            let within = settles.iter().filter_map(|s| s.meet(gone));
            let stretches: i64 = within.map(|w| i64::from(w.minutes().div_ceil(5))).sum();
            if stretches > 0 {
                model.cost("settling", *var, stretches);
            }
        }
    }
}

/// By preference staff breaks fall while most children sleep: one for every five waking children and
/// slice in a break.
pub fn breaks_in_rest(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for (b, vars) in frame.breaks.iter().zip(&rows.unknowns.breaks) {
        for (start, var) in b.starts.iter().zip(vars) {
            let inside = |s: &&crate::model::Slice| {
                *start <= s.span.from && s.span.to <= start.later(b.minutes)
            };
            let awake: usize = frame
                .slices
                .iter()
                .filter(inside)
                .map(|s| {
                    let asleep = frame.children.iter().flat_map(|(_, p)| p).filter(|p| {
                        matches!(p, Planned::Fixed(stay) if stay.state == State::Asleep && stay.span.holds(s.span))
                    });
                    s.children.len() - asleep.count().min(s.children.len())
                })
                .sum();
            if awake > 4 {
                model.cost("fair-posts", *var, (awake / 5) as i64);
            }
        }
    }
}

/// A task that is left undone costs its minutes.
pub fn tasks(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for ((task, _), vars) in frame.tasks.iter().zip(&rows.unknowns.tasks) {
        if let Some(&undone) = vars.last() {
            let minutes = frame.day.schedule.tasks[*task].minutes;
            model.cost("tasks", undone, i64::from(minutes));
        }
    }
}
