//! Where the minutes of the day go: a bar for each small group, a table of the children.

use super::lines::{Page, counted, pad, width};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::{ChoiceShare, MinuteKind, choice_shares, minutes_by_kind};

/// Minutes of an average child that one letter of a bar stands for.
const A_LETTER: u32 = 10;

/// What a bar tells apart, with its letter and its name.
const LETTERS: [(char, &str, &[MinuteKind]); 8] = [
    ('T', "turns", &[MinuteKind::Stations]),
    ('C', "choice", &[MinuteKind::Choice]),
    ('W', "all together", &[MinuteKind::WholeGroup]),
    ('E', "meals", &[MinuteKind::Meals]),
    ('R', "rest and sleep", &[MinuteKind::Resting, MinuteKind::Asleep]),
    ('M', "moving", &[MinuteKind::Moving]),
    ('O', "outdoors", &[MinuteKind::Outdoors]),
    (
        '.',
        "on the way, waiting and care",
        &[MinuteKind::Transitions, MinuteKind::Care, MinuteKind::Unplaced],
    ),
];

/// A bar for each small group: where an average child's minutes go; and the share of choice.
pub(super) fn bars(day: &Day, chart: &Chart, page: &mut Page) {
    let groups = chart.groups.iter().filter(|g| !g.children.is_empty());
    let names = groups.clone().map(|g| width(&g.label)).max().unwrap_or(0) + 2;
    let mut used = [false; LETTERS.len()];
    let mut lines = Vec::new();
    for group in groups {
        let members = chart.children.iter().filter(|c| group.children.contains(&c.child));
        let spent: Vec<Vec<(MinuteKind, u32)>> = members.map(minutes_by_kind).collect();
        let count = u32::try_from(spent.len().max(1)).unwrap_or(1);
        let minutes = LETTERS.map(|(_, _, kinds)| -> u32 {
            kinds.iter().flat_map(|k| spent.iter().map(move |s| of(s, *k))).sum()
        });
        let letters = parts(&minutes, A_LETTER * count);
        let pieces = LETTERS.iter().zip(letters).zip(&mut used).filter(|((_, n), _)| *n > 0);
        let bar: Vec<String> = pieces
            .map(|(((letter, ..), n), used)| {
                *used = true;
                letter.to_string().repeat(n as usize)
            })
            .collect();
        lines.push(format!("  {}{}", pad(&group.label, names), bar.join(" ")));
    }
    if lines.is_empty() {
        return;
    }
    page.heading(&format!(
        "Where the minutes go (an average child, a letter for {A_LETTER} minutes)"
    ));
    lines.iter().for_each(|line| page.line(line));
    let said: Vec<String> = LETTERS
        .iter()
        .zip(used)
        .filter(|(_, used)| *used)
        .map(|((letter, name, _), _)| format!("{letter} {name}"))
        .collect();
    page.wrapped("  ", &format!("{}.", said.join(", ")));
    choice(&choice_shares(day, chart), page);
}

/// So many letters for each sum, as many in all as the total holds; what is left over goes to the
/// largest remainders.
fn parts(sums: &[u32; LETTERS.len()], each: u32) -> [u32; LETTERS.len()] {
    let mut parts = sums.map(|sum| sum / each);
    let total: u32 = sums.iter().sum();
    let left = ((total + each / 2) / each).saturating_sub(parts.iter().sum());
    let mut order: Vec<usize> = (0..sums.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(sums[i] % each), i));
    for &i in order.iter().take(left as usize) {
        parts[i] += 1;
    }
    parts
}

/// How much the children choose for themselves, and who has less than is wished.
fn choice(shares: &[ChoiceShare], page: &mut Page) {
    let minutes = || shares.iter().map(|s| s.minutes);
    let percents = || shares.iter().map(ChoiceShare::percent);
    let (Some(least), Some(most)) = (minutes().min(), minutes().max()) else { return };
    let (Some(low), Some(high)) = (percents().min(), percents().max()) else { return };
    let range = |low: u32, high: u32| {
        if low == high { low.to_string() } else { format!("{low} to {high}") }
    };
    let under_third = shares.iter().filter(|s| !s.is_good_third()).count();
    let under_session = shares.iter().filter(|s| !s.is_third_of_session()).count();
    let third = match under_third {
        0 => "more than the third that is wished".to_owned(),
        n => format!("less than the third that is wished for {}", counted(n, "child", "children")),
    };
    let session = match under_session {
        0 => String::new(),
        n => format!(
            "; for {} less than a third of their time here",
            counted(n, "child", "children")
        ),
    };
    let text = format!(
        "{} minutes a child, {} % of turns and choice, {third}{session}.",
        range(least, most),
        range(low, high)
    );
    page.wrapped("  Free choice: ", &text);
}

/// One line for each child, one column for each kind that anyone has a minute of.
pub(super) fn minutes(day: &Day, chart: &Chart, page: &mut Page) {
    let rows: Vec<(String, Vec<(MinuteKind, u32)>)> = chart
        .children
        .iter()
        .map(|c| (day.site[c.child].label.clone(), minutes_by_kind(c)))
        .collect();
    let used = |kind: &MinuteKind| rows.iter().any(|(_, spent)| of(spent, *kind) > 0);
    let kinds: Vec<MinuteKind> = MinuteKind::ALL.into_iter().filter(used).collect();
    if kinds.is_empty() {
        return;
    }
    page.heading("Where the minutes go");
    let names = rows.iter().map(|(name, _)| width(name)).max().unwrap_or(0);
    let head: Vec<String> = kinds.iter().map(|k| format!("{:>7}", called(*k))).collect();
    page.line(&format!("  {}{}", pad("", names), head.join(" ")));
    for (name, spent) in rows {
        let cells: Vec<String> = kinds.iter().map(|k| format!("{:>7}", of(&spent, *k))).collect();
        page.line(&format!("  {}{}", pad(&name, names), cells.join(" ")));
    }
}

fn of(spent: &[(MinuteKind, u32)], kind: MinuteKind) -> u32 {
    spent.iter().find(|(k, _)| *k == kind).map_or(0, |(_, minutes)| *minutes)
}

fn called(kind: MinuteKind) -> &'static str {
    match kind {
        MinuteKind::Stations => "turns",
        MinuteKind::Choice => "choice",
        MinuteKind::WholeGroup => "circle",
        MinuteKind::Meals => "meals",
        MinuteKind::Resting => "rest",
        MinuteKind::Asleep => "asleep",
        MinuteKind::Moving => "moving",
        MinuteKind::Outdoors => "outside",
        MinuteKind::Care => "care",
        MinuteKind::Transitions => "waiting",
        MinuteKind::Unplaced => "nowhere",
    }
}
