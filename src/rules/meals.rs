//! Meals: each once, in the window, seated, with an adult, neither too soon nor too late.

use super::pieces::{for_each_child, shared_minutes, stay_pieces};
use super::reading::{Reading, is_awake, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, ChildDay, Place, Post, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Sleep, Span, slices};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Everyone who is here and up for a whole sitting of a meal's window has that sitting (who \
           is fetched from it, half of it at least), seated, with an adult at each table, and nobody \
           has the same meal twice (who was fetched before half of it may have it anew); between the \
           starts of two meals eaten here lie at least and at most the minutes of the standards, else \
           of the settings. Sleep does not count towards the most; only food that a child is offered \
           within an hour of coming, having come when the others sat at that meal already or it was \
           over (breakfast: when its window was), does not count against the least.",
    audit,
    words,
    rows: Some(rows::people::tables),
    kept: Kept::Cases(&[
        "short-breakfast",
        "short-morning-snack",
        "short-lunch",
        "short-afternoon-snack",
    ]),
    about: About::Day,
    reads: Reads::Day,
    mended_by: &[Mend::Meal],
};
const SLUG: &str = "meals";

/// Food is offered on coming when it is offered within so many minutes of it (common practice).
const ON_COMING: u16 = 60;

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let chart = &*reading.chart;
    let mut found = Vec::new();
    for meal in &day.schedule.meals {
        for (child, here) in &day.children {
            if is_due(day, meal, *child, here) {
                found.extend(eaten(meal, (*child, here), chart.child(*child)));
            }
        }
    }
    let eaten: Vec<Eaten> = chart.children.iter().map(|c| Eaten::of(day, c)).collect();
    for child in &eaten {
        found.extend(twice(day, child));
        found.extend(intervals(day, &eaten, child));
    }
    found.extend(tables_alone(&reading));
    for_each_child(found)
}

/// Here and not in an own sleep for the whole of a sitting, somewhere inside the window.
fn is_due(day: &Day, meal: &Meal, child: ChildIndex, here: &[Span]) -> bool {
    let facts = &day.site[child];
    if meal.kind == MealKind::Breakfast && !facts.breakfast_here {
        return false;
    }
    let asleep: &[Span] = if let Sleep::At(own) = &facts.sleep { own } else { &[] };
    let mut edges: Vec<Minute> = vec![meal.window.from, meal.window.to];
    edges.extend(here.iter().chain(asleep).flat_map(|s| [s.from, s.to]));
    let mut up_for = 0;
    for slice in slices(edges).into_iter().filter(|s| meal.window.holds(*s)) {
        let up = here.iter().any(|h| h.holds(slice)) && !asleep.iter().any(|a| a.meets(slice));
        up_for = if up { up_for + slice.minutes() } else { 0 };
        if up_for >= meal.minutes {
            return true;
        }
    }
    false
}

/// What a child who is due a meal is short of it.
fn eaten(
    meal: &Meal,
    (child, here): (ChildIndex, &[Span]),
    day: Option<&ChildDay>,
) -> Option<Problem> {
    let stays = day.map_or(&[][..], |d| &d.stays);
    let at_table = stay_pieces(stays, |s| {
        (matches!(s.at, Place::Table(_)) && s.meal == Some(meal.kind)).then_some(())
    });
    let spans: Vec<Span> = at_table.into_iter().map(|(_, span)| span).collect();
    let minutes = shared_minutes(meal.window, &spans);
    let had: u16 = spans.iter().map(|span| span.minutes()).sum();
    let goes = |eats: &Span| here.iter().any(|h| eats.from < h.to && h.to <= eats.to);
    let fetched = spans.iter().any(goes);
    let enough = if fetched { meal.minutes.div_ceil(2) } else { meal.minutes };
    let [none, short, _] = cases(meal.kind);
    let problem = Problem { children: vec![child], ..Problem::of(SLUG, none, meal.window) };
    match minutes {
        _ if had == 0 => Some(Problem { needed: 1, unit: Unit::Times, ..problem }),
        m if m < enough => Some(Problem {
            // Less than half of it, whenever it is, is no meal.
            case: if 2 * had < meal.minutes { none } else { short },
            needed: u32::from(meal.minutes),
            present: u32::from(m),
            by: u32::from(meal.minutes - m),
            unit: Unit::Minutes,
            ..problem
        }),
        _ => None,
    }
}

/// Not had, or less than half of it; cut short, or not in its window; had twice.
fn cases(kind: MealKind) -> [&'static str; 3] {
    match kind {
        MealKind::Breakfast => ["no-breakfast", "short-breakfast", "breakfast-twice"],
        MealKind::MorningSnack => {
            ["no-morning-snack", "short-morning-snack", "morning-snack-twice"]
        }
        MealKind::Lunch => ["no-lunch", "short-lunch", "lunch-twice"],
        MealKind::AfternoonSnack => {
            ["no-afternoon-snack", "short-afternoon-snack", "afternoon-snack-twice"]
        }
    }
}

/// What one child eats.
struct Eaten<'a> {
    drawn: &'a ChildDay,
    here: &'a [Span],
    sittings: Vec<Sitting>,
}

/// One sitting of a child, however often the child was fetched from it to be changed.
struct Sitting {
    span: Span,
    kind: MealKind,
    /// Minutes of it at the table.
    minutes: u16,
}

impl<'a> Eaten<'a> {
    fn of(day: &'a Day, drawn: &'a ChildDay) -> Eaten<'a> {
        Eaten { drawn, here: day.child_here(drawn.child), sittings: sittings(drawn) }
    }

    /// When the child came who is here at a minute.
    fn came(&self, minute: Minute) -> Option<Minute> {
        self.here.iter().find(|here| here.contains(minute)).map(|here| here.from)
    }
}

fn sittings(child: &ChildDay) -> Vec<Sitting> {
    let mut stays: Vec<_> = child.stays.iter().collect();
    stays.sort_by_key(|s| s.span);
    let mut sittings: Vec<Sitting> = Vec::new();
    let mut open_until = None;
    for stay in stays {
        // Who was away in between sits down anew.
        let open = open_until.is_some_and(|until| stay.span.from <= until);
        match (stay.at, stay.meal) {
            (Place::Table(_), Some(kind)) => {
                let minutes = stay.span.minutes();
                match sittings.last_mut() {
                    Some(last) if open && last.kind == kind => {
                        last.span.to = stay.span.to;
                        last.minutes = last.minutes.saturating_add(minutes);
                    }
                    _ => sittings.push(Sitting { span: stay.span, kind, minutes }),
                }
                open_until = Some(stay.span.to);
            }
            (Place::Care | Place::Transition, _) if open => open_until = Some(stay.span.to),
            _ => open_until = None,
        }
    }
    sittings
}

/// Meals that a child has a second time; who was fetched before half of one may have it anew.
fn twice(day: &Day, child: &Eaten<'_>) -> Vec<Problem> {
    let mut found: Vec<Problem> = Vec::new();
    let mut had: Vec<&Sitting> = Vec::new();
    for sitting in &child.sittings {
        let meal = day.schedule.meal(sitting.kind);
        let half = meal.map_or(0, |m| m.minutes.div_ceil(2));
        let fetched = child.here.iter().any(|here| here.to == sitting.span.to);
        if let Some(first) = had.iter().find(|before| before.kind == sitting.kind) {
            let Some(span) = Span::new(first.span.from, sitting.span.from) else { continue };
            found.push(Problem {
                children: vec![child.drawn.child],
                needed: 1,
                present: 2,
                unit: Unit::Times,
                ..Problem::of(SLUG, cases(sitting.kind)[2], span)
            });
        } else if !fetched || sitting.minutes >= half {
            had.push(sitting);
        }
    }
    found
}

/// Whether a sitting is food that a child is offered on coming, having come too late for that meal:
/// the others sat at it already, or, where nobody else eats it, its window was too short by then.
/// Breakfast is eaten as children come: only its window says who comes too late for it.
///
/// The others are those who had come when the first of them sat down; who sleeps by an own clock eats
/// by one as well, and says nothing about when the meal is.
fn is_offered_on_coming(
    day: &Day,
    all: &[Eaten<'_>],
    child: &Eaten<'_>,
    sitting: &Sitting,
) -> bool {
    let Some(came) = child.came(sitting.span.from) else { return false };
    if sitting.span.from > came.later(ON_COMING) {
        return false;
    }
    let own_clock = |eaten: &Eaten<'_>| matches!(day.site[eaten.drawn.child].sleep, Sleep::At(_));
    let sits_down = all.iter().filter(|eaten| !own_clock(eaten)).filter_map(|eaten| {
        let first = eaten.sittings.iter().find(|s| s.kind == sitting.kind)?;
        Some((eaten.drawn.child, first.span.from, eaten.came(first.span.from)?))
    });
    let sits_down: Vec<(ChildIndex, Minute, Minute)> = sits_down.collect();
    let begins = sits_down.iter().map(|(_, from, _)| *from).min();
    let in_time = sits_down.iter().filter(|(_, _, came)| Some(*came) <= begins);
    let others = in_time.filter(|(other, ..)| *other != child.drawn.child);
    match others.map(|(_, from, _)| *from).max() {
        Some(last) if sitting.kind != MealKind::Breakfast => came > last,
        _ => {
            let meal = day.schedule.meal(sitting.kind);
            meal.is_some_and(|m| came.later(m.minutes) > m.window.to)
        }
    }
}

/// Starts of two meals too near or too far, by every standard that says so, else by the settings.
fn intervals(day: &Day, all: &[Eaten<'_>], child: &Eaten<'_>) -> Vec<Problem> {
    let mut limits: Vec<(Option<String>, (u16, u16))> = day
        .standards
        .iter()
        .filter_map(|s| s.meal_interval().map(|limit| (Some(s.id.clone()), limit)))
        .collect();
    if limits.is_empty() {
        limits.push((None, day.site.settings.meal_interval));
    }
    let asleep: Vec<Span> = stay_pieces(&child.drawn.stays, |s| (!is_awake(s)).then_some(()))
        .into_iter()
        .map(|(_, span)| span)
        .collect();
    let mut found = Vec::new();
    for pair in child.sittings.windows(2) {
        let Some(between) = Span::new(pair[0].span.from, pair[1].span.from) else { continue };
        let stayed = child.here.iter().any(|here| here.holds(between));
        let apart = u32::from(between.minutes());
        let awake = apart - u32::from(shared_minutes(between, &asleep));
        // The same meal a second time is told as that.
        let another = pair[0].kind != pair[1].kind;
        for (standard, (least, most)) in &limits {
            let (least, most) = (u32::from(*least), u32::from(*most));
            let problem = |case, needed, present: u32| Problem {
                standard: standard.clone(),
                children: vec![child.drawn.child],
                needed,
                present,
                by: needed.abs_diff(present),
                unit: Unit::Minutes,
                ..Problem::of(SLUG, case, between)
            };
            let offered = |s: &Sitting| is_offered_on_coming(day, all, child, s);
            if another && apart < least && !pair.iter().any(offered) {
                found.push(problem("too-soon", least, apart));
            }
            if awake > most && stayed {
                found.push(problem("too-late", most, awake));
            }
        }
    }
    found
}

/// Tables at which children eat and no adult sits with them.
fn tables_alone(reading: &Reading) -> Vec<Problem> {
    let mut found: Vec<Problem> = Vec::new();
    for slice in reading.slices([]) {
        let eats = |s: &Stay| matches!(s.at, Place::Table(_)) && s.meal.is_some();
        let mut alone: Vec<(Place, ChildIndex, &Stay)> = slice
            .children
            .iter()
            .filter(|(child, stay)| {
                let with = |post: &Post| {
                    post.at == stay.at && post.for_child.is_none_or(|own| own == *child)
                };
                eats(stay) && !slice.adults.iter().any(|(_, post)| with(post))
            })
            .map(|(child, stay)| (stay.at, *child, *stay))
            .collect();
        alone.sort_unstable_by_key(|(at, child, _)| (*at, *child));
        for table in alone.chunk_by(|a, b| a.0 == b.0) {
            found.push(Problem {
                children: table.iter().map(|(_, child, _)| *child).collect(),
                space: Some(table[0].2.space),
                at: Some(table[0].0),
                needed: 1,
                ..Problem::of(SLUG, "no-adult", slice.span)
            });
        }
    }
    merged(found)
}

fn words(day: &Day, p: &Problem) -> String {
    let who = phrase::children(day, &p.children);
    let many = p.children.len();
    let (has, span) = (phrase::verb(many, "has", "have"), p.span);
    let asked = phrase::asked_by(day, p.standard.as_deref());
    let kinds =
        [MealKind::Breakfast, MealKind::MorningSnack, MealKind::Lunch, MealKind::AfternoonSnack];
    for kind in kinds {
        let [none, short, twice] = cases(kind);
        let meal = phrase::meal(kind);
        if p.case == twice {
            return format!("{who} {has} {meal} twice: at {} and at {}", span.from, span.to);
        }
        if p.case == none && p.unit == Unit::Times {
            return format!("{who} {has} had no {meal}: {span} is the window");
        }
        if p.case == short && p.present == 0 {
            return format!("{who} {has} {meal}, but not between {} and {}", span.from, span.to);
        }
        if [none, short].contains(&p.case) {
            return format!(
                "{who} {has} only {} of the {} of {meal} between {} and {}",
                p.present,
                phrase::count(p.needed, "minute"),
                span.from,
                span.to
            );
        }
    }
    match p.case {
        "too-soon" => format!(
            "{who} {} at {} and again at {}: {} apart, at least {} asked{asked}",
            phrase::verb(many, "eats", "eat"),
            span.from,
            span.to,
            phrase::count(p.present, "minute"),
            p.needed
        ),
        "too-late" => format!(
            "{who} {} at {} and then not before {}: {} awake between, at most {} asked{asked}",
            phrase::verb(many, "eats", "eat"),
            span.from,
            span.to,
            phrase::count(p.present, "minute"),
            p.needed
        ),
        _ => format!(
            "{span}, {}: {who} {} without an adult at the table",
            p.at.map_or_else(String::new, |at| phrase::place(day, at)),
            phrase::verb(many, "eats", "eat"),
        ),
    }
}
