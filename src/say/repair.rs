//! What a repair changes, what it leaves, and what would mend a day.

use super::{capital, counted, list};
use crate::site::{Minute, Span};

/// Headings of a repair.
pub const HAPPENED: &str = "What has happened";
/// What is as posted.
pub const UNCHANGED: &str = "What does not change";
/// After the first half hour.
pub const LATER: &str = "Later:";
/// Where nothing has.
pub const NOTHING_HAPPENED: &str = "Nothing.";
/// Before anybody has looked for what would mend it.
pub const AWAITED: &str = "What would mend it is being looked for and follows below.";
/// Nothing changes.
pub const NOTHING: &str = "Nothing: everybody who is here goes on as posted.";
/// Nothing changes but a station.
pub const NOTHING_BUT_OPEN: &str =
    "Nothing but what is open: everybody who is here goes on as posted.";

/// What changes from a moment on.
pub fn what_changes(at: Minute) -> String {
    format!("What changes from {at} on")
}

/// The blocks themselves change.
pub fn anew(at: Minute) -> String {
    format!("The day is laid out anew from {at} on")
}

/// Why they do: the children stay in, or go out, or neither.
pub fn why_anew(indoors: Option<bool>) -> &'static str {
    match indoors {
        Some(true) => "The children stay in: time outdoors is filled otherwise.",
        Some(false) => "The children go out: time is made for it.",
        None => "With the blocks as posted a rule would be broken.",
    }
}

/// The rest of the day.
pub fn the_rest(at: Minute) -> String {
    format!("The rest of the day, from {at}")
}

/// Nothing changes for one adult.
pub fn nothing_for(adult: &str) -> String {
    format!("Nothing for {adult}.")
}

/// The chart on the wall is not as it was made.
pub fn edited(at: Minute) -> String {
    format!(
        "The chart on the wall was edited after it was made: what it has before {at} is taken as it \
         stands."
    )
}

/// The chart on the wall was broken before.
pub fn had_problems(problems: usize) -> String {
    let problems = counted(problems, "problem", "problems");
    format!("The chart on the wall had {problems} before this happened.")
}

/// One place instead of others.
pub fn instead(now: &str, was: &[String], span: Span) -> String {
    let first = if was.len() > 1 { "first " } else { "" };
    match was {
        [] => format!("{now}, {span}"),
        was => format!("{now} instead of {first}{}, {span}", was.join(", then ")),
    }
}

/// Somebody is not here.
pub fn not_here(span: Span) -> String {
    format!("not here, {span}")
}

/// An adult is here who was not to be; `stays`: on, after the shift.
pub fn comes(stays: bool, span: Span) -> String {
    let comes = if stays { "stays" } else { "comes in" };
    format!("{comes}, {span}; posts: see the adults below")
}

/// What an adult does after the first change: the one more, or how long there are others.
pub fn then(more: usize, last: &str, until: Minute) -> String {
    match more {
        0 => String::new(),
        1 => format!("; then {last}"),
        _ => format!("; then other posts until {until}, see below"),
    }
}

/// When a staff break is.
pub fn break_at(span: Span) -> String {
    format!("; staff break {span}")
}

/// A round of nappies and toilet that is not as posted.
pub fn round(span: Span, who: &[String]) -> String {
    let order = if who.len() > 1 { ", in this order" } else { "" };
    format!("Nappies and toilet, {span}: {}{order}", list(who))
}

/// A child who is not changed when it was to be.
pub fn not_changed(child: &str, at: Minute) -> String {
    format!("{child}: not changed at {at}")
}

/// Who waits long for a change, and until when.
pub fn waits(who: &[(Option<Minute>, String)]) -> String {
    let told = who.iter().map(|(next, children)| {
        let when = next.map_or("any more today".to_owned(), |next| format!("before {next}"));
        format!("{when} for {children}")
    });
    format!("No nappies or toilet {}.", told.collect::<Vec<_>>().join(", "))
}

/// How many turns of children and posts of adults change, and the fewest turns that was shown.
pub fn moved(turns: u32, least: Option<u32>, posts: u32, anew: bool) -> String {
    let follow = if anew { ": everybody follows the chart below" } else { "" };
    if turns == 0 && !anew {
        return format!("No child is moved. {}.", capital(&changed_posts(posts)));
    }
    let few = match least {
        Some(least) if least == turns => ", and with whole groups fewer would not do".to_owned(),
        Some(least) if least > 0 => {
            format!(", and with whole groups fewer than {least} would not do")
        }
        _ => " (whether fewer would do was not shown)".to_owned(),
    };
    format!("{} {}{few}; {}{follow}.", turns_of(turns), change(turns), changed_posts(posts))
}

fn turns_of(turns: u32) -> String {
    counted(turns as usize, "turn of a child", "turns of children")
}

fn change(turns: u32) -> &'static str {
    if turns == 1 { "changes" } else { "change" }
}

/// How many posts of adults change.
fn changed_posts(posts: u32) -> String {
    match posts as usize {
        0 => "no adult's post changes".to_owned(),
        n => format!("{} changed", counted(n, "post of an adult", "posts of adults")),
    }
}

/// A block instead of what was posted at its time; `same`: when the same block was posted, if it was.
pub fn block(now: &str, was: &[&str], same: Option<Span>, span: Span) -> String {
    match was {
        [] => format!("{now}."),
        [was] if *was == now => format!("{}.", moved_block(now, same, span)),
        was => format!("{now} instead of {}.", list(was)),
    }
}

/// A block that is not when it was, or longer or shorter.
fn moved_block(block: &str, was: Option<Span>, now: Span) -> String {
    let minutes = |n: u16| counted(usize::from(n), "minute", "minutes");
    let (length, before) = (now.minutes(), was.map_or(now.minutes(), Span::minutes));
    let differs = match length.cmp(&before) {
        std::cmp::Ordering::Less => format!("{} shorter", minutes(before - length)),
        std::cmp::Ordering::Equal => return format!("{block}, at another time"),
        std::cmp::Ordering::Greater => format!("{} longer", minutes(length - before)),
    };
    if was.is_some_and(|was| was.from == now.from) {
        format!("{block}, {differs}")
    } else {
        format!("{block}, at another time and {differs}")
    }
}

/// Groups for whom nothing changes, blocks that stay, adults who keep their posts.
pub fn unchanged(groups: &[&str], blocks: &[&str], adults: &[&str]) -> Option<String> {
    let mut said = Vec::new();
    if !groups.is_empty() {
        said.push(format!("{}: nothing changes.", list(groups)));
    }
    if !blocks.is_empty() {
        let stays = if blocks.len() == 1 { "stays" } else { "stay" };
        said.push(format!("{} {stays} as posted.", capital(&list(blocks))));
    }
    if !adults.is_empty() {
        let keep = if adults.len() == 1 { "keeps" } else { "keep" };
        said.push(format!("{} {keep} every post.", list(adults)));
    }
    (!said.is_empty()).then(|| said.join(" "))
}

/// What would mend a day, wholly or in part.
pub fn mends(whole: bool) -> &'static str {
    if whole { "What would mend it" } else { "What would mend a part of it" }
}

/// One fix, with how much it moves.
pub fn fix(words: &str, turns: u32, posts: u32) -> String {
    let turns = match turns {
        0 => "No child is moved".to_owned(),
        n => format!("{} {}", turns_of(n), change(n)),
    };
    format!("{words} ({turns}; {}.)", changed_posts(posts))
}

/// What those that are offered come to, and how one is taken.
pub fn each(offered: usize, whole: bool) -> String {
    let each = match (offered, whole) {
        (1, true) => "With it no rule is broken any more",
        (_, true) => "Any one of them is enough: no rule is broken any more",
        (1, false) => "It mends as much as any that was tried",
        (_, false) => "Any one of them leaves as little broken as any that was tried",
    };
    format!("{each}. To take number 1, say the same again with --fix 1.")
}

/// The one that is taken.
pub fn taken(number: usize, words: &str) -> String {
    format!("Number {number} is taken: {words}")
}

/// Headings of why something stays broken.
pub const WHY_LEFT: &str = "Why the rest stays broken";
/// The same where the first that is offered is taken.
pub const WHY_LEFT_WITH_FIRST: &str = "Why the rest stays broken, with number 1 taken";
/// Nothing could be tried.
pub const WHY_NOTHING: &str = "Why nothing mends it";
/// What was tried does not help.
pub const WHY_NOTHING_TRIED: &str = "Why nothing that was tried mends it";
/// How many were tried together.
pub const AT_MOST_THREE: &str = "No more than three changes were tried together.";
/// The search was cut short.
pub const CUT_SHORT: &str = "Not everything was tried: in so large a room that would take too long. There may be another way.";

/// How many were tried in vain.
pub fn tried(tried: usize) -> String {
    let one = if tried == 1 { "it does not help" } else { "none of them helps" };
    let tried = counted(tried, "change", "changes and sets of changes");
    format!("{tried} tried, each by a repair of its own: {one}.")
}

/// How many were passed over.
pub fn untried(untried: usize) -> String {
    let sets = counted(untried, "more set of changes was", "more sets of changes were");
    format!("{sets} passed over because there are so many: there may be another way.")
}
