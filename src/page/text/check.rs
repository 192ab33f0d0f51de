//! The block check on paper: the verdict first, then what to change or why not, then the figures.

use super::lines::{Page, capital, counted, list};
use crate::day::Day;
use crate::day::materials::with_groups;
use crate::planner::check::{
    BlockCheck, Care, Change, Holds, Material, Matter, Offer, SliceCheck, Tied, Verdict,
};
use crate::planner::{AgeRange, CAUTION};
use crate::say::place::with_activity;
use crate::say::{children, clock};
use crate::site::{AdultIndex, Minute, Span};
use crate::standards::Source;
use crate::standards::foods::{is_known, lists_of};
use crate::standards::hazards::caution;

/// The answer for a person: the first line is the verdict.
#[must_use]
pub fn print_check(day: &Day, check: &BlockCheck) -> String {
    let mut page = Page::default();
    first_lines(day, check, &mut page);
    reasons(check, &mut page);
    for words in &check.mind {
        page.wrapped("Mind: ", words);
    }
    slices(day, check, &mut page);
    hands(day, check, &mut page);
    care(day, check, &mut page);
    materials(day, check, &mut page);
    more(day, check, &mut page);
    holds(check, &mut page);
    assumed(check, &mut page);
    page.gap();
    page.wrapped("", CAUTION);
    page.into_text()
}

fn first_lines(day: &Day, check: &BlockCheck, page: &mut Page) {
    let named = check.question.stations.iter().map(|s| with_activity(day, *s));
    let block = format!("{}, {}", list(&named.collect::<Vec<_>>()), check.question.span);
    match (check.verdict, check.offers.first()) {
        // Whoever reads no further than the first line must not begin then.
        (Verdict::GoWithChanges, Some(Offer { changes, words }))
            if matches!(changes[..], [Change::AnotherTime { .. }, ..]) =>
        {
            page.wrapped("", &format!("Not then: {block}. It can run {words}."));
        }
        (Verdict::GoWithChanges, Some(Offer { changes, words })) => {
            let with = match changes.len() {
                1 => "one change".to_owned(),
                2 => "two changes".to_owned(),
                3 => "three changes".to_owned(),
                n => format!("{n} changes"),
            };
            page.wrapped("", &format!("Go, with {with}: {words}."));
            page.line(&format!("{block}."));
        }
        (Verdict::Go, _) => page.wrapped("", &format!("Go: {block}.")),
        _ => page.wrapped("", &format!("No-go: {block}.")),
    }
    let date = day.date.format("%A %-d %B %Y");
    let against = if check.with_chart { "by the posted chart" } else { "no chart yet" };
    page.line(&format!("{}, {date}, {against}.", day.site[day.room].label));
}

fn reasons(check: &BlockCheck, page: &mut Page) {
    if !check.reasons.is_empty() {
        let why = if check.verdict == Verdict::NoGo { "Why" } else { "Why not as asked" };
        page.heading(why);
        for reason in &check.reasons {
            page.wrapped("  ! ", &format!("{}.", reason.words));
        }
    }
    if check.offers.len() > 1 {
        page.heading("Or, instead of that, any one of these");
        for offer in &check.offers[1..] {
            page.wrapped("  - ", &format!("{}.", capital(&offer.words)));
        }
    } else if check.verdict == Verdict::NoGo {
        page.gap();
        page.wrapped(
            "",
            "No change that was tried mends it: other posts, small parts out of reach, a station closed \
             in between, fewer children, only older ones, children from other spaces, two of these \
             together, another time that day, up to three more adults.",
        );
    }
    page.gap();
}

fn adults(day: &Day, who: &[AdultIndex]) -> String {
    // Past the team stand those who would come for the block.
    let label = |a: &AdultIndex| day.site.adults.get(a.0).map_or("another adult", |a| &a.label);
    list(&who.iter().map(label).collect::<Vec<_>>())
}

fn by_age(ranges: &[(AgeRange, u32)]) -> String {
    let told = ranges.iter().map(|(range, n)| format!("{n} {}", age(*range)));
    told.collect::<Vec<_>>().join(", ")
}

fn slices(day: &Day, check: &BlockCheck, page: &mut Page) {
    if check.slices.is_empty() {
        return;
    }
    let changed = check.offers.first().filter(|_| check.with_first_offer);
    page.heading(match changed.map(|offer| offer.changes.len()) {
        None => "Minute by minute, as asked",
        Some(1) => "Minute by minute, with that change made",
        Some(_) => "Minute by minute, with those changes made",
    });
    // What is judged in another space than the usual one says so, also where it stands alone.
    let home = day.site[day.room].home;
    let several = check.slices.iter().any(|s| s.space != home);
    for slice in &check.slices {
        let space =
            if several { format!(", {}", day.site[slice.space].label) } else { String::new() };
        let all: u32 = slice.by_range.iter().map(|(_, n)| n).sum();
        let asleep =
            if slice.asleep > 0 { format!(", {} asleep", slice.asleep) } else { String::new() };
        page.wrapped(
            &format!("{}  ", clock(slice.span)),
            &format!(
                "{}{space}: {}{asleep}",
                counted(all as usize, "child", "children"),
                by_age(&slice.by_range)
            ),
        );
        for need in &slice.needs {
            let enough = if need.present >= need.needed { "enough" } else { "NOT ENOUGH" };
            let over = if need.premises { "All on the premises together: " } else { "" };
            page.wrapped(
                "             ",
                &format!("{over}{} {} counted: {enough}.", need.words, present(need.present)),
            );
        }
        who(day, slice, page);
    }
}

fn present(n: u32) -> String {
    if n == 1 { "1 is there and".into() } else { format!("{n} are there and") }
}

fn who(day: &Day, slice: &SliceCheck, page: &mut Page) {
    const INDENT: &str = "             ";
    for tied in &slice.tied {
        page.wrapped(INDENT, &format!("{}.", at_station(day, tied)));
    }
    if !slice.elsewhere.is_empty() {
        let posts: Vec<&str> = slice.elsewhere.iter().map(|e| e.words.as_str()).collect();
        page.wrapped(INDENT, &format!("Tied to other posts: {}.", list(&posts)));
    }
    let left = &slice.left;
    if !left.children.is_empty() {
        let with = match left.adults.len() {
            0 => "nobody left for them".to_owned(),
            _ => adults(day, &left.adults),
        };
        let sight = if left.sight { "in sight" } else { "NOT ALL IN SIGHT" };
        let all: u32 = slice.by_range.iter().map(|(_, n)| n).sum();
        // Who is at a station without an adult of its own is left to the same adults.
        let among = slice.tied.iter().any(|t| t.children.iter().any(|c| left.children.contains(c)));
        let others = match ((left.children.len() as u32) < all, among) {
            (false, _) => "All",
            (true, true) => "These and the others",
            (true, false) => "The others",
        };
        let n = counted(left.children.len(), "child", "children");
        page.wrapped(INDENT, &format!("{others}, {n}: {with}; {sight}."));
    }
    let uncounted: Vec<AdultIndex> =
        slice.adults.iter().copied().filter(|a| !slice.counted.contains(a)).collect();
    if !uncounted.is_empty() {
        page.wrapped(INDENT, &format!("Not counted: {}.", adults(day, &uncounted)));
    }
}

fn at_station(day: &Day, tied: &Tied) -> String {
    let label = &day.station(tied.station).label;
    let may = tied.children.len();
    let seats = day.station(tied.station).seats as usize;
    let there = match counted(may, "child", "children") {
        all if may <= seats || tied.at_the_sinks => all,
        all => format!("{seats} of {all} at a time"),
    };
    let who = adults(day, &tied.adults);
    if tied.at_the_sinks {
        let with =
            if who.is_empty() { "in the room's view".to_owned() } else { format!("with {who}") };
        return format!("At the sinks after {label}: {there}, {with}");
    }
    match (tied.needed, tied.adults.len() as u32) {
        (0, 0) => format!("{label}: {there}, no adult of its own needed"),
        (needed, 0) => format!("{label}: {there}, NO ADULT at it, {needed} needed"),
        (needed, n) if n < needed => {
            format!("{label}: {there}, only {who} at it, {needed} adults needed")
        }
        _ => format!("{label}: {there}, {who} at it"),
    }
}

fn hands(day: &Day, check: &BlockCheck, page: &mut Page) {
    for wash in &check.washing {
        let station = &day.station(wash.station).label;
        let mut children = counted(wash.children as usize, "child", "children");
        if wash.others > 0 {
            children.push_str(&format!(", with {} more who move there,", wash.others));
        }
        let sinks = counted(wash.sinks as usize, "sink", "sinks");
        let minutes = counted(usize::from(wash.minutes), "minute", "minutes");
        let helped = match wash.helped {
            0 => String::new(),
            1 => ", 1 of them with an adult's help,".to_owned(),
            n => format!(", {n} of them with an adult's help one after another,"),
        };
        let when = if wash.from < check.question.span.to {
            let done = wash.from.later(wash.minutes);
            format!("the first one goes at {}, and all is done at {done}", wash.from)
        } else {
            "after the block, in the chart's own time for it".to_owned()
        };
        page.gap();
        page.wrapped(
            "Hands: ",
            &format!("after {station} {children} at {sinks}{helped} take {minutes}; {when}."),
        );
    }
}

fn care(day: &Day, check: &BlockCheck, page: &mut Page) {
    let Some(care) = &check.care else { return };
    page.gap();
    let who = children(day, &care.children);
    let shown = check.shown();
    let several = check.slices.iter().any(|s| s.adults.len() > 1);
    let other = if care.by_chart.is_empty() || !several { "adult" } else { "other adult" };
    let spared = match care.holds.as_slice() {
        [] => format!("no {other} can be spared for it"),
        [one] if *one == shown => "one adult can be spared for it at any time".to_owned(),
        some => format!(
            "one {other} can be spared for it {} only",
            list(&some.iter().map(Span::to_string).collect::<Vec<_>>())
        ),
    };
    page.wrapped(
        "Care: ",
        &format!(
            "a change takes {} minutes ({who}; {} for all of them); {}{spared}.{}",
            care.minutes_each,
            care.minutes,
            by_chart(day, check, care),
            forgiven(care, shown)
        ),
    );
}

/// Who is at it by the chart, as the start of a clause; empty where nobody is.
fn by_chart(day: &Day, check: &BlockCheck, care: &Care) -> String {
    let one =
        |(adult, span): &(AdultIndex, Span)| format!("{} at it {span}", adults(day, &[*adult]));
    match care.by_chart.is_empty() {
        true => String::new(),
        false => {
            let told = list(&care.by_chart.iter().map(one).collect::<Vec<_>>());
            let whose = if check.with_chart { "the chart" } else { "the plan" };
            format!("{whose} has {told}; ")
        }
    }
}

fn forgiven(care: &Care, block: Span) -> String {
    let known = || care.holds.iter().chain(care.by_chart.iter().map(|(_, span)| span));
    let told = |minute: u16| known().any(|span| span.contains(Minute(minute)));
    if (block.from.0..block.to.0).all(told) {
        return String::new();
    }
    let why = care.breaks.as_ref().map_or_else(String::new, |b| format!(" At other times: {b}."));
    let rule = match care.forgiven {
        Some(minutes) if minutes >= care.minutes_each => format!(
            " The standards forgive {minutes} minutes when it happens, so one change that cannot \
             wait is carried; never plan with it."
        ),
        Some(minutes) => format!(
            " The standards forgive {minutes} minutes when it happens, which is less than a change \
             takes."
        ),
        None => " No standard that binds here forgives that, however short: call somebody first."
            .to_owned(),
    };
    why + &rule
}

fn materials(day: &Day, check: &BlockCheck, page: &mut Page) {
    if check.materials.is_empty() {
        return;
    }
    page.heading("Materials");
    for material in &check.materials {
        page.wrapped("  ", &told(day, material));
    }
}

fn told(day: &Day, material: &Material) -> String {
    let label = &day.station(material.station).label;
    let who = children(day, &material.not_for);
    let (what, source) = match &material.what {
        Matter::Allergen(word) => return format!("{label}: {}", food(day, material, word)),
        Matter::Hazard(hazard) => (&caution(*hazard).words, &caution(*hazard).source),
    };
    let young = if material.not_for.is_empty() {
        String::new()
    } else {
        format!(" Not for {who}: too young.")
    };
    let closed = if material.closed_for.is_empty() {
        String::new()
    } else {
        format!(" It stays closed while {} could reach it.", children(day, &material.closed_for))
    };
    format!("{label}: {what}{young}{closed} [{source}]")
}

/// A word for a food or material: what it stands for, by whose list, and whom it is not for.
fn food(day: &Day, material: &Material, word: &str) -> String {
    let mut said = vec![format!("{}.", with_groups(word))];
    if !is_known(word) {
        said = vec![format!("{word} is not known here: ask what is in it.")];
    }
    if !material.not_for.is_empty() {
        said.push(format!("Not for {}: allergic to it.", children(day, &material.not_for)));
    }
    if !material.ask_for.is_empty() {
        said.push(format!("Not for {} before that is asked.", children(day, &material.ask_for)));
    }
    if material.not_for.is_empty() && material.ask_for.is_empty() {
        said.push("Nobody who is there is said to be allergic to it.".to_owned());
    }
    let lists: Vec<String> = lists_of(word).into_iter().map(Source::to_string).collect();
    if !lists.is_empty() {
        said.push(format!("[{}]", lists.join("; ")));
    }
    said.join(" ")
}

fn more(day: &Day, check: &BlockCheck, page: &mut Page) {
    for (space, more) in &check.more {
        page.gap();
        if more.iter().all(|(_, n)| *n == 0) {
            page.wrapped("", &format!("Could I take one more? Not in {}.", day.site[*space].label));
            continue;
        }
        let told = more.iter().map(|(range, n)| format!("{}: {n}", age(*range)));
        page.wrapped(
            "Could I take one more? ",
            &format!("{} ({}).", told.collect::<Vec<_>>().join(", "), day.site[*space].label),
        );
    }
    for leaver in &check.leavers {
        page.wrapped(
            "If one leaves: ",
            &format!(
                "{}: without {} the rule asks for {} adults, {} there.",
                leaver.span,
                day.site[leaver.child].label,
                leaver.needed,
                if leaver.present == 1 { "1 is".into() } else { format!("{} are", leaver.present) }
            ),
        );
    }
}

fn holds(check: &BlockCheck, page: &mut Page) {
    let Some(Holds { until, why }) = &check.holds_until else { return };
    page.gap();
    let why = why.as_ref().map_or_else(String::new, |why| format!(" Then: {why}"));
    page.wrapped("", &format!("It could go on until {until}.{why}"));
}

fn assumed(check: &BlockCheck, page: &mut Page) {
    if check.assumed.is_empty() {
        return;
    }
    page.heading("Taken for granted");
    for words in &check.assumed {
        page.wrapped("  ", words);
    }
}

/// An age range in the words of a parent.
pub(super) fn age(range: AgeRange) -> String {
    match (range.from_months / 12, range.below_months) {
        (0, _) => "under 1".into(),
        (years, None) => format!("{years} and over"),
        (years, Some(_)) => format!("aged {years}"),
    }
}
