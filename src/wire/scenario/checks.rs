//! What can only be checked once everything is read.

use super::reader::Reader;
use super::week::weekday_name;
use crate::site::{
    AdultIndex, Child, ChildIndex, Meal, MealKind, Room, RoomIndex, Schedule, Sleep, Span,
    StretchKind, Toileting,
};
use crate::wire::{At, tree::Value};

/// Reports what does not fit together in the rooms' days.
pub(super) fn schedules(reader: &Reader<'_>) {
    for (room, facts) in reader.site.rooms.iter().enumerate() {
        for (position, day) in facts.schedules.iter().enumerate() {
            let item = (0..reader.schedules.len()).find(|i| reader.schedules.id(*i) == day.id);
            let Some(item) = item.and_then(|i| reader.schedules.item(i)) else { continue };
            let check = Check { reader, room: RoomIndex(room), position, day, item };
            check.parts();
            check.meals();
            check.rest();
            check.care_rounds();
            check.tasks();
            check.movement();
        }
    }
}

struct Check<'a, 't> {
    reader: &'a Reader<'t>,
    room: RoomIndex,
    /// Position among the room's schedules.
    position: usize,
    day: &'a Schedule,
    item: &'a At<'t>,
}

impl<'t> Check<'_, 't> {
    /// Where the item of a list stands, or the schedule where a preset made it; `None` where items
    /// of the list could not be read, so that positions say nothing.
    fn at(&self, list: &str, position: usize, made: usize) -> Option<At<'t>> {
        match self.item.peek(list) {
            None => Some(self.item.clone()),
            Some(at) => match at.value() {
                Value::List(items) if items.len() == made => at.items().into_iter().nth(position),
                _ => None,
            },
        }
    }

    fn within(&self, at: &At<'_>, span: Span) {
        if !self.day.open.holds(span) {
            let open = self.day.open;
            at.fault(format!("{span} is not within the opening hours {open}"), "move it inside");
        }
    }

    /// Reports spans of a list that are out of order or overlap, or lie outside the opening hours.
    fn in_order(&self, list: &str, spans: &[Span]) {
        for (i, span) in spans.iter().enumerate() {
            let Some(at) = self.at(list, i, spans.len()) else { return };
            self.within(&at, *span);
            if i > 0 && span.from < spans[i - 1].to {
                let before = spans[i - 1];
                let mend = "put them in the order of the day, none inside another";
                at.fault(format!("{span} begins before {before} has ended"), mend);
            }
        }
    }

    fn parts(&self) {
        let day = self.day;
        self.in_order("parts", &day.parts.iter().map(|part| part.span).collect::<Vec<_>>());
        self.in_order("stretches", &day.stretches.iter().map(|s| s.span).collect::<Vec<_>>());
        let shortest = day.turn_minutes.iter().map(|band| band.minutes).min().unwrap_or(0);
        for (i, stretch) in day.stretches.iter().enumerate() {
            if stretch.kind == StretchKind::Assigned
                && stretch.span.minutes() < shortest
                && let Some(at) = self.at("stretches", i, day.stretches.len())
            {
                let cause = format!("no turn of {shortest} minutes fits into {}", stretch.span);
                at.fault(cause, "lengthen it, or make it `choice`");
            }
        }
    }

    /// The most children of the room that `counts` on any weekday of this schedule.
    fn most(&self, counts: impl Fn(&Child, &[Span]) -> bool) -> (usize, usize) {
        let site = &self.reader.site;
        let on = (0..7).filter(|day| site[self.room].by_weekday[*day] == Some(self.position));
        let count = |day: usize| {
            let of_room = site.children.iter().filter(|child| child.room == self.room);
            of_room.filter(|child| counts(child, &child.attendance[day])).count()
        };
        on.map(|day| (count(day), day)).max_by_key(|(n, day)| (*n, 7 - day)).unwrap_or((0, 0))
    }

    fn meals(&self) {
        let meals = &self.day.meals;
        for (i, meal) in meals.iter().enumerate() {
            let Some(at) = self.at("meals", i, meals.len()) else { return };
            self.within(&at, meal.window);
            if meals[..i].iter().any(|other| other.kind == meal.kind) {
                at.fault("this meal stands twice in the day", "keep one of them");
            } else if i > 0 && meal.window.from < meals[i - 1].window.from {
                at.fault("the meals are not in the order of the day", "put them in order");
            }
            if meal.window.minutes() < meal.minutes {
                let Meal { minutes, window, .. } = meal;
                let cause = format!("{minutes} minutes do not fit into {window}");
                at.fault(cause, "widen the window or shorten the meal");
            } else {
                self.sittings(&at, meal);
            }
        }
    }

    fn sittings(&self, at: &At<'_>, meal: &Meal) {
        let site = &self.reader.site;
        let seats: usize = meal.tables.iter().map(|table| site[*table].seats as usize).sum();
        if seats == 0 {
            at.fault("no table is named to eat at", "add `tables` with the ids of tables");
            return;
        }
        let eats = |child: &Child, here: &[Span]| {
            let long_enough = |span: &Span| {
                span.meet(meal.window).is_some_and(|both| both.minutes() >= meal.minutes)
            };
            (meal.kind != MealKind::Breakfast || child.breakfast_here)
                && here.iter().any(long_enough)
        };
        let (children, day) = self.most(eats);
        let sittings = children.div_ceil(seats);
        let needed = sittings * usize::from(meal.minutes);
        if usize::from(meal.window.minutes()) < needed {
            let day = weekday_name(day);
            let cause = format!(
                "on {day} {children} children at {seats} seats need {sittings} sittings, {needed} \
                 minutes, more than {}",
                meal.window
            );
            at.fault(cause, "widen the window, add seats or shorten the meal");
        }
    }

    fn rest(&self) {
        let Some(rest) = &self.day.rest else { return };
        let at = self.item.peek("rest").unwrap_or_else(|| self.item.clone());
        self.within(&at, rest.window);
        if rest.window.minutes() < rest.minutes {
            let cause = format!("{} minutes do not fit into {}", rest.minutes, rest.window);
            at.fault(cause, "widen the window or shorten the rest");
        }
        if rest.settling_minutes >= rest.minutes {
            let (settling, minutes) = (rest.settling_minutes, rest.minutes);
            let cause = format!("settling takes {settling} of {minutes} minutes");
            at.fault(cause, "shorten the settling");
        }
    }

    fn care_rounds(&self) {
        let rounds = &self.day.care_rounds;
        let each = self.reader.site.settings.care_minutes;
        for (i, round) in rounds.iter().enumerate() {
            let Some(at) = self.at("care_rounds", i, rounds.len()) else { return };
            self.within(&at, round.window);
            let taken = |child: &Child, here: &[Span]| {
                child.toileting != Toileting::Alone
                    && here.iter().any(|span| span.meets(round.window))
            };
            let (children, day) = self.most(taken);
            let adults = self.reader.site.adults_of(self.room).count().max(1);
            let needed = children.div_ceil(adults) * usize::from(each);
            if usize::from(round.window.minutes()) < needed {
                let (day, window) = (weekday_name(day), round.window);
                let cause = format!(
                    "on {day} {children} children at {each} minutes each need {needed} minutes \
                     even with every adult at it, more than {window}"
                );
                at.fault(cause, "widen the window");
            }
        }
    }

    fn tasks(&self) {
        let tasks = &self.day.tasks;
        for (i, task) in tasks.iter().enumerate() {
            let Some(at) = self.at("tasks", i, tasks.len()) else { return };
            if task.window.minutes() < task.minutes {
                let cause = format!("{} minutes do not fit into {}", task.minutes, task.window);
                at.fault(cause, "widen the window or shorten the task");
            }
            if tasks[..i].iter().any(|other| other.id == task.id) {
                at.fault(format!("a task has the id `{}` already", task.id), "give it another");
            }
        }
    }

    fn movement(&self) {
        let movement = self.day.movement;
        let at = self.item.peek("movement").unwrap_or_else(|| self.item.clone());
        let needed = u32::from(movement.minutes) * movement.indoor_day.max(movement.outdoor_day);
        if needed > u32::from(self.day.open.minutes()) {
            let cause = format!("{needed} minutes of movement do not fit into {}", self.day.open);
            at.fault(cause, "ask for fewer or shorter movement breaks");
        }
    }
}

/// Reports what does not fit together between children and adults.
pub(super) fn people(reader: &Reader<'_>) {
    let site = &reader.site;
    for (i, item) in reader.children.items().iter().enumerate() {
        let child = &site.children[i];
        let works =
            |adult: AdultIndex| site[adult].floater || site[adult].rooms.contains(&child.room);
        let own = |field: &str, adult: Option<AdultIndex>| {
            if let (Some(at), Some(adult)) = (item.peek(field), adult)
                && !works(adult)
            {
                let (adult, room) = (&site[adult].label, &site[child.room].label);
                let mend = "name an adult of the child's room";
                at.fault(format!("{adult} does not work in {room}"), mend);
            }
        };
        if site.rooms.is_empty() {
            continue;
        }
        own("key_adult", child.key_adult);
        own("settling_in", child.settling_in.map(|s| s.with));
        if let Some(support) = &child.one_to_one {
            own("one_to_one", Some(support.adult));
            support.stand_ins.iter().for_each(|adult| own("one_to_one", Some(*adult)));
        }
        sleep(reader, item, child);
    }
    for room in &site.rooms {
        standing_groups(reader, room);
    }
}

/// Sleep by an own clock must fall into some day on which the child is here.
fn sleep(reader: &Reader<'_>, item: &At<'_>, child: &Child) {
    let (Sleep::At(spans), Some(at)) = (&child.sleep, item.peek("sleep")) else { return };
    let here: Vec<Span> = child.attendance.iter().flatten().copied().collect();
    let missed = spans.iter().find(|span| !here.iter().any(|here| here.meets(**span)));
    if let Some(span) = missed
        && !here.is_empty()
        && reader.room_of.iter().any(Option::is_some)
    {
        at.fault(format!("{} is never here from {span}", child.label), "leave it out");
    }
}

fn standing_groups(reader: &Reader<'_>, room: &Room) {
    let site = &reader.site;
    let item = (0..reader.rooms.len()).find(|i| reader.rooms.id(*i) == room.id);
    let Some(at) = item.and_then(|i| reader.rooms.item(i)?.peek("groups")) else { return };
    for group in &room.groups {
        let apart = |a: &ChildIndex, b: &ChildIndex| site[*a].keep_apart.contains(b);
        let pairs = group.children.iter().flat_map(|a| group.children.iter().map(move |b| (a, b)));
        for (a, b) in pairs.filter(|(a, b)| a < b && apart(a, b)) {
            let (a, b) = (&site[*a].label, &site[*b].label);
            let cause =
                format!("{a} and {b} are to be kept apart, but both are in {}", group.label);
            at.fault(cause, "put one of them into another group");
        }
    }
}
