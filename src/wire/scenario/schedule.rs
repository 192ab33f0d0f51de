//! A room's day: a preset with what differs from it, or every part by itself.

use super::ids::own_id;
use super::preset_day::{self, DAYS, DayPreset};
use super::reader::{Reader, check_id};
use crate::site::{
    AgeBand, CareRound, Dressing, Meal, MealKind, Movement, Part, PartKind, Rest, RoomIndex,
    Schedule, SpaceIndex, Stretch, StretchKind, TableIndex, Task,
};
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Object};

/// What a room gives its day to stand on.
pub(super) struct Ground {
    pub home: SpaceIndex,
    pub spaces: Vec<SpaceIndex>,
    /// The first of its spaces in the open air.
    pub outdoors: Option<SpaceIndex>,
    /// Where movement breaks happen unless the file says otherwise.
    pub movement: SpaceIndex,
    /// The tables of its home.
    pub tables: Vec<TableIndex>,
    pub seats: usize,
    pub enrolled: usize,
    /// Minutes of a care round's window unless the file says otherwise.
    pub care_window: u16,
}

/// Minutes of tidying up and walking (common practice).
pub(super) const TRANSITION: u16 = 5;
/// A quiet alternative after half an hour awake: New Jersey 3A:52-6.4, verified.
pub(super) const AWAKE_LONGEST: u16 = 30;

const SCHEDULE: [&str; 16] = [
    "preset",
    "id",
    "room",
    "times",
    "open",
    "parts",
    "stretches",
    "meals",
    "rest",
    "care_rounds",
    "tasks",
    "movement",
    "turn_minutes",
    "whole_group_minutes",
    "transition_minutes",
    "dressing",
];

fn bands(first: u16, second: u16, third: u16) -> Vec<AgeBand> {
    [(Some(30), first), (Some(48), second), (None, third)]
        .map(|(below_months, minutes)| AgeBand { below_months, minutes })
        .to_vec()
}

/// Minutes of one turn: about 8, 12 and 18 (common practice).
pub(super) fn turn_minutes() -> Vec<AgeBand> {
    bands(8, 12, 18)
}

/// Longest whole-group time: 6 to 8, 8 to 10 and up to 15 minutes, from a secondary source.
pub(super) fn whole_group_minutes() -> Vec<AgeBand> {
    bands(8, 10, 15)
}

/// Minutes at the table: snack 15 to 20, lunch 25 to 45 (common practice).
pub(super) fn meal_minutes(kind: MealKind) -> u16 {
    match kind {
        MealKind::Breakfast => 20,
        MealKind::Lunch => 30,
        MealKind::MorningSnack | MealKind::AfternoonSnack => 15,
    }
}

/// Reads one schedule for one room.
pub(super) fn schedule(
    reader: &Reader<'_>,
    item: &At<'_>,
    id: &str,
    ground: &Ground,
) -> Option<Schedule> {
    let object = item.object(&SCHEDULE)?;
    check_id(&object);
    let mut day = match object.get("preset") {
        Some(at) => from_preset(reader, &object, at.one_of(&DAYS)?, id, ground),
        None => plain(reader, &object, id, ground),
    }?;
    if let Some(at) = object.get("open").filter(|_| object.get("preset").is_some()) {
        day.open = at.span()?;
    }
    let spaces = Spaces { reader, ground };
    if object.get("parts").is_some() {
        day.parts = object.list(&limits::PARTS).iter().filter_map(|at| spaces.part(at)).collect();
    }
    if object.get("stretches").is_some() {
        day.stretches = object.list(&limits::STRETCHES).iter().filter_map(stretch).collect();
    }
    if object.get("meals").is_some() {
        day.meals = object.list(&limits::MEALS).iter().filter_map(|at| spaces.meal(at)).collect();
    }
    if let Some(at) = object.get("rest") {
        day.rest = spaces.rest(&at);
    }
    if object.get("care_rounds").is_some() {
        let windows =
            object.list(&limits::CARE_ROUNDS).iter().filter_map(At::span).collect::<Vec<_>>();
        day.care_rounds = windows.into_iter().map(|window| CareRound { window }).collect();
    }
    if object.get("tasks").is_some() {
        let tasks = object.list(&limits::TASKS);
        day.tasks = tasks.iter().enumerate().filter_map(|(i, at)| spaces.task(at, i)).collect();
    }
    if let Some(at) = object.get("movement") {
        day.movement = spaces.movement(&at, day.movement)?;
    }
    day.turn_minutes =
        object.or("turn_minutes", day.turn_minutes, |at| age_bands(at, &limits::TURN_MINUTES, 3));
    day.whole_group_minutes = object.or("whole_group_minutes", day.whole_group_minutes, |at| {
        age_bands(at, &limits::WHOLE_GROUP_MINUTES, 1)
    });
    day.transition_minutes =
        object.or("transition_minutes", day.transition_minutes, |at| at.whole(0, 30));
    dressing(reader, &object, &mut day)?;
    Some(day)
}

/// How long dressing takes; what is not said is assumed where the children go out at all.
fn dressing(reader: &Reader<'_>, schedule: &Object<'_>, day: &mut Schedule) -> Option<()> {
    let Some(at) = schedule.get("dressing") else {
        if day.parts.iter().any(|p| p.kind == PartKind::Outdoors) {
            reader.assume(&schedule.at, dressing_words(&day.dressing));
        }
        return Some(());
    };
    let usual = Dressing::default();
    let fields = [
        "minutes",
        "more_when_cold_or_wet",
        "less_when_warm",
        "cold_below_celsius",
        "warm_from_celsius",
    ];
    let object = at.object(&fields)?;
    let cold = object.or("cold_below_celsius", usual.cold_below_celsius, |at| at.whole(-60, 60));
    let warm = usual.warm_from_celsius.max(cold);
    let warm = object.or("warm_from_celsius", warm, |at| at.whole(-60, 60));
    if warm < cold {
        at.fault(
            format!("it is cold below {cold} degrees and warm from {warm} on"),
            "lower `cold_below_celsius`, or raise `warm_from_celsius`",
        );
    }
    day.dressing = Dressing {
        minutes: object
            .or("minutes", usual.minutes, |at| age_bands(at, &limits::DRESSING_MINUTES, 0)),
        more_when_cold_or_wet: object.or(
            "more_when_cold_or_wet",
            usual.more_when_cold_or_wet,
            |at| at.whole(0, 60),
        ),
        less_when_warm: object.or("less_when_warm", usual.less_when_warm, |at| at.whole(0, 60)),
        cold_below_celsius: cold,
        warm_from_celsius: warm,
    };
    Some(())
}

fn dressing_words(dressing: &Dressing) -> String {
    let each: Vec<String> = dressing.minutes.iter().map(|b| b.minutes.to_string()).collect();
    format!(
        "dressing to go out takes {} minutes by age (and half on coming in), {} more when it is cold (below {} C) or wet, {} \
         less when it is warm (from {} C)",
        each.join(", "),
        dressing.more_when_cold_or_wet,
        dressing.cold_below_celsius,
        dressing.less_when_warm,
        dressing.warm_from_celsius,
    )
}

fn from_preset(
    reader: &Reader<'_>,
    object: &Object<'_>,
    preset: DayPreset,
    id: &str,
    ground: &Ground,
) -> Option<Schedule> {
    let times = preset.times(object)?;
    if !times.assumed.is_empty() {
        let words = format!("the usual times of {}", times.assumed.join(", "));
        reader.assume(&object.at, words);
    }
    if ground.outdoors.is_none() && object.get("parts").is_none() {
        let words = "no time outdoors, as the room has no outdoor space".to_string();
        reader.assume(&preset_day::place_of(object, "outdoors"), words);
    }
    Some(preset.schedule(id.to_string(), &times, ground))
}

fn plain(reader: &Reader<'_>, object: &Object<'_>, id: &str, ground: &Ground) -> Option<Schedule> {
    if let Some(at) = object.get("times") {
        at.fault("only a preset has times", "add `preset`, or give the parts one by one");
    }
    let open = object.need("open")?.span()?;
    let care_rounds = preset_day::care_rounds(open, ground);
    if object.get("care_rounds").is_none() && !care_rounds.is_empty() {
        reader.assume(&object.at, "a care round every two and a half hours".into());
    }
    Some(Schedule {
        id: id.to_string(),
        open,
        parts: Vec::new(),
        stretches: Vec::new(),
        meals: Vec::new(),
        rest: None,
        care_rounds,
        tasks: Vec::new(),
        movement: preset_day::movement(ground),
        turn_minutes: turn_minutes(),
        whole_group_minutes: whole_group_minutes(),
        transition_minutes: TRANSITION,
        dressing: Dressing::default(),
    })
}

struct Spaces<'a, 't> {
    reader: &'a Reader<'t>,
    ground: &'a Ground,
}

impl Spaces<'_, '_> {
    /// The space of a field, which must be one of the room's, or `or`.
    fn space(&self, object: &Object<'_>, or: SpaceIndex) -> SpaceIndex {
        let Some(space) = self.reader.spaces.field(object, "space").map(SpaceIndex) else {
            return or;
        };
        if let (Some(at), false) = (object.get("space"), self.ground.spaces.contains(&space)) {
            let label = &self.reader.site[space].label;
            at.fault(format!("the room does not use {label}"), "add it to the room's `spaces`");
        }
        space
    }

    fn part(&self, at: &At<'_>) -> Option<Part> {
        let object = at.object(&["kind", "when", "space"])?;
        let kind = object.need("kind").and_then(|at| at.one_of(&PARTS));
        let span = object.need("when").and_then(|at| at.span());
        let kind = kind?;
        let outdoors = kind == PartKind::Outdoors;
        if outdoors && self.ground.outdoors.is_none() && object.get("space").is_none() {
            at.fault("the room has no outdoor space", "add a space with `outdoors` to the room");
        }
        let usual = if outdoors { self.ground.outdoors } else { None };
        let space = self.space(&object, usual.unwrap_or(self.ground.home));
        if let Some(at) = object.get("space")
            && outdoors != self.reader.site[space].outdoors
        {
            let is = if outdoors { "is not in the open air" } else { "is in the open air" };
            at.fault(format!("{} {is}", self.reader.site[space].label), "name another space");
        }
        Some(Part { kind, span: span?, space })
    }

    fn meal(&self, at: &At<'_>) -> Option<Meal> {
        let object = at.object(&["kind", "window", "minutes", "tables"])?;
        let kind = object.need("kind").and_then(|at| at.one_of(&MEALS));
        let window = object.need("window").and_then(|at| at.span());
        let kind = kind?;
        let minutes = object.or("minutes", meal_minutes(kind), |at| at.whole(5, 120));
        let tables = match object.get("tables") {
            Some(_) => {
                let listed = self.reader.tables.list(&object, &limits::MEAL_TABLES);
                listed.into_iter().map(TableIndex).collect()
            }
            None => self.ground.tables.clone(),
        };
        Some(Meal { kind, window: window?, minutes, tables })
    }

    fn rest(&self, at: &At<'_>) -> Option<Rest> {
        let fields = ["window", "minutes", "space", "settling_minutes", "awake_longest"];
        let object = at.object(&fields)?;
        let space = self.space(&object, self.ground.home);
        let window = object.need("window")?.span()?;
        let minutes = object.or("minutes", window.minutes(), |at| at.whole(10, 300));
        Some(Rest {
            window,
            minutes,
            space,
            settling_minutes: object.or("settling_minutes", 15.min(minutes), |at| at.whole(0, 60)),
            awake_longest: object.or("awake_longest", AWAKE_LONGEST, |at| at.whole(0, 240)),
        })
    }

    fn task(&self, at: &At<'_>, position: usize) -> Option<Task> {
        let object = at.object(&["id", "label", "minutes", "window", "space", "watching"])?;
        let label = object.need("label").and_then(|at| at.label());
        let minutes = object.need("minutes").and_then(|at| at.whole(1, 240));
        let window = object.need("window").and_then(|at| at.span());
        let space = self.space(&object, self.ground.home);
        let watching = object.or("watching", false, At::truth);
        let id = own_id(&object, label.unwrap_or_default());
        let id = if id.is_empty() { format!("task-{}", position + 1) } else { id };
        Some(Task { id, label: label?.into(), minutes: minutes?, window: window?, space, watching })
    }

    fn movement(&self, at: &At<'_>, usual: Movement) -> Option<Movement> {
        let fields = ["outdoor_day", "indoor_day", "minutes", "longest_still", "space"];
        let object = at.object(&fields)?;
        let outdoor_day = object.or("outdoor_day", usual.outdoor_day, |at| at.whole(0, 20));
        let least = usual.indoor_day.max(outdoor_day);
        Some(Movement {
            outdoor_day,
            indoor_day: object.or("indoor_day", least, |at| at.whole(0, 20)),
            minutes: object.or("minutes", usual.minutes, |at| at.whole(3, 60)),
            longest_still: object.or("longest_still", usual.longest_still, |at| at.whole(15, 240)),
            space: self.space(&object, usual.space),
        })
    }
}

fn stretch(at: &At<'_>) -> Option<Stretch> {
    let object = at.object(&["kind", "when"])?;
    let words = [("assigned", StretchKind::Assigned), ("choice", StretchKind::Choice)];
    let kind = object.need("kind").and_then(|at| at.one_of(&words));
    let span = object.need("when").and_then(|at| at.span());
    Some(Stretch { kind: kind?, span: span? })
}

fn age_bands(at: &At<'_>, limit: &Limit, least: i64) -> Option<Vec<AgeBand>> {
    let mut bands: Vec<AgeBand> = Vec::new();
    let items = at.list(limit)?;
    for (i, item) in items.iter().enumerate() {
        let object = item.object(&["below_months", "minutes"])?;
        let below_months = object.get("below_months").and_then(|at| at.whole(1, 216));
        let minutes = object.need("minutes")?.whole(least, 120)?;
        let last = i + 1 == items.len();
        let before = bands.last().and_then(|band| band.below_months);
        let in_order = below_months.is_none_or(|below| before.is_none_or(|b| b < below));
        if last != below_months.is_none() || !in_order {
            let mend = "let `below_months` rise from band to band, and leave it out of the last";
            item.fault("these age bands are not in order", mend);
            return None;
        }
        bands.push(AgeBand { below_months, minutes });
    }
    if bands.is_empty() {
        at.fault("there is no age band", "add one with `minutes`, or leave the list out");
        return None;
    }
    Some(bands)
}

/// What a room's spaces give its day.
pub(super) fn ground(
    reader: &Reader<'_>,
    room: RoomIndex,
    home: SpaceIndex,
    spaces: Vec<SpaceIndex>,
    in_care: usize,
) -> Ground {
    let site = &reader.site;
    let roofed = spaces.iter().copied().find(|s| site[*s].room_to_move && !site[*s].outdoors);
    let at_home = |t: &TableIndex| site[*t].space == home;
    let tables: Vec<_> = (0..site.tables.len()).map(TableIndex).filter(at_home).collect();
    let needed = in_care * usize::from(site.settings.care_minutes) + 10;
    Ground {
        outdoors: spaces.iter().copied().find(|s| site[*s].outdoors),
        movement: roofed.unwrap_or(home),
        seats: tables.iter().map(|t| site[*t].seats as usize).sum(),
        tables,
        enrolled: reader.enrolled(room),
        care_window: u16::try_from(needed).unwrap_or(u16::MAX).clamp(45, 240),
        home,
        spaces,
    }
}

const PARTS: [(&str, PartKind); 4] = [
    ("arrival", PartKind::Arrival),
    ("circle", PartKind::Circle),
    ("outdoors", PartKind::Outdoors),
    ("going_home", PartKind::GoingHome),
];
const MEALS: [(&str, MealKind); 4] = [
    ("breakfast", MealKind::Breakfast),
    ("morning_snack", MealKind::MorningSnack),
    ("lunch", MealKind::Lunch),
    ("afternoon_snack", MealKind::AfternoonSnack),
];
