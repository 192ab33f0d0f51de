//! What is said of a change that mends a day.

use super::{Fix, Step};
use crate::chart::Chart;
use crate::day::{Day, ExtraAdult};
use crate::site::MealKind;

/// A fix as a sentence or two for a teacher.
#[must_use]
pub fn fix_words(day: &Day, posted: &Chart, fix: &Fix) -> String {
    let steps: Vec<String> = fix.steps.iter().map(|s| step_words(day, posted, s)).collect();
    steps.join(" And: ")
}

/// One change as a sentence.
#[must_use]
pub fn step_words(day: &Day, posted: &Chart, step: &Step) -> String {
    let label = |id: &String| {
        posted.groups.iter().find(|g| g.id == *id).map_or_else(|| id.clone(), |g| g.label.clone())
    };
    let space = |s: &crate::site::SpaceIndex| day.site[*s].label.clone();
    match step {
        Step::MoveBreak { adult, due, from } => {
            let who = &day.site[*adult];
            let window = who.breaks.get(*due).map(|b| b.window);
            let at = from.map_or_else(String::new, |from| format!(" at {from}"));
            let outside = window.map_or_else(String::new, |w| format!(", outside its window {w}"));
            format!("{} takes the staff break{at}{outside}: ask first.", who.label)
        }
        Step::ShiftMeal { meal, minutes } => {
            let (by, how) =
                (minutes.unsigned_abs(), if *minutes < 0 { "earlier" } else { "later" });
            format!("{} {by} minutes {how}.", meal_word(*meal))
        }
        Step::MergeGroups { group, into } => {
            format!("{} go on with {} as one group.", label(group), label(into))
        }
        Step::SplitFloor { groups, space: to, span } => {
            let names: Vec<String> = groups.iter().map(label).collect();
            format!("{} in the {} instead, {span}.", names.join(" and "), space(to))
        }
        Step::JoinFloor { space: left, span } => {
            let home = &day.site[day.site[day.room].home].label;
            format!("Everybody in the {home} and nobody in the {}, {span}.", space(left))
        }
        Step::MoveCots { space: to } => format!("The cots in the {}.", space(to)),
        Step::AdultOfTheTeam { adult, span } => {
            let stays = day.adult_here(*adult).iter().any(|h| h.to == span.from);
            let who = &day.site[*adult].label;
            if stays {
                format!("{who} stays until {}, {} minutes more.", span.to, span.minutes())
            } else {
                format!("{who} comes from {} to {}.", span.from, span.to)
            }
        }
        Step::ExtraAdult(extra) => extra_words(extra),
    }
}

fn extra_words(extra: &ExtraAdult) -> String {
    let mut able = Vec::new();
    if extra.counts {
        able.push("counts in ratio".to_owned());
    }
    if extra.may_be_alone {
        able.push("may be alone with children".to_owned());
    }
    if extra.lead {
        able.push("may lead the room".to_owned());
    }
    if extra.first_aid {
        able.push("holds a first-aid certificate".to_owned());
    }
    able.extend(extra.qualifications.iter().map(|q| format!("is qualified ({q})")));
    let when = extra.span.map_or_else(String::new, |s| format!(" from {} to {}", s.from, s.to));
    match able.split_last() {
        None => format!("One more pair of hands{when}; need not count in ratio."),
        Some((last, [])) => format!("One more adult{when}, who {last}."),
        Some((last, first)) => {
            format!("One more adult{when}, who {} and {last}.", first.join(", "))
        }
    }
}

fn meal_word(meal: MealKind) -> &'static str {
    match meal {
        MealKind::Breakfast => "Breakfast",
        MealKind::MorningSnack => "Morning snack",
        MealKind::Lunch => "Lunch",
        MealKind::AfternoonSnack => "Afternoon snack",
    }
}
