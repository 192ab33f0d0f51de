//! Whole days from six clock times. Lengths without a source are common practice.

use super::schedule::Ground;
use crate::day::indoor;
use crate::site::{
    CareRound, Dressing, Meal, MealKind, Minute, Movement, Part, PartKind, Rest, Schedule, Span,
    Stretch, StretchKind, Task,
};
use crate::wire::limits;
use crate::wire::{At, Object};

/// Days that the file can name.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum DayPreset {
    /// Arrival to going home, with lunch and a rest.
    FullDay,
    /// A morning, or an afternoon, with a snack.
    HalfDay,
    /// A full day of one mixed family group: no circle, nobody is assigned to stations.
    FamilyHome,
}

/// The words of the file for them.
pub(super) const DAYS: [(&str, DayPreset); 3] = [
    ("full-day", DayPreset::FullDay),
    ("half-day", DayPreset::HalfDay),
    ("family-home", DayPreset::FamilyHome),
];

/// A clock time of a preset: its field, its default, the least minutes to the next one.
type Asked = (&'static str, Minute, u16);

const LONG_DAY: [Asked; 6] = [
    ("opens", Minute::hm(7, 30), 60),
    ("snack", Minute::hm(9, 30), 30),
    ("outdoors", Minute::hm(10, 30), 50),
    ("lunch", Minute::hm(11, 45), 45),
    ("rest", Minute::hm(12, 30), 120),
    ("closes", Minute::hm(17, 0), 0),
];

/// Choice at both ends makes a third of four hours, 80 minutes (a secondary source).
const HALF_DAY: [Asked; 6] = [
    ("opens", Minute::hm(8, 30), 15),
    ("circle", Minute::hm(9, 15), 45),
    ("snack", Minute::hm(10, 20), 30),
    ("outdoors", Minute::hm(10, 55), 35),
    ("going_home", Minute::hm(11, 45), 10),
    ("closes", Minute::hm(12, 30), 0),
];

/// The six times of a preset day, and the breakfast if there is one.
pub(super) struct Times {
    at: [Minute; 6],
    breakfast: Option<Minute>,
    /// Names of the times that nobody gave.
    pub assumed: Vec<&'static str>,
}

impl DayPreset {
    /// Reads `times`; `None` when a fault was reported.
    pub fn times(self, schedule: &Object<'_>) -> Option<Times> {
        let asked = if self == DayPreset::HalfDay { HALF_DAY } else { LONG_DAY };
        let mut known: Vec<&'static str> = asked.iter().map(|(name, ..)| *name).collect();
        if self != DayPreset::HalfDay {
            known.push("breakfast");
        }
        let given = match schedule.get("times") {
            Some(at) => {
                at.members(&limits::TIMES)?;
                Some(at.object(&known)?)
            }
            None => None,
        };
        let field = |name: &str| given.as_ref().and_then(|object| object.get(name));
        let (mut sound, mut assumed) = (true, Vec::new());
        let mut at = [Minute(0); 6];
        for (i, (name, default, _)) in asked.iter().enumerate() {
            let Some(value) = field(name) else {
                assumed.push(*name);
                at[i] = *default;
                continue;
            };
            let minute = if *name == "closes" { value.end_minute() } else { value.minute() };
            sound &= minute.is_some();
            at[i] = minute.unwrap_or(*default);
        }
        for (i, pair) in at.windows(2).enumerate().filter(|_| sound) {
            let ((first, _, least), (second, ..)) = (asked[i], asked[i + 1]);
            if pair[1] < pair[0].later(least) {
                let place = field(second).or_else(|| field(first));
                let place = place.unwrap_or_else(|| schedule.at.clone());
                place.fault(
                    format!(
                        "`{second}` at {} comes too soon after `{first}` at {}",
                        pair[1], pair[0]
                    ),
                    format!("leave at least {least} minutes between them"),
                );
                return None;
            }
        }
        let breakfast = field("breakfast").and_then(|value| {
            let breakfast = value.minute()?;
            let fits = at[0] <= breakfast && breakfast.later(BREAKFAST_WINDOW) <= at[1];
            if !fits {
                let (opens, last) = (at[0], at[1].earlier(BREAKFAST_WINDOW));
                value.fault(
                    format!("breakfast at {breakfast} does not fit before the snack"),
                    format!("give a time from {opens} to {last}"),
                );
            }
            fits.then_some(breakfast)
        });
        sound.then_some(Times { at, breakfast, assumed })
    }

    /// The day that these times make on this ground.
    pub fn schedule(self, id: String, times: &Times, ground: &Ground) -> Schedule {
        let [opens, .., closes] = times.at;
        let mut day = Schedule {
            id,
            open: Span { from: opens, to: closes },
            parts: Vec::new(),
            stretches: Vec::new(),
            meals: Vec::new(),
            rest: None,
            care_rounds: Vec::new(),
            tasks: Vec::new(),
            movement: movement(ground),
            turn_minutes: super::schedule::turn_minutes(),
            whole_group_minutes: super::schedule::whole_group_minutes(),
            transition_minutes: super::schedule::TRANSITION,
            dressing: Dressing::default(),
        };
        if self == DayPreset::HalfDay {
            half_day(&mut day, times, ground);
        } else {
            long_day(&mut day, times, ground, self == DayPreset::FamilyHome);
        }
        day
    }
}

/// Minutes in which a rest begins (common practice).
const SETTLING: u16 = 15;

/// Minutes before the snack from which children are changed (common practice).
const BEFORE_SNACK: u16 = 15;

/// Minutes before lunch from which children are changed for the rest (common practice).
const BEFORE_LUNCH: u16 = 30;

/// Minutes of the breakfast's window.
const BREAKFAST_WINDOW: u16 = 45;

/// Movement breaks of a whole day. At least two led ones a day: Caring for Our Children 3.1.3.1
/// (2018), verified; on an indoor day four, or as many as the hours between arrival and going home
/// hold, and ten minutes each: common practice; no more than an hour of sitting: Active Start,
/// verified.
pub(super) fn movement(ground: &Ground) -> Movement {
    Movement {
        outdoor_day: 2,
        indoor_day: 4,
        minutes: 10,
        longest_still: 60,
        space: ground.movement,
    }
}

fn half_day(day: &mut Schedule, times: &Times, ground: &Ground) {
    let [opens, circle, snack, outdoors, going_home, closes] = times.at;
    part(day, PartKind::Arrival, opens, circle, ground);
    part(day, PartKind::Circle, circle, circle.later(15), ground);
    part(day, PartKind::Outdoors, outdoors, outdoors.later(60).min(going_home.earlier(5)), ground);
    part(day, PartKind::GoingHome, going_home, closes, ground);
    stretch(day, circle.later(15), outdoors);
    meal(day, MealKind::MorningSnack, snack, outdoors, ground);
    care_round(day, snack.earlier(BEFORE_SNACK), ground);
    day.movement = Movement { outdoor_day: 1, indoor_day: 2, ..day.movement };
}

fn long_day(day: &mut Schedule, times: &Times, ground: &Ground, family: bool) {
    let [opens, snack, outdoors, lunch, rest, closes] = times.at;
    let arrived = opens.later(60.min(snack.0 - opens.0 - 45));
    part(day, PartKind::Arrival, opens, arrived, ground);
    if !family {
        part(day, PartKind::Circle, arrived, arrived.later(15), ground);
        stretch(day, arrived.later(15), outdoors);
    }
    part(day, PartKind::Outdoors, outdoors, outdoors.later(60).min(lunch.earlier(20)), ground);
    if let Some(breakfast) = times.breakfast {
        let window = Span { from: breakfast, to: breakfast.later(BREAKFAST_WINDOW) };
        let tables = ground.tables.clone();
        day.meals.push(Meal { kind: MealKind::Breakfast, window, minutes: 20, tables });
    }
    meal(day, MealKind::MorningSnack, snack, outdoors, ground);
    meal(day, MealKind::Lunch, lunch, rest, ground);
    let minutes = 120.min(closes.0 - rest.0 - 60);
    let up = rest.later(minutes);
    day.rest = Some(Rest {
        window: Span { from: rest, to: up },
        minutes,
        space: ground.home,
        settling_minutes: SETTLING,
        awake_longest: super::schedule::AWAKE_LONGEST,
    });
    if closes.0 - up.0 >= 45 {
        meal(day, MealKind::AfternoonSnack, up, closes, ground);
    }
    let mut last = up;
    if closes.0 - up.0 >= 150 {
        last = up.later(100);
        part(day, PartKind::Outdoors, up.later(60), last, ground);
    }
    let going_home = closes.earlier(60).max(last);
    part(day, PartKind::GoingHome, going_home, closes, ground);
    if !family {
        stretch(day, rest, going_home);
    }
    let busy = closes.earlier(60).0.saturating_sub(arrived.0 + minutes);
    let breaks = u32::from(busy) / indoor::MINUTES_A_BREAK;
    day.movement.indoor_day = breaks.clamp(2, day.movement.indoor_day);
    // Mid-morning, before the rest (the last on their way to the cots), and once they are up.
    care_round(day, snack.earlier(BEFORE_SNACK), ground);
    let settled = rest.later(SETTLING);
    let before_rest = Span { from: lunch.earlier(BEFORE_LUNCH).max(outdoors), to: settled };
    day.care_rounds.push(CareRound { window: before_rest });
    care_round(day, up, ground);
    if !family {
        day.tasks.push(Task {
            id: "cots".into(),
            label: "Set out the cots".into(),
            minutes: 10,
            window: Span { from: lunch, to: rest },
            space: ground.home,
            watching: true,
        });
    }
}

fn part(day: &mut Schedule, kind: PartKind, from: Minute, to: Minute, ground: &Ground) {
    let space = if kind == PartKind::Outdoors { ground.outdoors } else { Some(ground.home) };
    if let (Some(span), Some(space)) = (Span::new(from, to), space) {
        day.parts.push(Part { kind, span, space });
    }
}

fn stretch(day: &mut Schedule, from: Minute, to: Minute) {
    let kind = StretchKind::Assigned;
    day.stretches.extend(Span::new(from, to).map(|span| Stretch { kind, span }));
}

/// A meal from a time on, its window wide enough for the sittings but not past `before`.
fn meal(day: &mut Schedule, kind: MealKind, from: Minute, before: Minute, ground: &Ground) {
    let minutes = super::schedule::meal_minutes(kind);
    let sittings = ground.enrolled.div_ceil(ground.seats.max(1)).max(1);
    // After the rest some are still to be woken and changed.
    let slack = match kind {
        MealKind::Lunch => 15,
        MealKind::AfternoonSnack => 35,
        _ => 20,
    };
    let sittings = u16::try_from(sittings).unwrap_or(u16::MAX).min(20);
    let window = Span { from, to: from.later(minutes * sittings + slack).min(before) };
    day.meals.push(Meal { kind, window, minutes, tables: ground.tables.clone() });
}

fn care_round(day: &mut Schedule, from: Minute, ground: &Ground) {
    let to = from.later(ground.care_window).min(day.open.to);
    day.care_rounds.extend(Span::new(from, to).map(|window| CareRound { window }));
}

/// Care rounds of a day that says nothing of them: one every two and a half hours.
pub(super) fn care_rounds(open: Span, ground: &Ground) -> Vec<CareRound> {
    let starts = (open.from.0 + 120..open.to.0).step_by(150);
    let ends = |from: u16| Minute(from).later(ground.care_window).min(open.to);
    let windows = starts.filter_map(|from| Span::new(Minute(from), ends(from)));
    windows
        .filter(|w| w.minutes() >= ground.care_window)
        .map(|window| CareRound { window })
        .collect()
}

/// Where a fault of a preset's part belongs: its time, else the schedule.
pub(super) fn place_of<'t>(schedule: &Object<'t>, time: &str) -> At<'t> {
    let times = schedule.get("times");
    times.and_then(|at| at.peek(time)).unwrap_or_else(|| schedule.at.clone())
}
