//! The block check: can these stations run from then to then? Go, go with changes, or no-go.
//!
//! The block is laid over a chart as an edit of it: the posted chart, or where none is posted a day that
//! is planned around the block. Where everybody is then is found as in a repair, and judged by the same
//! audits as a chart. Each change that is offered was laid and judged in the same way before it is
//! offered.
//!
//! Where a child with an allergy is beside what meets it, or may, it is no plain go: the change is to
//! keep that child from it, or to ask.
//!
//! Map: `question` what is asked and what is wrong with it, `plan` the chart under it, `come` who comes to
//! it, `block` the block laid over the chart, `stand` where everybody stands then, `judge` what breaks,
//! `eyes` who has whom in sight, `pieces` one piece of it, `slices` fills the `figures`, `busy` who is tied
//! elsewhere, `around` care, room for more, who may not leave and until when it holds, `allergic` who is
//! beside what meets an allergy, `changes` what would mend it, of the `kinds` there are and at other `times`, each an `offer`, `bring`
//! who would come from other spaces, `words` its sentences.

mod allergic;
mod around;
mod block;
mod bring;
mod busy;
mod changes;
mod come;
mod eyes;
mod figures;
mod judge;
mod kinds;
mod offer;
mod pieces;
mod plan;
mod question;
mod slices;
mod stand;
mod times;
mod words;

pub use figures::{Elsewhere, Left, SliceCheck, StandardNeed, Tied};
pub use offer::{Change, Offer};
pub use question::{BlockQuestion, MOST_STATIONS, QuestionFault};

use super::AgeRange;
use crate::chart::Chart;
use crate::day::Day;
use crate::rules::{self, Mend, Rule};
use crate::site::{AdultIndex, ChildIndex, Hazard, Minute, SpaceIndex, Span, StationIndex};
use block::Otherwise;
use judge::Trial;
use plan::Base;

/// Most changes that are offered, each by itself enough.
pub const MOST_OFFERS: usize = 5;

/// Id of an adult who is not of the team and comes for the block alone, in [`Change::MoreAdults`];
/// stands past the end of the site's adults in the figures of such an offer.
pub const NEWCOMER: &str = "another-adult";

/// In place of a rule's slug: nobody can come to a station of the block.
pub const NOBODY_FREE: &str = "nobody-free";

/// Whether a block can run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// As asked.
    Go,
    /// With any one of the offers.
    GoWithChanges,
    /// Not as asked, and no change was found that mends it.
    NoGo,
}

/// What was asked about a block, and the answer.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlockCheck {
    /// What was asked.
    pub question: BlockQuestion,
    /// Judged against a posted chart; else against the facts of the day alone.
    pub with_chart: bool,
    /// Go, go with changes, no-go.
    pub verdict: Verdict,
    /// What breaks as asked, by rule and then by time, and who is beside what meets an allergy or may
    /// do so; empty for [`Verdict::Go`].
    pub reasons: Vec<Reason>,
    /// Changes, least disturbing first, each set by itself enough.
    pub offers: Vec<Offer>,
    /// The figures are those with the first offer made, not as asked.
    pub with_first_offer: bool,
    /// The block in slices, by time and then by space.
    pub slices: Vec<SliceCheck>,
    /// The walk to the sink after each wet station.
    pub washing: Vec<Washing>,
    /// A care round in the block; `None` when nobody who is awake there needs one.
    pub care: Option<Care>,
    /// Materials as asked, with the children they are not for.
    pub materials: Vec<Material>,
    /// How many more could join and stay all the block, by space.
    pub more: Vec<(SpaceIndex, Vec<(AgeRange, u32)>)>,
    /// Children who may not leave without another adult coming: where the law's own method asks
    /// for more adults with fewer children.
    pub leavers: Vec<Leaver>,
    /// The first minute at which it stops holding, looking on to the end of the day, and why.
    pub holds_until: Option<Holds>,
    /// What a person should look at although no rule is broken.
    pub mind: Vec<String>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}

impl BlockCheck {
    /// When the block runs whose figures are shown: as asked, or as the first offer has it.
    #[must_use]
    pub fn shown(&self) -> Span {
        match self.offers.first().map(|o| &o.changes[..]) {
            Some([Change::Shorter { span }, ..]) if self.with_first_offer => *span,
            _ => self.question.span,
        }
    }
}

/// Something that breaks in the block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reason {
    /// Slug of the rule, or [`NOBODY_FREE`], which is the check's own.
    pub rule: &'static str,
    /// Id of the standard that asks for it, if one does.
    pub standard: Option<String>,
    /// When.
    pub span: Span,
    /// Children concerned, in order.
    pub children: Vec<ChildIndex>,
    /// What was needed, in the rule's unit.
    pub needed: u32,
    /// What there was.
    pub present: u32,
    /// For a teacher; names everybody.
    pub words: String,
}

impl Reason {
    /// A reason of a rule that no standard asks for.
    fn of(rule: &'static str, span: Span, (needed, present): (u32, u32), words: String) -> Reason {
        Reason { rule, standard: None, span, children: Vec::new(), needed, present, words }
    }

    /// Whether it is of a rule that a kind of change may mend.
    pub(super) fn is_mended_by(&self, mend: Mend) -> bool {
        rules::rule(self.rule).is_some_and(|rule| rule.is_mended_by(mend))
    }

    /// Whether more adults, or others, may mend it.
    pub(super) fn is_of_adults(&self) -> bool {
        rules::rule(self.rule).is_some_and(Rule::is_of_adults)
    }
}

/// Hands washed after a wet station.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Washing {
    /// After which station.
    pub station: StationIndex,
    /// So many children at most.
    pub children: u32,
    /// Those of them whose hands an adult washes, one after another.
    pub helped: u32,
    /// Others whom the chart has on the move at the same sinks then.
    pub others: u32,
    /// Where the sinks are.
    pub space: SpaceIndex,
    /// How many.
    pub sinks: u32,
    /// Minutes until the last one has washed, the walk included.
    pub minutes: u16,
    /// When the first one goes, so that all is done at the end of the block; the end itself when
    /// the chart has time for it after the block.
    pub from: Minute,
}

/// A care round in the block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Care {
    /// Who is in nappies or learning, awake in the block, in order.
    pub children: Vec<ChildIndex>,
    /// Minutes for one of them.
    pub minutes_each: u16,
    /// Minutes for all of them after one another.
    pub minutes: u16,
    /// The stretches in which one adult who is tied to no other post can be spared for it, every
    /// rule kept.
    pub holds: Vec<Span>,
    /// Adults whom the chart has at it, and when.
    pub by_chart: Vec<(AdultIndex, Span)>,
    /// What breaks first where none can be spared.
    pub breaks: Option<String>,
    /// Minutes of absence that every binding standard forgives when it happens; never planned with.
    pub forgiven: Option<u16>,
}

/// A material with a published caution, or a word for a food or material, at a station.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Material {
    /// At which station.
    pub station: StationIndex,
    /// What it is.
    pub what: Matter,
    /// Children in the block for whom the station is not, because of it, in order.
    pub not_for: Vec<ChildIndex>,
    /// Children in the block for whom it has to be asked whether it meets an allergy, in order.
    pub ask_for: Vec<ChildIndex>,
    /// Children awake in the space at some time of the block because of whom it stays closed.
    pub closed_for: Vec<ChildIndex>,
}

/// What a material is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Matter {
    /// With a published caution.
    Hazard(Hazard),
    /// A word for a food or material that may meet an allergy, lower case.
    Allergen(String),
}

/// A child who may not leave.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Leaver {
    /// Who.
    pub child: ChildIndex,
    /// When.
    pub span: Span,
    /// Id of the standard that would then ask for more.
    pub standard: String,
    /// Adults needed without the child.
    pub needed: u32,
    /// Adults there.
    pub present: u32,
}

/// Until when a block holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Holds {
    /// The first minute at which it does not.
    pub until: Minute,
    /// Why; `None` when nobody is left for it.
    pub why: Option<String>,
}

/// Checks a block against a posted chart, or against the facts of the day.
///
/// The question must be free of faults; see [`BlockQuestion::faults`]. Without a chart the day is planned
/// around the block, as it would be made, and everybody goes where they are needed; what else is taken for
/// granted is said in [`BlockCheck::assumed`]. With a chart everybody is where the chart has them; a
/// station that it does not use then is filled with children who are free.
///
/// # Panics
/// Never for a question that is free of faults.
#[must_use]
pub fn check(day: &Day, chart: Option<&Chart>, question: &BlockQuestion) -> BlockCheck {
    let question = question.in_order();
    let (base, asked) = as_asked(day, chart, &question);
    let beside = allergic::beside(&asked, question.span);
    let offers = allergic::offers(day, &base, &asked, &beside);
    let is_fine = asked.reasons.is_empty() && beside.is_empty();
    let verdict = match (is_fine, offers.is_empty()) {
        (true, _) => Verdict::Go,
        (false, false) => Verdict::GoWithChanges,
        (false, true) => Verdict::NoGo,
    };
    let mut reasons = allergic::reasons(&asked, &beside);
    reasons.extend(match verdict {
        Verdict::NoGo => bring::with_arithmetic(&base, &asked),
        _ => asked.reasons.clone(),
    });
    let materials = around::materials(&asked);
    // At another time the figures of the time asked for are of more use.
    let better = offers.iter().map(|(_, trial)| trial).next();
    let better = better.filter(|trial| question.span.holds(trial.question.span)).cloned();
    let with_first_offer = better.is_some();
    let shown = better.unwrap_or(asked);
    let slices = slices::slices(&shown);
    BlockCheck {
        with_chart: chart.is_some(),
        verdict,
        reasons,
        with_first_offer,
        washing: shown.laid.washing.clone(),
        care: around::care(&shown),
        materials,
        more: around::more(&shown),
        leavers: around::leavers(&shown),
        holds_until: around::holds_until(&base, &shown),
        mind: words::mind(&shown, &slices, chart),
        assumed: words::assumed(&base, &shown, day, chart),
        slices,
        offers: offers.into_iter().map(|(offer, _)| offer).collect(),
        question,
    }
}

/// The block as it is asked, and what it is laid over. Without a chart it is a go where any day that is
/// supposed has it.
fn as_asked(day: &Day, chart: Option<&Chart>, question: &BlockQuestion) -> (Base, Trial) {
    let run = |base: Base| {
        let asked = Trial::run(&base, question, Otherwise::as_asked(&base));
        (base, asked.expect("a block without changes can be laid"))
    };
    let first = run(Base::of(day, chart, question));
    let plain = first.0.plain.as_deref().filter(|_| !first.1.reasons.is_empty());
    let second = plain.cloned().map(run);
    second.filter(|(_, asked)| asked.reasons.is_empty()).unwrap_or(first)
}
