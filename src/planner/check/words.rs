//! The sentences of a block check.

use super::judge::Trial;
use super::plan::Base;
use super::slices::counted_children as children_count;
use super::{BlockQuestion, Change, SliceCheck, come, plan};
use crate::chart::{Chart, Place, Stay};
use crate::day::{Day, Who};
use crate::planner::{list, place_words};
use crate::rules::named;
use crate::say;
use crate::site::{ChildIndex, MealKind, Part, PartKind, SpaceIndex, Span};
use crate::standards::foods::is_known;

/// `1 adult`, `2 adults`.
pub(super) fn adults(n: u32) -> String {
    if n == 1 { "1 adult".to_owned() } else { format!("{n} adults") }
}

/// Labels in a row: `Ola, Kim and Jo`.
pub(super) fn children(day: &Day, who: &[ChildIndex]) -> String {
    list(&who.iter().map(|c| day.site[*c].label.as_str()).collect::<Vec<_>>())
}

/// A meal at the start of a sentence.
pub(super) fn meal(kind: MealKind) -> &'static str {
    match kind {
        MealKind::Breakfast => "Breakfast",
        MealKind::MorningSnack => "The morning snack",
        MealKind::Lunch => "Lunch",
        MealKind::AfternoonSnack => "The afternoon snack",
    }
}

/// A fixed part at the start of a sentence.
pub(super) fn part(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Arrival => "Arrival",
        PartKind::Circle => "Circle",
        PartKind::Choice => "Choice",
        PartKind::Outdoors => "Outdoor time",
        PartKind::GoingHome => "Going home",
    }
}

/// The fixed parts of the day that a span meets, but for those in which children choose anyway.
pub(super) fn parts_met(day: &Day, span: Span) -> impl Iterator<Item = &Part> {
    let fixed = |p: &&Part| matches!(p.kind, PartKind::Circle | PartKind::Outdoors);
    day.schedule.parts.iter().filter(fixed).filter(move |p| p.span.meets(span))
}

fn place(day: &Day, at: Place) -> String {
    match at {
        Place::Station(s) => day.station(s).label.clone(),
        Place::Zone(z) => say::place::zone(day, z),
        Place::Table(t) => day.site[t].label.clone(),
        Place::WholeGroup => "circle".into(),
        Place::Movement => "the movement break".into(),
        Place::Outdoors => "outdoors".into(),
        Place::Rest => "the rest".into(),
        Place::Care => "the changing place".into(),
        Place::Transition => "on the way with the children".into(),
        Place::Door => "the door".into(),
        Place::Preparation => "getting the room ready".into(),
        Place::Task(task) => {
            day.schedule.tasks.get(task).map_or("a task", |t| t.label.as_str()).to_owned()
        }
        Place::StaffBreak(_) => "the staff break".into(),
        _ => "another post".into(),
    }
}

/// A set of changes as one sentence without its full stop.
pub(super) fn changes(day: &Day, question: &BlockQuestion, changes: &[Change]) -> String {
    let told: Vec<String> = changes.iter().map(|c| change(day, question, c)).collect();
    told.join("; ")
}

/// What is asked of an adult who comes where nobody may lead.
const LEADS: &str = "may lead the room and holds a first-aid certificate";

fn change(day: &Day, question: &BlockQuestion, change: &Change) -> String {
    let when = |span: &Span| {
        if *span == question.span { String::new() } else { format!(", {span}") }
    };
    match change {
        Change::Move { adult, to, instead, beside, span } => {
            let (who, was) = (&day.site[*adult].label, place(day, *instead));
            let at = match to {
                Place::Station(_) => format!("at {}", place(day, *to)),
                _ => place(day, *to),
            };
            let now = match beside {
                Some(child) => format!("beside {} ({at})", day.site[*child].label),
                None => at,
            };
            format!("{who} {now} instead of {was}{}", when(span))
        }
        Change::Elsewhere { children: who, to, instead, span } => {
            let words = |place| place_words(day, Who::Child(who[0]), place);
            let (now, was) = (words(to), words(instead));
            format!("{} {now} instead of {was}{}", children(day, who), when(span))
        }
        Change::Pause { station, span } => {
            format!("{} closed from {span}", day.station(*station).label)
        }
        Change::Fewer { station, children } => {
            format!("at most {} at {}", children_count(*children), day.station(*station).label)
        }
        Change::Older { station, from_months } => {
            let age = match from_months % 12 {
                0 => format!("{} years", from_months / 12),
                _ => format!("{from_months} months"),
            };
            format!("only children from {age} on at {}", day.station(*station).label)
        }
        Change::OutOfReach { station } => {
            let label = &day.station(*station).label;
            format!("{label} set up out of the young ones' reach, and marked so")
        }
        Change::LeaveOut { station } => format!("without {}", day.station(*station).label),
        Change::Shorter { span } => format!("only {span}"),
        Change::AnotherTime { span, asleep } if asleep.is_empty() => format!("from {span} instead"),
        Change::AnotherTime { span, asleep } => {
            let sleep = if asleep.len() == 1 { "sleeps" } else { "sleep" };
            format!("from {span} instead, when {} {sleep}", children(day, asleep))
        }
        Change::Bring { station, children: who, from } => {
            let from: Vec<&str> = from.iter().map(|s| day.site[*s].label.as_str()).collect();
            let to = &day.station(*station).label;
            format!("{} from {} to {to}", children(day, who), list(&from))
        }
        Change::KeepFrom { station, children: who } => {
            format!("keep {} from {}", children(day, who), day.station(*station).label)
        }
        Change::Ask { station, words, children: who } => {
            let strange = who.iter().flat_map(|c| &day.site[*c].allergies);
            let strange: Vec<&String> = strange.filter(|a| !is_known(a)).collect();
            let asked = match strange.is_empty() || words.iter().any(|word| !is_known(word)) {
                true => format!("what is in {}", list(words)),
                false => format!("whether {} has to do with {}", list(&strange), list(words)),
            };
            let (who, at) = (children(day, who), &day.station(*station).label);
            format!("ask {asked}, and keep {who} from {at} until that is known")
        }
        Change::MoreAdults { adults: 1, span, leads } => {
            let leads = if *leads { format!(", who {LEADS}") } else { String::new() };
            format!("another adult who counts and may be alone with children{leads}{}", when(span))
        }
        Change::MoreAdults { adults, span, leads } => {
            let leads = if *leads { format!(", one of whom {LEADS}") } else { String::new() };
            format!(
                "{adults} more adults who count and may be alone with children{leads}{}",
                when(span)
            )
        }
    }
}

/// What a person should look at although no rule is broken.
pub(super) fn mind(trial: &Trial, slices: &[SliceCheck], chart: Option<&Chart>) -> Vec<String> {
    let day = &trial.day;
    let mut mind = Vec::new();
    let block = trial.question.span;
    if let Some(twice) = day.comes_twice().filter(|twice| twice.meets(block)) {
        mind.push(format!(
            "Clocks go back: {twice} comes twice, and the block is judged as it runs the first time. \
             Have it end before {}, or begin at {}.",
            twice.from, twice.to
        ));
    }
    mind.extend(crate::planner::longer_than_a_session(day));
    mind.extend(thin(slices));
    let nobody = |s: &&SliceCheck| s.left.adults.is_empty() && !s.left.children.is_empty();
    if let Some(slice) = slices.iter().find(|s| nobody(s) && !s.tied.is_empty()) {
        let left = &slice.left;
        let at_station = slice.tied.iter().any(|t| !t.adults.is_empty());
        let alone = at_station && slice.elsewhere.is_empty();
        let seen = match (left.sight, alone) {
            (true, true) => ", who has to keep them in view from there",
            (true, false) => "; they are in sight from there",
            _ => "",
        };
        let but = match (at_station, slice.elsewhere.is_empty()) {
            (true, true) => " but the adult at the station".to_owned(),
            (_, false) => {
                let posts: Vec<&str> = slice.elsewhere.iter().map(|e| e.words.as_str()).collect();
                let also = if at_station { "the adult at the station and " } else { "" };
                format!(" but {also}{}", list(&posts))
            }
            (false, true) => String::new(),
        };
        mind.push(format!(
            "{}: nobody is left for {} alone{but}{seen}.",
            slice.span,
            children(day, &left.children)
        ));
    }
    for (_, come) in &trial.laid.drawn {
        let taken = chart.map(|c| come::taken_away(day, c, &trial.question, come));
        for taken in taken.into_iter().flatten().filter(|t| !t.owed.is_empty()) {
            let label = &day.station(taken.station).label;
            let have = if taken.owed.len() == 1 { "has" } else { "have" };
            mind.push(format!(
                "{} still {have} to have a turn at {label}, and would miss it by coming: offer it at \
                 another time.",
                children(day, &taken.owed)
            ));
        }
    }
    for wash in &trial.laid.washing {
        let home = day.station(wash.station).space;
        if wash.space != home {
            mind.push(format!(
                "The sinks for {} are in {}: an adult goes along.",
                day.station(wash.station).label,
                day.site[wash.space].label
            ));
        }
    }
    mind
}

/// Stretches in which the ratio holds for all together, and would not for those who are left by
/// themselves.
fn thin(slices: &[SliceCheck]) -> Vec<String> {
    let holds = |s: &SliceCheck| s.needs.iter().all(|n| n.present >= n.needed);
    let thin = |s: &&SliceCheck| {
        let left = &s.left;
        let few = !left.adults.is_empty() && left.alone_needed > left.adults.len() as u32;
        few && holds(s)
    };
    let of = |s: &SliceCheck| (s.left.children.len(), s.left.adults.len(), s.left.alone_needed);
    let mut found: Vec<(Span, SpaceIndex, (usize, usize, u32))> = Vec::new();
    for slice in slices.iter().filter(thin) {
        let goes_on = |f: &&mut (Span, SpaceIndex, _)| {
            f.0.to == slice.span.from && f.1 == slice.space && f.2 == of(slice)
        };
        match found.iter_mut().find(goes_on) {
            Some(before) => before.0.to = slice.span.to,
            None => found.push((slice.span, slice.space, of(slice))),
        }
    }
    let told = |(span, _, (children, with, needed)): (Span, SpaceIndex, (usize, usize, u32))| {
        format!(
            "The ratio holds for all together, but the {} at no staffed station are left to {}; by \
             themselves they would take {needed}. Keep them close ({span}).",
            children_count(children as u32),
            adults(with as u32),
        )
    };
    found.into_iter().map(told).collect()
}

/// What was taken for granted, one sentence each.
pub(super) fn assumed(base: &Base, trial: &Trial, day: &Day, chart: Option<&Chart>) -> Vec<String> {
    let mut assumed = Vec::new();
    for (at, come) in trial.laid.drawn.iter().filter(|(_, come)| !come.is_empty()) {
        let station = day.station(*at);
        let from = if chart.is_some() {
            "The chart has nobody there then: taken are"
        } else {
            "Taken are"
        };
        assumed.push(format!(
            "At {}: {}. {from} as many as it seats, of those whom it is for: who still has to \
             have a turn, then who is free longest and leaves no turn, then the youngest; an infant only \
             where nobody else is there.",
            station.label,
            children(day, come)
        ));
        let taken = chart.map(|c| come::taken_away(day, c, &trial.question, come));
        let taken: Vec<String> = taken
            .into_iter()
            .flatten()
            .map(|t| {
                format!("{} from {}", children(day, &t.children), day.station(t.station).label)
            })
            .collect();
        if !taken.is_empty() {
            assumed.push(format!("They leave their turns for it: {}.", taken.join("; ")));
        }
        assumed.extend(chart.and_then(|c| out_of_the_circle(day, c, trial.question.span, come)));
    }
    if chart.is_some() {
        return assumed;
    }
    let main = plan::main_space(day, &trial.question);
    let at_a_station = trial.question.stations.iter().any(|s| day.station(*s).space == main);
    let others = match at_a_station {
        true => "play".to_owned(),
        false => format!("stay in {} and play", day.site[main].label),
    };
    assumed.push(format!(
        "There is no chart: the day is planned around the block, the adults go where they are \
         needed, and the other children {others} where an adult who is left sees them."
    ));
    if main != day.site[day.room].home {
        assumed.push(format!("Everybody who is awake goes to {} for it.", day.site[main].label));
    }
    assumed.extend(breaks(trial));
    assumed.extend(rest(base, trial.question.span, main));
    for met in parts_met(day, trial.question.span) {
        assumed.push(format!("{} ({}) gives way to the block.", part(met.kind), met.span));
    }
    let block = trial.question.span;
    for ready in ready_to_go_out(day).filter(|ready| ready.meets(block)) {
        let words = "are needed to tidy up and get dressed to go out, and give way to the block.";
        assumed.push(format!("The minutes {ready} {words}"));
    }
    for food in day.schedule.meals.iter().filter(|m| m.window.meets(trial.question.span)) {
        let taken = trial.reasons.iter().any(|r| r.rule == named::MEALS.slug);
        let pieces = trial.pieces();
        let eats = |(_, s): &(ChildIndex, Stay)| s.meal == Some(food.kind);
        let in_it = pieces.iter().any(|p| p.children.iter().any(eats));
        if !taken && !in_it {
            assumed.push(format!(
                "{} (between {} and {}) is eaten before or after the block.",
                meal(food.kind),
                food.window.from,
                food.window.to
            ));
        }
    }
    assumed
}

/// Who leaves the circle of a posted chart for a block, and when.
fn out_of_the_circle(day: &Day, chart: &Chart, block: Span, come: &[ChildIndex]) -> Option<String> {
    let days = chart.children.iter().filter(|d| come.contains(&d.child));
    let circle = |d: &crate::chart::ChildDay| {
        let mut stays = d.stays.iter().filter(|s| s.at == Place::WholeGroup);
        stays.find_map(|s| s.span.meet(block)).map(|span| (d.child, span))
    };
    let (who, spans): (Vec<ChildIndex>, Vec<Span>) = days.filter_map(circle).unzip();
    let from = spans.iter().map(|s| s.from).min()?;
    let to = spans.iter().map(|s| s.to).max()?;
    Some(format!("They leave the circle for it, {from} to {to}: {}.", children(day, &who)))
}

/// The minutes before each outdoor part in which the children tidy up and get dressed.
pub(super) fn ready_to_go_out(day: &Day) -> impl Iterator<Item = Span> {
    let outdoors = day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
    outdoors.filter_map(|p| {
        let lead = day.minutes_to_go_out(day.here_at(p.span.from), day.way_out(p.space));
        Span::new(p.span.from.earlier(lead), p.span.from)
    })
}

fn breaks(trial: &Trial) -> Vec<String> {
    let inside = super::judge::clipped(&trial.chart, trial.question.span);
    let mut told = Vec::new();
    for day in &inside.adults {
        let label = &trial.day.site[day.adult].label;
        let own = day.posts.iter().filter(|p| matches!(p.at, Place::StaffBreak(_)));
        told.extend(own.map(|p| format!("{label} is taken to be on a staff break, {}.", p.span)));
    }
    if told.is_empty() {
        told.push("Every staff break lies before or after the block.".into());
    }
    told
}

fn rest(base: &Base, block: Span, main: SpaceIndex) -> Option<String> {
    let (day, rest) = (&base.day, base.rest().filter(|r| r.meets(block))?);
    let space = day.schedule.rest.as_ref().map_or(main, |r| r.space);
    Some(format!("The rest is taken to be {rest}, in {}.", day.site[space].label))
}
