//! What would mend a repaired day, as it is answered.

use crate::chart::Chart;
use crate::day::{Day, ExtraAdult};
use crate::planner::{Edit, FixSaid, FixesSaid, Mended};
use crate::site::Span;
use crate::wire::chart::shape::ProblemLine;
use crate::wire::chart::{meal_word, problem_json};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// What would mend the day.
#[derive(Serialize, JsonSchema)]
pub struct FixesLine {
    /// Whether each of them leaves no rule broken (`all`), or less than without (`part`); `nothing`:
    /// there are none.
    pub mends: &'static str,
    /// Least disturbing first.
    pub offered: Vec<FixLine>,
    /// What stays broken with any of them, or at all where there are none.
    #[schemars(with = "Vec<ProblemLine>")]
    pub left: Vec<Value>,
    /// Why, a sentence or two each.
    pub why: Vec<String>,
    /// How many changes and sets of them were tried by a repair.
    pub tried: usize,
    /// How many sets were passed over because there were too many.
    pub untried: usize,
    /// Whether something was not tried because the steps that there are for it ran out; left out
    /// where that is not so.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub cut_short: bool,
}

/// A set of changes, none of which can be left out.
#[derive(Serialize, JsonSchema)]
pub struct FixLine {
    /// What it is taken by.
    pub number: usize,
    /// The changes, for a person.
    pub words: String,
    /// The changes, one by one.
    pub steps: Vec<StepLine>,
    /// Child-turns that it moves.
    pub moved: u32,
    /// Posts of adults that it changes.
    pub posts_changed: u32,
}

/// One change.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum StepLine {
    /// A staff break at another time, agreed with whose it is.
    BreakAt {
        /// Whose.
        adult: String,
        /// Which, counted from 1.
        #[serde(rename = "break")]
        due: usize,
        /// When it begins.
        at: Option<String>,
    },
    /// All sittings of a meal earlier (negative) or later.
    MealShifted {
        /// Which.
        meal: &'static str,
        /// By so many.
        minutes: i16,
    },
    /// Two small groups go on as one.
    GroupsJoined {
        /// The one that joins.
        group: String,
        /// The one that it joins.
        into: String,
    },
    /// Some children in another space, without their groups.
    ChildrenSplit {
        /// Who.
        children: Vec<String>,
        /// Where.
        space: String,
        /// From.
        from: String,
        /// To.
        to: String,
    },
    /// Small groups in another space.
    FloorSplit {
        /// Which.
        groups: Vec<String>,
        /// Where.
        space: String,
        /// From.
        from: String,
        /// To.
        to: String,
    },
    /// Everybody in the home space; in a rest whoever is awake in the space of the cots.
    FloorJoined {
        /// The space that is left.
        space: String,
        /// From.
        from: String,
        /// To.
        to: String,
    },
    /// One child's cot in another space.
    CotMoved {
        /// Whose.
        child: String,
        /// Where.
        space: String,
    },
    /// The cots in another space.
    CotsMoved {
        /// Where.
        space: String,
    },
    /// An adult of the team is here longer, or comes.
    AdultComes {
        /// Who.
        adult: String,
        /// From.
        from: String,
        /// To.
        to: String,
    },
    /// Somebody comes in who is not on the team, and what must be true of that one.
    ExtraAdult {
        /// From.
        from: Option<String>,
        /// To.
        to: Option<String>,
        /// Counts in ratio.
        counts: bool,
        /// May be alone with children.
        may_be_alone: bool,
        /// May lead.
        lead: bool,
        /// First aid.
        first_aid: bool,
        /// Qualifications.
        qualifications: Vec<String>,
    },
}

/// What would mend the day, unless nothing has to be mended.
pub(super) fn fixes(posted: &Chart, mended: &Mended) -> Option<Value> {
    let (day, fixes) = (&mended.repaired.day, &mended.fixes);
    let nothing_left = fixes.left.is_empty();
    if nothing_left && (fixes.fixes.is_empty() || mended.taken.is_some()) {
        return None;
    }
    let line = |(n, fix): (usize, &crate::planner::Fix)| FixLine {
        number: n + 1,
        words: fix.words.clone(),
        steps: fix.edits.iter().filter_map(|s| step(day, s)).collect(),
        moved: fix.repaired.moved.value,
        posts_changed: fix.repaired.posts_changed,
    };
    let mends = match (fixes.fixes.is_empty(), nothing_left) {
        (true, _) => "nothing",
        (false, true) => "all",
        (false, false) => "part",
    };
    let (with, chart) =
        fixes.fixes.first().map_or((day, posted), |f| (&f.repaired.day, &f.repaired.plan.chart));
    let file = FixesLine {
        mends,
        offered: fixes.fixes.iter().enumerate().map(line).collect(),
        left: fixes.left.iter().map(|p| problem_json(with, chart, p)).collect(),
        why: fixes.why.clone(),
        tried: fixes.tried,
        untried: fixes.untried,
        cut_short: fixes.cut_short,
    };
    Some(serde_json::to_value(file).expect("plain fields"))
}

fn step(day: &Day, step: &Edit) -> Option<StepLine> {
    let ends = |span: &Span| (span.from.to_string(), span.to.to_string());
    Some(match step {
        // What a block takes is offered by a check: nobody remembers it of a running day.
        Edit::Station { .. } => return None,
        Edit::MoveBreak { adult, due, from } => StepLine::BreakAt {
            adult: day.site[*adult].id.clone(),
            due: due + 1,
            at: from.map(|m| m.to_string()),
        },
        Edit::ShiftMeal { meal, minutes } => {
            StepLine::MealShifted { meal: meal_word(*meal), minutes: *minutes }
        }
        Edit::MergeGroups { group, into } => {
            StepLine::GroupsJoined { group: group.clone(), into: into.clone() }
        }
        Edit::SplitFloor { groups, space, span } => {
            let ((from, to), space) = (ends(span), day.site[*space].id.clone());
            StepLine::FloorSplit { groups: groups.clone(), space, from, to }
        }
        Edit::SplitChildren { children, space, span } => {
            let ((from, to), space) = (ends(span), day.site[*space].id.clone());
            let children = children.iter().map(|c| day.site[*c].id.clone()).collect();
            StepLine::ChildrenSplit { children, space, from, to }
        }
        Edit::JoinFloor { space, span } => {
            let ((from, to), space) = (ends(span), day.site[*space].id.clone());
            StepLine::FloorJoined { space, from, to }
        }
        Edit::MoveCot { child, space } => StepLine::CotMoved {
            child: day.site[*child].id.clone(),
            space: day.site[*space].id.clone(),
        },
        Edit::MoveCots { space } => StepLine::CotsMoved { space: day.site[*space].id.clone() },
        Edit::AdultOfTheTeam { adult, span } => {
            let ((from, to), adult) = (ends(span), day.site[*adult].id.clone());
            StepLine::AdultComes { adult, from, to }
        }
        Edit::ExtraAdult(extra) => extra_adult(extra),
    })
}

fn extra_adult(extra: &ExtraAdult) -> StepLine {
    StepLine::ExtraAdult {
        from: extra.span.map(|s| s.from.to_string()),
        to: extra.span.map(|s| s.to.to_string()),
        counts: extra.counts,
        may_be_alone: extra.may_be_alone,
        lead: extra.lead,
        first_aid: extra.first_aid,
        qualifications: extra.qualifications.clone(),
    }
}

/// What was said of the fixes in the file of a repaired chart; `None` where it is none.
#[must_use]
pub fn read_said(file: &Value) -> Option<FixesSaid> {
    let repair = file.get("repair")?;
    let fixes = file.get("fixes").unwrap_or(&Value::Null);
    let list = |name: &str| fixes[name].as_array().into_iter().flatten();
    let words = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let count = |value: &Value| value.as_u64().and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
    let fix = |fix: &Value| FixSaid {
        words: words(&fix["words"]),
        moved: count(&fix["moved"]),
        posts_changed: count(&fix["posts_changed"]),
    };
    let taken = repair.get("fix_taken");
    Some(FixesSaid {
        awaited: false,
        offered: list("offered").map(fix).collect(),
        left: list("left").next().is_some(),
        why: list("why").map(words).collect(),
        tried: count(&fixes["tried"]) as usize,
        untried: count(&fixes["untried"]) as usize,
        cut_short: fixes["cut_short"].as_bool() == Some(true),
        taken: taken.map(|taken| (count(&taken["number"]) as usize, words(&taken["words"]))),
    })
}
