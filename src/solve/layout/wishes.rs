//! What is wished of a layout, in order; and what today's children wish of it.

use super::super::allow::may_use;
use super::super::care::{due, turn};
use crate::chart::{BlockKind, Group};
use crate::day::Day;
use crate::rules::settled::{MOST_TURNS, Settled, fewest_turns, has_time_for_turns};
use crate::site::{ChildIndex, Mess, Minute, SpaceIndex, Span, StationIndex, Toileting};
use std::collections::BTreeMap;

/// By how much a layout falls short of what is wished, most wanted first: an earlier wish is never
/// given up for a later one. 0 is best everywhere but in what counts against nothing (`turns`).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub struct Wishes {
    /// Meals and rests that are not held at all.
    pub left_out: i64,
    /// Minutes by which windows, times between meals, the way to a fixed part, the minutes of the
    /// rest and kept cells are missed.
    pub missed: i64,
    /// Movement breaks that somebody is owed and that are not held.
    pub unmoved: i64,
    /// Minutes of sitting beyond the longest still stretch.
    pub still: i64,
    /// What no teacher would draw: blocks too short to settle to, minutes of mere waiting, moving
    /// before anyone has sat, or right before rest.
    pub odd: i64,
    /// Quarters of an hour that the care rounds lack because nobody can be fetched, or leave, in their windows.
    pub uncared: i64,
    /// Turns too few for the visits owed today.
    pub visits: i64,
    /// Children who go round with a group and have less choice than a third of their turns and choice.
    pub under_third: i64,
    /// Movement breaks short of the day's target, past those that somebody is owed.
    pub moving: i64,
    /// Quarters of an hour that the longest stretch of choice between arrival and going home is
    /// short of what lets a child begin something and end it.
    pub long_choice: i64,
    /// Tens of minutes by which movement breaks are too close together.
    pub close: i64,
    /// Quarters of an hour that an average child's choice is short of a third of its time here.
    pub choice: i64,
    /// Smaller roughness: a turn alone, a meal drawn out, a choice that gets long.
    pub rough: i64,
    /// Turns, taken off.
    pub turns: i64,
    /// Minutes on the way, and what is left of taste: lengths off the usual.
    pub waiting: i64,
    /// Turns that a day has at the least.
    pub fewest_turns: i64,
}

impl Wishes {
    /// What it comes to, as a finished chart is measured.
    #[must_use]
    pub fn settled(&self) -> Settled {
        let turns = -self.turns;
        Settled {
            odd: self.odd,
            turns_lacking: (self.fewest_turns - turns).max(0),
            under_third: self.under_third,
            moves_lacking: self.unmoved + self.moving,
            long_choice: self.long_choice,
            close: self.close,
            choice: self.choice,
            rough: self.rough,
            fewer_turns: (MOST_TURNS - turns).max(0),
        }
    }

    /// The part that breaks a rule: not a matter of taste.
    #[must_use]
    pub fn fails(&self) -> [i64; 4] {
        [self.left_out, self.missed, self.unmoved, self.still]
    }
}

/// What today's children want of a layout.
pub(super) struct Wanted {
    /// Movement breaks of the day.
    pub target: u32,
    /// Movement breaks that the child who is here longest is owed.
    pub owed: u32,
    /// Turns that today's owed visits need, and as many as a day has at the least.
    pub turns: u32,
    /// Minutes of choice, summed over the children: a third of their time here. A third of the
    /// session is "a substantial portion": a secondary source.
    pub choice: i64,
    /// Children who go round with a group, one for all who come, go and rest alike, with how many
    /// they are.
    pub alike: Vec<(ChildIndex, i64)>,
    /// The window of each care round with the minutes that it takes.
    pub care: Vec<(Span, u16)>,
    /// There is only one adult.
    alone: bool,
    /// For each minute of the day, whether some group that goes round has more children here than the
    /// largest station has seats.
    crowded: Vec<bool>,
    /// For each minute of the day, the minutes before it in which children are here, summed over them.
    here: Vec<i64>,
}

/// Minutes by which a care round may run over its window without anyone minding (common practice).
const RUNS_OVER: u16 = 20;

/// Different ways of coming, going and resting that a layout looks at.
pub(super) const MOST_ALIKE: usize = 10;

/// Care rounds that a layout looks at.
pub(super) const MOST_ROUNDS: usize = 6;

impl Wanted {
    pub fn new(day: &Day, groups: &[Group]) -> Wanted {
        let movement = &day.schedule.movement;
        let target = if day.indoor.value { movement.indoor_day } else { movement.outdoor_day };
        let open = u64::from(day.schedule.open.minutes()).max(1);
        let minutes = |here: &[Span]| here.iter().map(|h| u64::from(h.minutes())).sum::<u64>();
        let owed = |here: &[Span]| u64::from(target) * minutes(here) / open;
        let marched = day.children.iter().filter(|(c, _)| !day.is_young(*c));
        let most = marched.map(|(_, here)| owed(here)).max().unwrap_or(0);
        let all: u64 = day.children.iter().map(|(_, here)| minutes(here)).sum();
        Wanted {
            target,
            owed: u32::try_from(most).unwrap_or(target).min(target),
            turns: turns(day, groups),
            choice: i64::try_from(all / 3).unwrap_or(0),
            alike: alike(day),
            care: care(day),
            alone: day.adults.len() < 2,
            crowded: crowded(day, groups),
            here: here(day),
        }
    }

    /// Whether children can be fetched from a block to be changed, and somebody goes with them: who
    /// is alone has to see the others meanwhile.
    pub fn is_for_care(&self, kind: BlockKind) -> bool {
        match kind {
            BlockKind::Choice | BlockKind::Arrival | BlockKind::GoingHome => true,
            BlockKind::Turn | BlockKind::Circle | BlockKind::Transition => !self.alone,
            _ => false,
        }
    }

    /// Whether some group is too large for every station in a span: it could go nowhere in a turn.
    pub fn is_crowded(&self, span: Span) -> bool {
        (span.from.0..span.to.0).any(|m| self.crowded.get(usize::from(m)).is_some_and(|c| *c))
    }

    /// Minutes of a span in which children are here, summed over them.
    pub fn child_minutes(&self, span: Span) -> i64 {
        let until = |minute: Minute| self.here[usize::from(minute.0).min(self.here.len() - 1)];
        until(span.to) - until(span.from)
    }
}

/// For each minute of the day, whether some group that goes round has more children here than the largest
/// station has seats.
fn crowded(day: &Day, groups: &[Group]) -> Vec<bool> {
    let indoors = |space: SpaceIndex| !day.site[space].outdoors;
    let stations = day.stations.iter().filter(|station| indoors(station.space));
    let most = stations.map(|station| station.seats as usize).max().unwrap_or(0);
    let here = |c: &&ChildIndex, minute: u16| {
        day.child_here(**c).iter().any(|h| h.contains(Minute(minute)))
    };
    let large = groups.iter().filter(|g| g.children.len() > most && !day.any_young(&g.children));
    let large: Vec<&Group> = large.collect();
    let crowded = |minute: u16| {
        large.iter().any(|g| g.children.iter().filter(|c| here(c, minute)).count() > most)
    };
    (0..=Minute::END_OF_DAY.0).map(crowded).collect()
}

/// For each minute of the day, the minutes before it in which children are here.
fn here(day: &Day) -> Vec<i64> {
    let spans: Vec<Span> = day.children.iter().flat_map(|(_, here)| here).copied().collect();
    let mut sum = 0;
    (0..=Minute::END_OF_DAY.0)
        .map(|minute| {
            let before = sum;
            sum += spans.iter().filter(|h| h.contains(Minute(minute))).count() as i64;
            before
        })
        .collect()
}

/// One of the children who go round with a group for all who come, go and rest alike.
fn alike(day: &Day) -> Vec<(ChildIndex, i64)> {
    let mut alike: Vec<(ChildIndex, i64)> = Vec::new();
    for (child, here) in day.children.iter().filter(|(c, _)| !day.is_young(*c)) {
        let like = |other: ChildIndex| {
            let (one, two) = (&day.site[*child], &day.site[other]);
            day.child_here(other) == here
                && (&one.sleep, one.quiet_rest_minutes) == (&two.sleep, two.quiet_rest_minutes)
        };
        match alike.iter_mut().find(|(other, _)| like(*other)) {
            Some((_, count)) => *count += 1,
            None => alike.push((*child, 1)),
        }
    }
    alike.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    alike.truncate(MOST_ALIKE);
    alike
}

/// The window of each care round, with the minutes for all who are due in it: learners go two at a
/// time.
fn care(day: &Day) -> Vec<(Span, u16)> {
    let rounds = day.schedule.care_rounds.iter().take(MOST_ROUNDS);
    let minutes = |window: Span| {
        let nappies = |c: &ChildIndex| day.site[*c].toileting == Toileting::Nappies;
        let (nappies, learners): (Vec<_>, Vec<_>) = due(day, window).partition(nappies);
        let times = nappies.len() + learners.len().div_ceil(2);
        u16::try_from(times).unwrap_or(u16::MAX).saturating_mul(turn(day))
    };
    let runs_over = |w: Span| Span { to: w.to.later(RUNS_OVER), ..w };
    rounds.map(|r| (runs_over(r.window), minutes(r.window))).collect()
}

/// Whether a group can be sent to a station: whoever may not use it has another place in its zone.
fn may_go(day: &Day, group: &Group, station: StationIndex) -> bool {
    let here = |c: &&ChildIndex| !day.child_here(**c).is_empty();
    let mut barred = group.children.iter().filter(here).filter(|c| !may_use(day, **c, station));
    barred.all(|&child| {
        (0..day.stations.len()).map(StationIndex).any(|s| {
            let other = day.station(s);
            s != station
                && other.zone == day.station(station).zone
                && !day.takes_own_adult(s)
                && other.mess == Mess::None
                && may_use(day, child, s)
        })
    })
}

/// Turns that the visits owed need at the least: one group at a station at a time, and one wet
/// station unless the site allows more.
fn turns(day: &Day, groups: &[Group]) -> u32 {
    /// A day holds no more, however much is owed.
    const MOST: u32 = 6;
    if !has_time_for_turns(day) {
        return 0;
    }
    let group_of = |c: ChildIndex| groups.iter().position(|g| g.children.contains(&c));
    let mut owed: BTreeMap<StationIndex, Vec<usize>> = BTreeMap::new();
    for &(child, station) in &day.must_do {
        if let Some(group) = group_of(child).filter(|&g| may_go(day, &groups[g], station)) {
            let groups = owed.entry(station).or_default();
            if !groups.contains(&group) {
                groups.push(group);
            }
        }
    }
    let count = |groups: &Vec<usize>| u32::try_from(groups.len()).unwrap_or(MOST);
    let longest = owed.values().map(count).max().unwrap_or(0);
    let wet = owed.iter().filter(|(s, _)| day.station(**s).mess == Mess::Wet);
    let wet: u32 = wet.map(|(_, groups)| count(groups)).sum();
    let one_wet = if day.site.settings.two_wet_stations { 0 } else { wet };
    longest.max(one_wet).clamp(u32::try_from(fewest_turns(day)).unwrap_or(0), MOST)
}
