//! What the blocks of a day settle of the aims, before anybody is anywhere.
//!
//! A layout is chosen by what it comes to ([`Settled`] of its pieces, counted as they are put
//! together), a finished chart is measured by what its blocks come to ([`Settled::of`]); a test holds
//! the two together.

use crate::chart::{Block, BlockKind, Chart};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Sleep, SpaceIndex, Span, StretchKind};

/// What the blocks of a day come to; smaller is better in each.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Settled {
    /// What no teacher would draw: see the aim `well-drawn`.
    pub odd: i64,
    /// Assigned turns fewer than [`fewest_turns`].
    pub turns_lacking: i64,
    /// Children who go round and choose less than a third of their turns and choice.
    pub under_third: i64,
    /// Movement breaks (times outdoors count) short of the day's target.
    pub moves_lacking: i64,
    /// Quarters of an hour that the longest stretch of choice is short of [`LONG_CHOICE`].
    pub long_choice: i64,
    /// Tens of minutes by which movement breaks are nearer to one another than [`APART`].
    pub close: i64,
    /// Quarters of an hour that an average child's choice is short of a third of its time here.
    pub choice: i64,
    /// Smaller roughness: see the aim `even-blocks`.
    pub rough: i64,
    /// Assigned turns fewer than [`MOST_TURNS`].
    pub fewer_turns: i64,
}

/// Shortest turn worth settling to, where the children are old enough for it (common practice:
/// toddlers 5 to 10 minutes, three-year-olds 10 to 15, older ones 15 to 20).
pub const SETTLED_TURN: u16 = 15;

/// Shortest stretch, in minutes, that counts as free choice: at least 15 in a checklist told by a
/// secondary source.
pub const SHORTEST_CHOICE: u16 = 15;

/// A stretch of choice long enough to begin something and end it. A US state's contract for
/// classes before school asks for one of 45 minutes (verified); on a day with turns as well 40
/// minutes are common practice.
pub const LONG_CHOICE: u16 = 40;

/// Minutes between two movement breaks below which they are too close together, and below which a
/// teacher would rather have them further apart (both common practice).
pub const APART: u16 = 40;
/// See [`APART`].
pub const WELL_APART: u16 = 60;

/// Minutes before a rest in which nobody runs about any more (common practice).
pub const CALM: u16 = 20;

/// Minutes of choice in one piece beyond which it gets long (common practice).
pub const CHOICE_GETS_LONG: u16 = 75;

/// Assigned turns of a day beyond which one more counts for nothing.
pub const MOST_TURNS: i64 = 6;

/// Assigned turns that a day has at the least, where there is time for turns; more of them never cost
/// choice.
#[must_use]
pub fn fewest_turns(day: &Day) -> i64 {
    if has_time_for_turns(day) { 2 } else { 0 }
}

/// Fives of minutes begun.
#[must_use]
pub fn fives(minutes: u16) -> i64 {
    i64::from(minutes.div_ceil(5))
}

/// Tens of minutes begun by which two times are nearer to each other than they should be.
#[must_use]
pub fn tens_too_close(apart: u16, should: u16) -> i64 {
    i64::from(should.saturating_sub(apart).div_ceil(10))
}

/// Fives of minutes, by two, that a turn is too short to settle to: less than 15 minutes, where the
/// usual turn of today's children is as long.
#[must_use]
pub fn too_short_a_turn(day: &Day, minutes: u16) -> i64 {
    2 * fives(SETTLED_TURN.min(day.usual_turn()).saturating_sub(minutes))
}

/// Fives of minutes, by three, that a choice is too short to be one.
#[must_use]
pub fn too_short_a_choice(minutes: u16) -> i64 {
    3 * fives(SHORTEST_CHOICE.saturating_sub(minutes))
}

/// Whether there is time for turns at all.
#[must_use]
pub fn has_time_for_turns(day: &Day) -> bool {
    day.schedule.stretches.iter().any(|s| s.kind == StretchKind::Assigned)
}

/// Whole quarters of an hour of an average child in minutes summed over today's children.
#[must_use]
pub fn quarters(day: &Day, child_minutes: i64) -> i64 {
    let each = 15 * i64::try_from(day.children.len().max(1)).unwrap_or(1);
    (child_minutes.max(0) + each - 1) / each
}

/// Children who are on the cots by their own clock shortly before a minute, or still then.
#[must_use]
pub fn asleep_until(day: &Day, minute: Minute) -> i64 {
    let washes = minute.earlier(day.schedule.transition_minutes);
    let before = Span { from: washes, to: minute.later(1) };
    let sleeps = |own: &Sleep| match own {
        Sleep::At(times) => times.iter().any(|t| t.meets(before)),
        _ => false,
    };
    day.children.iter().filter(|(c, _)| sleeps(&day.site[*c].sleep)).count() as i64
}

/// What a part of a block in which a child is here does to the third that is to be its own choice: a
/// turn, and a choice too short to be one, count once against it, choice and being up in the rest
/// count twice for it.
#[must_use]
pub fn beyond_a_third(day: &Day, child: ChildIndex, kind: BlockKind, here: Span) -> i64 {
    let minutes = match kind {
        BlockKind::Turn | BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome => {
            here.minutes()
        }
        BlockKind::Rest => here.to.0 - day.up_from_rest(child, here).0,
        _ => return 0,
    };
    let chosen = kind != BlockKind::Turn && minutes >= SHORTEST_CHOICE;
    i64::from(minutes) * if chosen { 2 } else { -1 }
}

impl Settled {
    /// What the blocks of a finished chart come to.
    #[must_use]
    pub fn of(day: &Day, chart: &Chart) -> Settled {
        let mut reading = Blocks {
            day,
            chart,
            settled: Settled::default(),
            moved_at: None,
            run: 0,
            longest: 0,
            chosen: 0,
            over_third: Vec::new(),
        };
        let marched = day.children.iter().filter(|(c, _)| !day.is_young(*c));
        reading.over_third = marched.map(|(child, _)| (*child, 0)).collect();
        // A chart from a person's hand may have blocks that cannot be read.
        let readable = |b: &&Block| b.span.from < b.span.to && b.span.to <= Minute::END_OF_DAY;
        let blocks = chart.blocks.iter().filter(readable);
        let blocks = blocks.filter(|b| b.kind != BlockKind::Transition);
        let blocks: Vec<&Block> = blocks.collect();
        for (at, block) in blocks.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| blocks[before]);
            reading.read(before, block, blocks.get(at + 1).copied());
        }
        reading.end(&blocks)
    }
}

/// A chart's blocks, read one after another.
struct Blocks<'a> {
    day: &'a Day,
    chart: &'a Chart,
    settled: Settled,
    /// When the children last moved or were out.
    moved_at: Option<Minute>,
    /// Turns of the run that is going on.
    run: u32,
    /// Minutes of the longest choice.
    longest: u16,
    /// Minutes of choice, summed over the children.
    chosen: i64,
    /// By which choice is more than a third of turns and choice, three times over, for each child who
    /// goes round.
    over_third: Vec<(ChildIndex, i64)>,
}

impl Blocks<'_> {
    fn read(&mut self, before: Option<&Block>, block: &Block, next: Option<&Block>) {
        let (kind, span, minutes) = (block.kind, block.span, block.span.minutes());
        if let Some(before) = before {
            self.settled.odd += self.idle(before, block);
        }
        if kind != BlockKind::Turn {
            self.end_run();
        }
        let last = before.map(|b| b.kind);
        match kind {
            BlockKind::Turn => {
                self.run += 1;
                self.settled.odd += too_short_a_turn(self.day, minutes);
            }
            BlockKind::Choice => {
                // Unless it goes on until everybody has gone home.
                let goes_home =
                    next.is_some_and(|n| n.kind == BlockKind::GoingHome && n.span.from == span.to);
                self.settled.odd += if goes_home { 0 } else { too_short_a_choice(minutes) };
                let long = minutes.saturating_sub(CHOICE_GETS_LONG);
                self.settled.rough += i64::from(long.div_ceil(15));
                self.longest = self.longest.max(minutes);
            }
            BlockKind::Movement => {
                let unsettled = matches!(last, Some(BlockKind::Arrival | BlockKind::Circle));
                self.settled.odd += i64::from(unsettled);
                let apart = self.moved_at.map(|m| span.from.0.saturating_sub(m.0));
                let apart = apart.unwrap_or(WELL_APART);
                self.settled.close += tens_too_close(apart, APART);
                self.settled.rough += tens_too_close(apart, WELL_APART);
            }
            BlockKind::Outdoors => {
                self.settled.odd += 4 * i64::from(last == Some(BlockKind::Movement));
            }
            BlockKind::Rest => {
                let hot = self.moved_at.is_some_and(|m| span.from < m.later(CALM));
                self.settled.odd += 3 * i64::from(hot);
            }
            BlockKind::Meal(meal) if last != Some(kind) => {
                self.settled.odd += asleep_until(self.day, span.from);
                let facts = self.day.schedule.meal(meal);
                let longer = facts.map_or(0, |m| minutes.saturating_sub(m.minutes));
                self.settled.rough += i64::from(longer / 5);
            }
            _ => {}
        }
        if matches!(kind, BlockKind::Movement | BlockKind::Outdoors) {
            self.moved_at = Some(span.to);
        }
        for (child, over) in &mut self.over_third {
            *over += self
                .day
                .child_here(*child)
                .iter()
                .filter_map(|h| h.meet(span))
                .map(|here| beyond_a_third(self.day, *child, kind, here))
                .sum::<i64>();
        }
        let chosen = matches!(kind, BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome);
        if chosen && minutes >= SHORTEST_CHOICE {
            let here = self.day.children.iter().flat_map(|(_, here)| here);
            let inside = here.filter_map(|h| h.meet(span)).map(|s| i64::from(s.minutes()));
            self.chosen += inside.sum::<i64>();
        }
    }

    /// A run of turns is over: a turn alone is rough.
    fn end_run(&mut self) {
        self.settled.rough += i64::from(self.run == 1);
        self.run = 0;
    }

    /// Fives of minutes between two blocks in which there is nothing to do.
    fn idle(&self, before: &Block, block: &Block) -> i64 {
        let between = block.span.from.0.saturating_sub(before.span.to.0);
        let (from, to) = ((before.kind, self.space(before)), (block.kind, self.space(block)));
        let takes = self.day.transition_minutes(before.span.to, from, to);
        fives(between.saturating_sub(takes))
    }

    /// Where most groups are in a block.
    fn space(&self, block: &Block) -> SpaceIndex {
        let cells = self.chart.groups.iter().flat_map(|g| &g.cells);
        let spaces = cells.filter(|c| c.span.meets(block.span)).map(|c| c.space);
        let mut counts: Vec<(usize, SpaceIndex)> = Vec::new();
        for space in spaces {
            match counts.iter_mut().find(|(_, known)| *known == space) {
                Some((count, _)) => *count += 1,
                None => counts.push((1, space)),
            }
        }
        let most = counts.iter().map(|(count, _)| *count).max();
        let first = counts.iter().find(|(count, _)| Some(*count) == most);
        first.map_or(self.day.site[self.day.room].home, |(_, space)| *space)
    }

    fn end(mut self, blocks: &[&Block]) -> Settled {
        self.end_run();
        let day = self.day;
        let turns = blocks.iter().filter(|b| b.kind == BlockKind::Turn).count() as i64;
        let movement = &day.schedule.movement;
        let moves = blocks.iter().filter(|b| {
            matches!(b.kind, BlockKind::Movement | BlockKind::Outdoors)
                && b.span.minutes() >= movement.minutes
        });
        let target = if day.indoor.value { movement.indoor_day } else { movement.outdoor_day };
        let here = day.children.iter().flat_map(|(_, here)| here);
        let here: i64 = here.map(|h| i64::from(h.minutes())).sum();
        let long = LONG_CHOICE.saturating_sub(self.longest);
        Settled {
            turns_lacking: (fewest_turns(day) - turns).max(0),
            moves_lacking: (i64::from(target) - moves.count() as i64).max(0),
            long_choice: i64::from(long.div_ceil(15)),
            choice: quarters(day, here / 3 - self.chosen),
            fewer_turns: (MOST_TURNS - turns).max(0),
            under_third: self.over_third.iter().filter(|(_, over)| *over < 0).count() as i64,
            ..self.settled
        }
    }
}
