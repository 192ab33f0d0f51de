//! What of a set of changes can be left out, how near to its window a staff break can stay, how
//! short an adult's help can be and what she need not be able to do.

use super::sets::parts;
use super::trials::Trials;
use crate::chart::{Place, Post};
use crate::day::{Day, ExtraAdult};
use crate::planner::edit::Edit;
use crate::planner::edit::floor::{children_of, runs};
use crate::site::{ChildIndex, Minute, Span};
use crate::solve::GRID;

/// Most parts of the children of groups that are tried in place of all of them.
const MOST_PARTS: usize = 12;

impl Trials<'_, '_> {
    /// The least of a set that mends: nothing in it can be left out, and no help be shorter at
    /// either end.
    pub(super) fn least(&mut self, mut edits: Vec<Edit>) -> Option<Vec<Edit>> {
        for i in 0..edits.len() {
            self.time_of_break(&mut edits, i)?;
        }
        // What is dearest is made less first, and of help what has to be known before how long it is.
        let mut dearest_first: Vec<usize> = (0..edits.len()).collect();
        dearest_first.sort_by_key(|&i| std::cmp::Reverse(edits[i].rank()));
        loop {
            let before = edits.clone();
            for &i in &dearest_first {
                self.fewer_turns(&mut edits, i);
                self.ask_less(&mut edits, i);
                self.shorten(&mut edits, i);
            }
            if edits == before {
                break;
            }
        }
        // Changes are not monotone: less of a set may mend although each was tried before.
        let left_out = parts(&edits).find(|part| self.mends(part));
        match left_out {
            Some(part) => self.least(part),
            None => Some(edits),
        }
    }

    /// The same with help that is no longer, and asks no more, than a repair finds that it takes: what
    /// is tried quickly may miss that five minutes less do.
    pub(super) fn shortest(&mut self, mut edits: Vec<Edit>) -> Vec<Edit> {
        loop {
            let less = (0..edits.len()).rev().flat_map(|i| self.less_help(&edits, i));
            let less: Vec<Vec<Edit>> = less.collect();
            let Some(enough) = less.into_iter().find(|less| self.is_enough(less)) else {
                break;
            };
            edits = enough;
        }
        // Of what was found quickly a part may be all it takes: then that is what is offered.
        let enough = parts(&edits).find(|part| self.is_enough(part));
        match enough {
            Some(part) => self.shortest(part),
            None => edits,
        }
    }

    /// The edits with the help of one of them five minutes shorter at either end, or one thing less
    /// asked for.
    fn less_help(&self, edits: &[Edit], i: usize) -> Vec<Vec<Edit>> {
        let Some((span, at_start, at_end)) = self.help(&edits[i]) else { return Vec::new() };
        let sooner = Minute((span.to.0 - 1) / GRID * GRID);
        let later = Minute((span.from.0 / GRID + 1) * GRID);
        let sooner = Span::new(span.from, sooner).filter(|_| at_end);
        let later = Span::new(later, span.to).filter(|_| at_start);
        let mut less: Vec<Edit> = Vec::new();
        for shorter in sooner.into_iter().chain(later) {
            let mut edit = edits[i].clone();
            with_span(&mut edit, shorter);
            less.push(edit);
        }
        if let Edit::ExtraAdult(extra) = &edits[i] {
            less.extend(asked_less(extra).into_iter().map(Edit::ExtraAdult));
        }
        let with = |edit: Edit| {
            let mut with = edits.to_vec();
            with[i] = edit;
            with
        };
        less.into_iter().map(with).collect()
    }

    /// Gives a staff break that is moved its time, as near to its window as it still mends.
    fn time_of_break(&mut self, edits: &mut [Edit], i: usize) -> Option<()> {
        let Edit::MoveBreak { adult, due, from: None } = edits[i] else { return Some(()) };
        let at = self.given().at;
        let chart = self.chart(edits)?;
        let posts = &chart.adult(adult)?.posts;
        // What was had of it before is no time for it.
        let has = |p: &&Post| p.at == Place::StaffBreak(due) && p.span.from >= at;
        let found = posts.iter().find(has)?.span.from;
        let laid = self.given().with(&[])?;
        let facts = laid.day.site[adult].breaks.get(due)?;
        let (window, minutes) = (facts.window, facts.minutes);
        let may_lie = self.given().times_of_break(&laid.day, adult, due);
        let fits = |from: &Minute| {
            let whole = Span::new(*from, from.later(minutes));
            whole.is_some_and(|whole| may_lie.iter().any(|time| time.holds(whole)))
        };
        let far = |from: Minute| {
            window.from.0.saturating_sub(from.0)
                + from.0.saturating_sub(window.to.earlier(minutes).0)
        };
        let first = laid.day.adult_here(adult).iter().map(|h| h.from).min()?;
        let first = first.max(self.given().at).0.next_multiple_of(GRID);
        let mut starts: Vec<Minute> = (first..Minute::END_OF_DAY.0)
            .step_by(usize::from(GRID))
            .map(Minute)
            .filter(|from| far(*from) < far(found))
            .collect();
        starts.sort_by_key(|from| (far(*from), *from));
        for from in starts.into_iter().chain([found]).filter(fits) {
            edits[i] = Edit::MoveBreak { adult, due, from: Some(from) };
            if self.mends(edits) {
                return Some(());
            }
        }
        None
    }

    /// A set that mends, by child where a whole group goes elsewhere and is more than it takes.
    pub(super) fn by_child(&mut self, mut edits: Vec<Edit>) -> Vec<Edit> {
        for i in 0..edits.len() {
            self.fewer_children(&mut edits, i);
            self.fewer_turns(&mut edits, i);
        }
        edits.sort();
        edits
    }

    /// Where whole groups are more than it takes, the fewest of their children who go elsewhere: of those
    /// who are much alike the first ones.
    fn fewer_children(&mut self, edits: &mut [Edit], i: usize) {
        let Edit::SplitFloor { groups, space, span } = &edits[i] else { return };
        let (space, span) = (*space, *span);
        let given = self.given();
        let children = children_of(&given.posted, groups);
        let kinds: Vec<_> = children.iter().map(|&c| kind(&given.day, c)).collect();
        for some in few_of(&kinds) {
            let children = some.into_iter().map(|n| children[n]).collect();
            let mut tried = edits.to_vec();
            tried[i] = Edit::SplitChildren { children, space, span };
            if self.mends(&tried) {
                return edits.clone_from_slice(&tried);
            }
        }
    }

    /// Uses the floor otherwise in no more turns and choices than it takes.
    fn fewer_turns(&mut self, edits: &mut [Edit], i: usize) {
        let (Edit::SplitChildren { span, .. }
        | Edit::SplitFloor { span, .. }
        | Edit::JoinFloor { span, .. }) = &edits[i]
        else {
            return;
        };
        let runs = runs(&self.given().posted, *span, span.from);
        let ends = |some: &[Span]| Span::new(some.first()?.from, some.last()?.to);
        let fewer = [runs.get(..runs.len().saturating_sub(1)), runs.get(1..)];
        for less in fewer.into_iter().flatten().filter_map(ends) {
            let mut tried = edits.to_vec();
            with_span(&mut tried[i], less);
            if self.mends(&tried) {
                edits.clone_from_slice(&tried);
                return self.fewer_turns(edits, i);
            }
        }
    }

    /// Makes an adult's help as short as it still mends, first at its end, then at its start.
    fn shorten(&mut self, edits: &mut [Edit], i: usize) {
        let Some((whole, at_start, at_end)) = self.help(&edits[i]) else { return };
        let mut span = whole;
        for end in [true, false] {
            if !(if end { at_end } else { at_start }) {
                continue;
            }
            let less = |by: u16| {
                let by = by * GRID;
                let on_grid = |edge: Minute, up: bool| {
                    let grid = edge.0 / GRID * GRID;
                    Minute(if up && grid < edge.0 { grid + GRID } else { grid })
                };
                if end {
                    Span::new(span.from, on_grid(span.to, true).earlier(by))
                } else {
                    Span::new(on_grid(span.from, false).later(by), span.to)
                }
            };
            // Help that mends still does when it is longer: halve what is not known yet. Most often it
            // is wanted for as long as something is broken, so that is tried first, and next to it.
            let (mut known, mut beyond) = (0, span.minutes().div_ceil(GRID));
            let broken = self.broken();
            let to_spare = if end {
                span.to.0.checked_sub(broken.to.0)
            } else {
                broken.from.0.checked_sub(span.from.0)
            };
            let guess = to_spare.unwrap_or(0) / GRID;
            let mut guesses = 0;
            while beyond - known > 1 {
                let next = match guesses {
                    0 => guess,
                    1 if known == guess => guess + 1,
                    1 => guess.saturating_sub(1),
                    _ => known + (beyond - known) / 2,
                };
                let next = next.clamp(known + 1, beyond - 1);
                guesses += 1;
                if self.mends_with(edits, i, less(next)) {
                    known = next;
                } else {
                    beyond = next;
                }
            }
            // Where that was not so after all, five minutes less may still do.
            while self.mends_with(edits, i, less(known + 1)) {
                known += 1;
            }
            if known > 0
                && let Some(shorter) = less(known)
            {
                with_span(&mut edits[i], shorter);
                span = shorter;
            }
        }
    }

    fn mends_with(&mut self, edits: &[Edit], i: usize, span: Option<Span>) -> bool {
        let Some(span) = span else { return false };
        let mut tried = edits.to_vec();
        with_span(&mut tried[i], span);
        self.mends(&tried)
    }

    /// When an adult's help is, and whether it can be shorter at its start and at its end: who stays
    /// on after a shift, or comes before it, is here next to it.
    fn help(&self, edit: &Edit) -> Option<(Span, bool, bool)> {
        match edit {
            Edit::AdultOfTheTeam { adult, span } => {
                let laid = self.given().with(&[])?;
                let here = laid.day.adult_here(*adult);
                let stays = here.iter().any(|h| h.to == span.from);
                let before = here.iter().any(|h| h.from == span.to);
                Some((*span, !stays, !before))
            }
            Edit::ExtraAdult(extra) => Some((extra.span?, true, true)),
            _ => None,
        }
    }

    /// Asks no more of somebody who comes in than it takes.
    fn ask_less(&mut self, edits: &mut [Edit], i: usize) {
        let Edit::ExtraAdult(extra) = edits[i].clone() else { return };
        // Most often one who counts is all it takes.
        let plain = asked_nothing(&extra);
        for plain in [plain].into_iter().chain(asked_less(&extra)).filter(|p| *p != extra) {
            let mut tried = edits.to_vec();
            tried[i] = Edit::ExtraAdult(plain);
            if self.mends(&tried) {
                edits.clone_from_slice(&tried);
                return self.ask_less(edits, i);
            }
        }
    }
}

/// What of a child tells whether it matters who goes: its year of age, whether an adult is there for it
/// alone, and what or whom it has to be kept from.
fn kind(day: &Day, child: ChildIndex) -> (u32, bool, Option<ChildIndex>) {
    let facts = &day.site[child];
    let apart = !facts.keep_apart.is_empty() || !facts.not_for.is_empty();
    let own = apart || !facts.allergies.is_empty() || !facts.keep_with.is_empty();
    (day.months(child) / 12, facts.one_to_one.is_some(), own.then_some(child))
}

/// Parts of a list by their positions, without all of it, the smallest first; of those that are alike the
/// first ones, and no more than [`MOST_PARTS`].
fn few_of<K: PartialEq>(kinds: &[K]) -> Vec<Vec<usize>> {
    let mut found: Vec<Vec<usize>> = Vec::new();
    let mut sized: Vec<Vec<usize>> = vec![Vec::new()];
    while let Some(size) = sized.first().map(Vec::len).filter(|size| size + 1 < kinds.len()) {
        let mut larger: Vec<Vec<usize>> = Vec::new();
        for part in &sized {
            for next in part.last().map_or(0, |last| last + 1)..kinds.len() {
                // Whoever is like one who was passed over does not go instead.
                let passed = (0..next).any(|n| kinds[n] == kinds[next] && !part.contains(&n));
                if !passed {
                    larger.push([&part[..], &[next]].concat());
                }
            }
        }
        found.extend(larger.iter().cloned());
        if larger.is_empty() || found.len() >= MOST_PARTS || size >= kinds.len() {
            break;
        }
        sized = larger;
    }
    found.truncate(MOST_PARTS);
    found
}

/// The same adult, who counts if she did and need not be able to do anything.
fn asked_nothing(extra: &ExtraAdult) -> ExtraAdult {
    ExtraAdult {
        qualifications: Vec::new(),
        lead: false,
        first_aid: false,
        may_be_alone: false,
        ..extra.clone()
    }
}

/// The same adult with one thing less that she has to be able to do, what is rarest first.
fn asked_less(extra: &ExtraAdult) -> Vec<ExtraAdult> {
    let mut less: Vec<ExtraAdult> = Vec::new();
    let mut without = |change: &dyn Fn(&mut ExtraAdult)| {
        let mut plain = extra.clone();
        change(&mut plain);
        if plain != *extra {
            less.push(plain);
        }
    };
    without(&|e| e.qualifications.clear());
    if extra.qualifications.len() > 1 {
        for n in 0..extra.qualifications.len() {
            without(&|e| drop(e.qualifications.remove(n)));
        }
    }
    without(&|e| e.lead = false);
    without(&|e| e.first_aid = false);
    without(&|e| e.may_be_alone = false);
    without(&|e| e.counts = false);
    less
}

fn with_span(edit: &mut Edit, new: Span) {
    match edit {
        Edit::AdultOfTheTeam { span, .. }
        | Edit::SplitChildren { span, .. }
        | Edit::SplitFloor { span, .. }
        | Edit::JoinFloor { span, .. } => *span = new,
        Edit::ExtraAdult(extra) => extra.span = Some(new),
        _ => {}
    }
}
