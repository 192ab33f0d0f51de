//! What a repair says to the teacher who reads it in a hurry.

use super::mornings::wall;
use crate::faces::command::{fairturn, one_line, out};

fn said(wall: &(String, String), more: &[&str]) -> String {
    let done = fairturn(&[&["repair", &wall.0, &wall.1], more].concat());
    out(&done).to_owned()
}

/// The lines under a heading.
fn under<'a>(text: &'a str, heading: &str) -> Vec<&'a str> {
    let (_, after) = text.split_once(&format!("\n{heading}")).unwrap_or_default();
    after.lines().skip(1).take_while(|line| !line.is_empty()).collect()
}

#[test]
fn one_missing_adult_is_one_problem_with_its_fix_under_it() {
    let text = said(&wall("family-home", "alone"), &["--at", "08:00", "--away", "yara"]);
    let lines: Vec<&str> = text.lines().take(4).collect();
    let first = "NOT SAFE TO RUN: Our room, Tuesday 14 April 2026: 1 problem.";
    let cause = "  ! 08:00 to 17:00: no adult is with the 6 children";
    let help =
        "Call for help now and keep the children together with you: do not wait for this chart.";
    assert_eq!(lines, [first, help, cause, ""], "{text}");
    let fix = text.lines().position(|line| line.starts_with("What would mend"));
    assert!(fix.is_some_and(|at| at <= 10), "{text}");
    let why = under(&text, "Why the rest stays broken, with number 1 taken");
    assert!(why.len() <= 6, "{text}");
}

#[test]
fn why_nobody_is_beside_the_one_child_is_said_with_the_ratio() {
    let text = said(&wall("half-day", "noor"), &["--at", "08:30", "--away", "noor"]);
    let text = one_line(&text);
    let words = "with one of them beside Juno only 1 would count.";
    assert!(
        text.contains("Who counts is needed for the ratio: ") && text.contains(words),
        "{text}"
    );
}

#[test]
fn every_adult_and_every_care_round_has_one_line_and_what_is_soon_stands_first() {
    let text = said(&wall("mixed-age-room", "oona"), &["--at", "09:20", "--away", "oona"]);
    let changes = under(&text, "What changes from 09:20 on");
    let adults = ["Mara: ", "Deniz: ", "Sal: "];
    let of = |adult: &str, line: &str| line.trim_start().starts_with(adult);
    for adult in adults {
        let lines = changes.iter().filter(|line| of(adult, line)).count();
        assert!(lines <= 1, "{adult}{changes:#?}");
    }
    assert!(changes.iter().any(|line| line.contains("  Nappies and toilet, ")), "{changes:#?}");
    let of_children = changes.iter().filter(|line| !adults.iter().any(|adult| of(adult, line)));
    let mut of_children = of_children.filter(|line| line.contains("instead of nappies"));
    assert_eq!(of_children.next(), None, "{changes:#?}");
    assert!(changes.len() <= 25, "{changes:#?}");
    let later = changes.iter().position(|line| *line == "  Later:");
    assert!(later.is_some_and(|at| at > 0), "{changes:#?}");
}

#[test]
fn a_day_laid_out_anew_says_why_and_tells_the_snacks_apart() {
    let text = said(&wall("family-home", "anew"), &["--at", "09:30", "--indoors"]);
    let anew = under(&text, "The day is laid out anew from 09:30 on");
    assert_eq!(anew[0], "  The children stay in: time outdoors is filled otherwise.", "{text}");
    assert!(!text.contains("the ways between"), "{text}");
    let kept = under(&text, "What does not change").join(" ");
    assert!(kept.to_lowercase().contains("morning snack"), "{text}");
    for line in anew.iter().filter(|line| line.ends_with("at another time.")) {
        let what = line.rsplit("  ").next().unwrap_or_default();
        let what = what.trim_end_matches(", at another time.");
        assert!(!kept.to_lowercase().contains(what), "{line} is kept as well: {kept}");
    }
}

#[test]
fn what_holds_with_a_fix_alone_is_said_so() {
    let text = said(&wall("mixed-age-room", "deniz"), &["--at", "08:00", "--away", "deniz"]);
    assert!(!text.contains("Why the rest stays broken\n"), "{text}");
    assert!(text.contains("Why the rest stays broken, with number 1 taken\n"), "{text}");
    assert!(text.contains(" earlier, at ") && !text.contains("125 minutes"), "{text}");
    let wall = wall("mixed-age-room", "sal");
    let text = said(&wall, &["--at", "08:00", "--away", "deniz", "--fix", "1"]);
    assert!(!text.contains("is back from"), "{text}");
    assert!(!text.contains("where to stands"), "{text}");
}

#[test]
fn no_fix_is_offered_twice_nor_one_adult_told_as_two_in_turn() {
    let (scenario, chart) = wall("mixed-age-room", "twins");
    for told in [["08:00", "deniz"], ["09:27", "oona:09:28-10:01"]] {
        let args =
            ["repair", &scenario, &chart, "--at", told[0], "--away", told[1], "--format", "json"];
        let answer: serde_json::Value =
            serde_json::from_slice(&fairturn(&args).stdout).expect("JSON");
        let offered = answer["fixes"]["offered"].as_array().expect("a list");
        let words: Vec<&str> = offered.iter().filter_map(|fix| fix["words"].as_str()).collect();
        let mut once = words.clone();
        once.sort_unstable();
        once.dedup();
        assert!(!words.is_empty() && once.len() == words.len(), "{words:#?}");
        let one = words.iter().any(|words| words.matches("One more adult").count() == 1);
        let two = words.iter().any(|words| words.matches("One more adult").count() == 2);
        assert!(!(one && two), "{words:#?}");
    }
}

#[test]
fn help_is_asked_for_no_longer_than_it_takes() {
    let held = ["--at", "09:30", "--held-up", "marit:09:50-10:20"];
    let text = said(&wall("half-day", "held"), &held);
    let fix = "  1  One more adult from 10:00 to 10:20, who counts in ratio. (";
    assert!(text.contains(fix), "she is on the premises, and may lead: {text}");
    let away = ["--at", "12:00", "--away", "yara:13:00-13:30"];
    let text = said(&wall("family-home", "rest"), &away);
    let fix = "  1  One more adult from 13:00 to 13:30, who counts in ratio, may be alone";
    assert!(text.contains(fix), "the care round before is hers: {text}");
}

#[test]
fn why_there_is_no_more_movement_is_said_with_the_minutes() {
    let indoors = ["--at", "14:00", "--indoors"];
    let text = said(&wall("preschool-room", "late"), &indoors);
    let text = one_line(&text);
    let why = "From 14:00 on 30 minutes of turns and choice are left; a movement break takes 20, and \
               5 on the way to it; no day was found that has it";
    assert_eq!(text.matches(why).count(), 1, "{text}");
}

/// The window of a staff break becomes the time that was told: what is posted before it does not stand.
#[test]
fn a_staff_break_taken_later_is_a_swap_of_two_adults() {
    let told = ["--at", "10:20", "--break-at", "mara:11:00"];
    let text = said(&wall("mixed-age-room", "break"), &told);
    assert!(text.starts_with("Safe to run: "), "{text}");
    let changes = under(&text, "What changes from 10:20 on").join(" ");
    let changes = one_line(&changes);
    assert!(changes.contains("; staff break 11:00 to 11:15"), "{text}");
    assert!(changes.contains("No child is moved."), "{text}");
}

#[test]
fn what_changes_for_one_adult_says_nothing_of_the_others() {
    let closed = ["--at", "09:10", "--leaving", "pip:14:50", "--adult", "sal"];
    let text = said(&wall("mixed-age-room", "one"), &closed);
    assert_eq!(under(&text, "What changes from 09:10 on"), ["  Nothing for Sal."], "{text}");
}

/// What stays broken with a fix that is taken is said of the day with that one, not with the first.
#[test]
fn why_the_rest_stays_broken_is_said_of_the_fix_that_is_taken() {
    let chart = wall("mixed-age-room", "second");
    let away = ["--at", "09:10", "--away", "deniz", "--fix"];
    let first = said(&chart, &[&away[..], &["1"]].concat()).replace("\n    ", " ");
    let second = said(&chart, &[&away[..], &["2"]].concat()).replace("\n    ", " ");
    assert!(first.contains("Sal comes at 09:40"), "{first}");
    assert!(!second.contains("Sal comes at 09:40"), "{second}");
}

/// The yard is free at 10:45, and getting dressed and there takes 15 minutes: told later, they are out
/// later; coming in takes 15 too.
#[test]
fn outdoors_at_once_is_as_soon_as_all_are_dressed() {
    let wall = wall("mixed-age-room", "out");
    for (at, out) in [("09:10", "10:45-11:45"), ("10:35", "10:50-11:45"), ("10:40", "10:55-11:45")]
    {
        let text = said(&wall, &["--at", at, "--outdoors"]);
        assert!(text.contains(&format!("  {out}  outdoors instead of ")), "{at}: {text}");
        assert!(!text.contains("to tidy up and get dressed"), "{at}: {text}");
    }
}
