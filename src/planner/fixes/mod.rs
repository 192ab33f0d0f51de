//! What would mend a day on which a rule cannot be met: the smallest sets of changes, each tried by a
//! repair before it is offered.
//!
//! Single changes are tried first, from the least disturbing kind to the most, then pairs of those
//! that do not mend by themselves but help, and sets of three where no pair mends the whole of it; an
//! adult who comes is tried for the rest of the day and then for ever less, until five minutes less at
//! either end would not do. What mends without one of its parts is never offered, nor what breaks
//! another rule.
//! Where nothing mends the whole of it, the least that can be left broken is what the fixes come down
//! to, and that is said.
//!
//! Map: `budget` how much is tried, `candidates` what is worth trying, `sets` what of it is tried
//! together, `search` in what order, `trials` how it is tried, `dear` which of two asks for more, `least` what of it can be left out and how short an adult's help
//! can be, `arithmetic` why something stays broken, `said` what is printed of all that. What one change is stands in [`super::edit`].

mod arithmetic;
mod budget;
mod candidates;
mod dear;
mod least;
mod said;
mod search;
mod sets;
mod trials;

pub use arithmetic::is_of_adults;
pub use said::{FixSaid, FixesSaid};

use super::Options;
use super::edit::{self, Edit, Given};
use super::repair::Repaired;
use crate::chart::Chart;
use crate::day::{Day, NearEnds};
use crate::rules::{Problem, rule_of, unattended};
use crate::site::{Minute, Span};
use crate::solve::proof::Watch;
use dear::dear;
use trials::{Trials, what_is_left};

/// Most fixes that are offered.
pub const MOST: usize = 5;
/// Most fixes of one kind that are offered while there are others.
const MOST_OF_A_KIND: usize = 2;

/// Most fixes that are looked for where each mends a part only.
const MOST_IN_PART: usize = 3;

/// What would mend a day.
#[derive(Clone, Debug, Default)]
pub struct Fixes {
    /// Least disturbing first, at most [`MOST`].
    pub fixes: Vec<Fix>,
    /// What stays broken in the rest of the day with any of the fixes, or with nothing changed where
    /// there are none; empty: each fix leaves no rule broken.
    pub left: Vec<Problem>,
    /// Why that stays broken: for each problem its people, minutes and arithmetic.
    pub why: Vec<String>,
    /// How many changes, and sets of changes, were tried by a repair.
    pub tried: usize,
    /// How many sets of two or three changes were passed over because there were too many; none
    /// where as many fixes are offered as ever are.
    pub untried: usize,
    /// Not everything was tried: the steps that there are for it ran out, or somebody said stop.
    pub cut_short: bool,
}

/// A set of changes that mends a day, none of which can be left out.
#[derive(Clone, Debug)]
pub struct Fix {
    /// The changes.
    pub edits: Vec<Edit>,
    /// What is changed, as a sentence or two for a teacher.
    pub words: String,
    /// The day repaired with them, held against the chart on the wall.
    pub repaired: Repaired,
}

/// A repaired day with what would mend it.
#[derive(Clone, Debug)]
pub struct Mended {
    /// The day, with a fix taken where one was asked for.
    pub repaired: Repaired,
    /// What would mend it; empty where nothing has to be mended.
    pub fixes: Fixes,
    /// The fix that was taken: its number among them, from 1, and what is changed.
    pub taken: Option<(usize, String)>,
}

/// A fix was asked for that is not offered.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NoSuchFix {
    /// How many are.
    pub offered: usize,
}

impl NoSuchFix {
    /// What is wrong, in one clause.
    #[must_use]
    pub fn cause(self) -> String {
        match self.offered {
            0 => "no fix is offered".into(),
            1 => "only fix 1 is offered".into(),
            n => format!("fixes 1 to {n} are offered"),
        }
    }
}

/// What would mend a repaired day, and the day with one of the fixes taken where that is asked for,
/// by its number from 1; `watch` is told how far that is. `day` and `posted` are what `repaired` was
/// made from.
///
/// # Errors
/// There is no fix of that number.
pub fn mended(
    day: &Day,
    posted: &Chart,
    repaired: Repaired,
    take: Option<usize>,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Mended, NoSuchFix> {
    let mut fixes = fixes_watched(day, posted, &repaired, options, watch);
    let Some(number) = take else { return Ok(Mended { repaired, fixes, taken: None }) };
    let no_such = NoSuchFix { offered: fixes.fixes.len() };
    let fix = number.checked_sub(1).and_then(|n| fixes.fixes.get(n)).ok_or(no_such)?;
    let mut taken = fix.repaired.clone();
    taken.plan.assumed = repaired.plan.assumed;
    let said = (number, fix.words.clone());
    // What stays broken is said of the day with this one, not with the first.
    (fixes.left, fixes.why) = left_and_why(&taken);
    Ok(Mended { repaired: taken, fixes, taken: Some(said) })
}

/// Finds what would mend a repaired day; nothing when no rule is broken from its moment on.
///
/// `day` and `posted` are what `repaired` was made from.
#[must_use]
pub fn fixes(day: &Day, posted: &Chart, repaired: &Repaired, options: &Options) -> Fixes {
    fixes_watched(day, posted, repaired, options, &mut Watch::nobody())
}

/// [`fixes`], telling somebody how far it is; none are offered when told to stop.
fn fixes_watched(
    day: &Day,
    posted: &Chart,
    repaired: &Repaired,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Fixes {
    let broken = ahead(&repaired.plan.problems, repaired.at);
    if broken.is_empty() {
        return match left_and_why(repaired) {
            (left, _) if left.is_empty() => Fixes::default(),
            (left, why) => Fixes { left, why, ..Fixes::default() },
        };
    }
    let given = given(day, posted, repaired);
    let candidates = candidates::candidates(&given, repaired, &broken);
    let mut trials = Trials::new(given, repaired, *options, watch);
    let found = trials.search_all(&candidates);
    let mut fixes = repaired_with(&mut trials, (day, posted), repaired, found);
    // What was found quickly may not bear a whole repair: then what mends a part does.
    if fixes.is_empty()
        && let Some(least) = trials.least_shortfall(&candidates)
    {
        trials.come_down_to(least);
        let found = trials.reaching(&candidates);
        fixes = repaired_with(&mut trials, (day, posted), repaired, found);
    }
    if let Some(least) = fixes.iter().map(|fix| what_is_left(&fix.repaired)).min() {
        fixes.retain(|fix| what_is_left(&fix.repaired).is_within(&least));
    }
    for fix in &mut fixes {
        for worse in kept_less(&broken, &fix.repaired) {
            fix.words += &format!(" Less is kept with it: {worse}");
        }
    }
    fixes.sort_by_key(|fix| {
        let moved = (fix.repaired.moved.value, fix.repaired.posts_changed);
        (dear(&fix.edits), moved, fix.edits.clone())
    });
    let before = what_is_told(repaired);
    fixes.retain(|fix| what_is_told(&fix.repaired) != before);
    if !fixes.iter().all(comes_in_turn) {
        fixes.retain(|fix| !comes_in_turn(fix));
    }
    let mut offered: Vec<Fix> = Vec::new();
    for fix in fixes {
        if !offered.iter().any(|before| before.words == fix.words) {
            offered.push(fix);
        }
    }
    let fixes = offered;
    let (left, why) = left_and_why(fixes.first().map_or(repaired, |fix| &fix.repaired));
    let untried = if fixes.len() < MOST { trials.untried() } else { 0 };
    Fixes { fixes, left, why, tried: trials.tried(), untried, cut_short: trials.cut_short() }
}

/// The day repaired with each of a few of some sets that mend, made as small as they can be; none where
/// somebody said stop.
fn repaired_with(
    trials: &mut Trials<'_, '_>,
    (day, posted): (&Day, &Chart),
    repaired: &Repaired,
    found: Vec<Vec<Edit>>,
) -> Vec<Fix> {
    let mut fixes: Vec<Fix> = Vec::new();
    if trials.stopped() {
        return fixes;
    }
    for edits in few_of_a_kind(found) {
        let edits = trials.by_child(edits);
        let edits = trials.shortest(edits);
        let Some(fix) = trials.fix_in_words(day, posted, repaired, edits.clone()) else { continue };
        let least = trials.least_for(edits.clone(), &fix.repaired);
        let fix = if least == edits {
            Some(fix)
        } else {
            trials.fix_in_words(day, posted, repaired, least)
        };
        fixes.extend(fix);
    }
    fixes
}

impl Trials<'_, '_> {
    /// The day repaired with a set, and the set in words.
    fn fix_in_words(
        &mut self,
        day: &Day,
        posted: &Chart,
        repaired: &Repaired,
        edits: Vec<Edit>,
    ) -> Option<Fix> {
        // Turns and choices last as long as they do once a meal is shifted.
        let shifts: Vec<Edit> =
            edits.iter().filter(|s| matches!(s, Edit::ShiftMeal { .. })).cloned().collect();
        let given = self.given();
        let shifted = given.with(&shifts).map_or_else(|| given.posted.clone(), |l| l.chart);
        let words = edit::of_all(&repaired.day, &shifted, &edits);
        self.fix(day, posted, edits, words)
    }
}

/// What is broken more with a fix than without, in words: nothing of it guards a child.
fn kept_less(before: &[Problem], repaired: &Repaired) -> Vec<String> {
    let after = ahead(&repaired.plan.problems, repaired.at);
    let minutes = |problems: &[Problem], rule: &str| -> u64 {
        problems.iter().filter(|p| p.rule == rule).map(Problem::person_minutes).sum()
    };
    let worse =
        |p: &&Problem| !before.contains(p) && minutes(&after, p.rule) > minutes(before, p.rule);
    let words = |p: &Problem| arithmetic::ended((rule_of(p).words)(&repaired.day, p));
    after.iter().filter(worse).map(words).collect()
}

/// Whether two adults are to come in one after the other: one who stays does as well, and nobody is
/// called for the few minutes of the other.
fn comes_in_turn(fix: &Fix) -> bool {
    let span = |edit: &Edit| match edit {
        Edit::ExtraAdult(adult) => adult.span,
        _ => None,
    };
    let spans: Vec<Span> = fix.edits.iter().filter_map(span).collect();
    let alone = |(n, one): (usize, &Span)| spans[n + 1..].iter().any(|other| !one.meets(*other));
    spans.iter().enumerate().any(alone)
}

/// The changes that [`fixes`] tries one by one and together, the least disturbing kind first; a staff
/// break to be moved has no time yet, and an adult's help lasts as long as it could.
#[must_use]
pub fn changes_to_try(day: &Day, posted: &Chart, repaired: &Repaired) -> Vec<Edit> {
    let broken = ahead(&repaired.plan.problems, repaired.at);
    candidates::candidates(&given(day, posted, repaired), repaired, &broken)
}

/// The day after what has happened and some changes more, and the chart that is then to be followed
/// as far as it can be; `None` where they cannot be made.
#[must_use]
pub fn with_changes(
    day: &Day,
    posted: &Chart,
    repaired: &Repaired,
    edits: &[Edit],
) -> Option<(Day, Chart)> {
    given(day, posted, repaired).with(edits).map(|laid| (laid.day, laid.chart))
}

fn given(day: &Day, posted: &Chart, repaired: &Repaired) -> Given {
    let told = repaired.day.happened.get(day.happened.len()..).unwrap_or_default();
    // Where the posted blocks could not stand, what would mend the day is asked of the new ones.
    let anew = !repaired.new_blocks.is_empty();
    Given {
        day: day.clone(),
        posted: if anew { repaired.plan.chart.clone() } else { posted.clone() },
        at: repaired.at,
        happenings: told.iter().map(|h| h.what.clone()).collect(),
        near_ends: NearEnds::No,
    }
}

/// What stays broken in the rest of a repaired day, and why.
fn left_and_why(repaired: &Repaired) -> (Vec<Problem>, Vec<String>) {
    let left: Vec<Problem> = repaired.problems_ahead().cloned().collect();
    let why = arithmetic::why(&repaired.day, &repaired.plan.chart, &left, repaired.at);
    (left, why)
}

/// What is told of a day that stays broken: when no adult is with the children, and every other problem.
fn what_is_told(repaired: &Repaired) -> (Vec<Span>, Vec<Problem>) {
    let problems = repaired.problems_ahead();
    let (alone, others) = unattended(&repaired.day, &repaired.plan.chart, problems, repaired.at);
    (alone, others.into_iter().cloned().collect())
}

/// Problems that reach into the rest of the day and that changes could mend: what has to be asked is
/// mended by an answer alone.
fn ahead(problems: &[Problem], at: Minute) -> Vec<Problem> {
    let mendable = |p: &&Problem| p.lies_ahead(at) && !p.is_a_question();
    problems.iter().filter(mendable).cloned().collect()
}

/// Minutes of children beside something that has to be asked about, in the rest of the day.
fn questions(problems: &[Problem], at: Minute) -> u64 {
    let asked = problems.iter().filter(|p| p.lies_ahead(at) && p.is_a_question());
    asked.map(Problem::person_minutes).sum()
}

/// At most [`MOST`], those that ask for least first, with no more than [`MOST_OF_A_KIND`] of a kind unless
/// there is room.
fn few_of_a_kind(mut found: Vec<Vec<Edit>>) -> Vec<Vec<Edit>> {
    let kinds = |edits: &[Edit]| edits.iter().map(Edit::rank).collect::<Vec<_>>();
    found.sort_by_key(|edits| (dear(edits), edits.clone()));
    let mut kept: Vec<Vec<Edit>> = Vec::new();
    let mut others: Vec<Vec<Edit>> = Vec::new();
    for edits in found {
        let same = kept.iter().filter(|k| kinds(k) == kinds(&edits)).count();
        let to = if same < MOST_OF_A_KIND { &mut kept } else { &mut others };
        to.push(edits);
    }
    kept.extend(others);
    kept.truncate(MOST);
    kept
}
