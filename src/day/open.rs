//! Lays one date over the standing facts.

use super::clock::Change;
use super::materials::{allergy_at, materials};
use super::{Day, DayFacts, KeptFor, Offer, VisitRecord, indoor, limits};
use crate::site::{
    AdultIndex, Child, ChildIndex, Minute, RoomIndex, Schedule, Site, Span, Station, StationIndex,
    merged,
};
use crate::standards::{Standard, foods::Meeting, hazards::caution};
use crate::steps::{self, Stage};
use chrono::{Datelike, NaiveDate};
use std::sync::Arc;

/// What is wrong with a date's facts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DayFault {
    /// Which of the facts.
    pub about: DayFact,
    /// What is wrong, in one clause.
    pub cause: String,
    /// What to do.
    pub mend: String,
}

/// One of a date's facts.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum DayFact {
    /// The date itself.
    Date,
    /// What the room has, whatever the date.
    Room,
    /// How many children come.
    Children,
    /// How many adults are on shift.
    Adults,
    /// The schedule that is to hold.
    Schedule,
    /// When a child is here.
    Child(ChildIndex),
    /// When a child was born.
    Born(ChildIndex),
    /// When an adult is on shift.
    Adult(AdultIndex),
    /// Position in [`DayFacts::kept`].
    Kept(usize),
    /// Position in [`DayFacts::offers`].
    Offer(usize),
}

impl Day {
    /// The day of one room on the date of `facts`. Only visits before that date are taken over from
    /// the record, and only children and adults of the room, closures and cells of its spaces.
    ///
    /// # Errors
    /// Every fault: the room is closed that day, a schedule or group is not the room's, somebody is
    /// here while the room is closed, before birth, or in an hour that a clock change leaves out, comes
    /// or goes in one that it brings twice, is awake in it or may have a staff break in it, two things
    /// stand at one station, there is more than a room can have ([`limits`]).
    pub fn open(
        site: Arc<Site>,
        standards: Vec<Arc<Standard>>,
        room: RoomIndex,
        facts: &DayFacts,
        record: &VisitRecord,
    ) -> Result<Day, Vec<DayFault>> {
        steps::count(Stage::Opening, 100);
        let mut faults = Faults(Vec::new());
        limits::standing(&site, room, &mut faults);
        if !faults.0.is_empty() {
            return Err(faults.0);
        }
        let schedule = schedule(&site, room, facts, &mut faults);
        let change = Change::of(site.time_zone, facts.date);
        let children = children(&site, room, facts, schedule, change, &mut faults);
        let adults = adults(&site, room, facts, change, &mut faults);
        let label = &site[room].label;
        limits::CHILDREN.hold(DayFact::Children, label, children.len(), &mut faults);
        limits::ADULTS.hold(DayFact::Adults, label, adults.len(), &mut faults);
        kept_cells(&site, room, facts, &mut faults);
        offers(&site, facts, &mut faults);
        let Some(schedule) = schedule.filter(|_| faults.0.is_empty()) else {
            return Err(faults.0);
        };
        let indoor = indoor::decide(&facts.outdoors, schedule);
        let (stations, activities) = stations(&site, facts);
        let here = |child: ChildIndex| children.iter().any(|(c, _)| *c == child);
        let owed = |offer: &Offer| -> Vec<(ChildIndex, StationIndex)> {
            let station = &stations[offer.station.0];
            let of_room = site[room].spaces.contains(&station.space);
            let for_it = |child: &ChildIndex| {
                let child = *child;
                of_room && here(child) && is_for(station, offer.station, &site[child], facts.date)
            };
            let owed = offer.must_do.iter().copied().filter(for_it);
            owed.map(|child| (child, offer.station)).collect()
        };
        let mut must_do: Vec<(ChildIndex, StationIndex)> =
            facts.offers.iter().flat_map(owed).collect();
        must_do.sort_unstable();
        let closed = (0..site.stations.len())
            .map(|s| closed(&site, StationIndex(s), facts, indoor.value))
            .collect();
        let mine = |who: &KeptFor| match who {
            KeptFor::Child(child) => site[*child].room == room,
            KeptFor::Group(id) => site[room].groups.iter().any(|group| group.id == *id),
        };
        let kept = facts.kept.iter().filter(|cell| mine(&cell.who)).cloned().collect();
        let today = with_breaks_of(Arc::clone(&site), facts, &adults);
        let visits = record.visits.iter().filter(|v| v.date < facts.date).copied().collect();
        Ok(Day {
            schedule: indoor.lay_over(schedule),
            standards,
            room,
            date: facts.date,
            children,
            adults,
            indoor,
            stations,
            activities,
            closed,
            kept,
            must_do,
            record: VisitRecord { visits },
            changed: Vec::new(),
            happened: Vec::new(),
            site: today,
        })
    }
}

/// Whether a station, as it stands that day, is for a child: by age, by the published cautions about
/// its materials, by allergies and by "not for"; where it is not known whether something in it meets
/// an allergy, it is not. What the others in the space make of it is not looked at.
#[must_use]
pub fn is_for(station: &Station, at: StationIndex, child: &Child, date: NaiveDate) -> bool {
    let months = child.months(date);
    let too_young = |hazard| caution(hazard).barred_under_months.is_some_and(|m| months < m);
    months >= station.from_months
        && station.below_months.is_none_or(|below| months < below)
        && !station.hazards.iter().any(|hazard| too_young(*hazard))
        && allergy_at(station, child) == Meeting::No
        && !child.not_for.contains(&at)
}

/// A station with what is on offer laid over it.
#[must_use]
pub fn with_offer(station: &Station, offer: &Offer) -> Station {
    let mut today = station.clone();
    for hazard in &offer.hazards {
        if !today.hazards.contains(hazard) {
            today.hazards.push(*hazard);
        }
    }
    today.allergens = materials(station, Some(offer));
    today.from_months = today.from_months.max(offer.from_months);
    today
}

pub(super) struct Faults(Vec<DayFault>);

impl Faults {
    pub(super) fn add(&mut self, about: DayFact, cause: String, mend: &str) {
        self.0.push(DayFault { about, cause, mend: mend.into() });
    }
}

fn weekday(facts: &DayFacts) -> usize {
    facts.date.weekday().num_days_from_monday() as usize
}

fn schedule<'a>(
    site: &'a Site,
    room: RoomIndex,
    facts: &DayFacts,
    faults: &mut Faults,
) -> Option<&'a Schedule> {
    let room = &site[room];
    if let Some(id) = &facts.schedule {
        let found = room.schedules.iter().find(|schedule| schedule.id == *id);
        if found.is_none() {
            let cause = format!("{} has no schedule `{id}`", room.label);
            faults.add(DayFact::Schedule, cause, "name one of the room's schedules");
        }
        return found;
    }
    let found = room.by_weekday[weekday(facts)].and_then(|at| room.schedules.get(at));
    if found.is_none() {
        let cause = format!("{} is closed on {}", room.label, facts.date.format("%A %-d %B %Y"));
        faults.add(DayFact::Date, cause, "choose another date, or name a `schedule` for this one");
    }
    found
}

fn children(
    site: &Site,
    room: RoomIndex,
    facts: &DayFacts,
    schedule: Option<&Schedule>,
    change: Change,
    faults: &mut Faults,
) -> Vec<(ChildIndex, Vec<Span>)> {
    let mut here = Vec::new();
    for child in site.children_of(room) {
        let said = facts.children.iter().find(|(c, _)| *c == child).map(|(_, spans)| spans);
        let usual = &site[child].attendance[weekday(facts)];
        // A schedule for one date may be shorter than the weekday's: nobody types everyone's times.
        let spans = match (said, schedule) {
            (Some(said), _) => said.clone(),
            (None, Some(schedule)) if facts.schedule.is_some() => {
                usual.iter().filter_map(|span| span.meet(schedule.open)).collect()
            }
            (None, _) => usual.clone(),
        };
        let (label, about) = (&site[child].label, DayFact::Child(child));
        if spans.is_empty() {
            continue;
        }
        if site[child].born > facts.date {
            let cause = format!("{label} is born after {}", facts.date);
            faults.add(
                DayFact::Born(child),
                cause,
                "mend the birth date, or write \"away\" for that date",
            );
        }
        if let Some(schedule) = schedule
            && let Some(span) = spans.iter().find(|span| !schedule.open.holds(**span))
        {
            let cause =
                format!("{label} is here from {span}, the room open from {}", schedule.open);
            faults.add(about, cause, "change the times, or name a `schedule` that is open longer");
        }
        change.of_times(label, about, &spans, faults);
        change.of_child(&site[child], about, &spans, faults);
        here.push((child, spans));
    }
    here
}

fn adults(
    site: &Site,
    room: RoomIndex,
    facts: &DayFacts,
    change: Change,
    faults: &mut Faults,
) -> Vec<(AdultIndex, Vec<Span>)> {
    let mut on_shift = Vec::new();
    for adult in site.adults_of(room) {
        let said = facts.adults.iter().find(|(a, _)| *a == adult).map(|(_, spans)| spans);
        let spans = said.unwrap_or(&site[adult].shifts[weekday(facts)]);
        let about = DayFact::Adult(adult);
        change.of_times(&site[adult].label, about, spans, faults);
        change.of_adult(&site[adult], about, spans, faults);
        let reach = |span: &Span| {
            Span::new(span.from.later(site.settings.minutes_to_reach_children), span.to)
        };
        let spans: Vec<Span> = spans.iter().filter_map(reach).collect();
        let with_children = in_room(site, room, adult, facts, spans);
        if !with_children.is_empty() {
            on_shift.push((adult, with_children));
        }
    }
    on_shift
}

/// The site without the staff breaks of those whom several rooms share and who are in this one for a
/// part of their shift only: where they have them, this room cannot say.
fn with_breaks_of(
    site: Arc<Site>,
    facts: &DayFacts,
    adults: &[(AdultIndex, Vec<Span>)],
) -> Arc<Site> {
    let in_part = |(adult, here): &&(AdultIndex, Vec<Span>)| {
        let said = facts.adults.iter().find(|(a, _)| a == adult).map(|(_, spans)| spans);
        let shift = said.unwrap_or(&site[*adult].shifts[weekday(facts)]);
        let minutes = |spans: &[Span]| spans.iter().map(|s| s.minutes()).sum::<u16>();
        let late = site.settings.minutes_to_reach_children;
        site.is_shared(*adult) && minutes(here) + late < minutes(shift)
    };
    let in_part: Vec<AdultIndex> = adults.iter().filter(in_part).map(|(adult, _)| *adult).collect();
    if in_part.is_empty() {
        return site;
    }
    let mut without = (*site).clone();
    in_part.iter().for_each(|adult| without.adults[adult.0].breaks.clear());
    Arc::new(without)
}

/// What of an adult's shift the adult is in a room: of somebody whom several rooms share, what is told.
fn in_room(
    site: &Site,
    room: RoomIndex,
    adult: AdultIndex,
    facts: &DayFacts,
    shift: Vec<Span>,
) -> Vec<Span> {
    if !site.is_shared(adult) {
        return shift;
    }
    let today = facts.in_rooms.iter().find(|(a, _)| *a == adult).map(|(_, told)| told);
    let told = today.unwrap_or(&site[adult].in_rooms);
    let mut there: Vec<Span> = told
        .iter()
        .filter(|(told, _)| *told == room)
        .flat_map(|(_, spans)| spans)
        .flat_map(|span| shift.iter().filter_map(|s| s.meet(*span)))
        .collect();
    there.sort_unstable();
    there
}

fn kept_cells(site: &Site, room: RoomIndex, facts: &DayFacts, faults: &mut Faults) {
    for (i, cell) in facts.kept.iter().enumerate() {
        let mine = match &cell.who {
            KeptFor::Child(child) => site[*child].room == room,
            KeptFor::Group(id) => {
                let is = |group: &crate::site::StandingGroup| group.id == *id;
                if !site.rooms.iter().any(|r| r.groups.iter().any(is)) {
                    let cause = format!("no room has a standing group `{id}`");
                    faults.add(DayFact::Kept(i), cause, "name a standing group");
                }
                site[room].groups.iter().any(is)
            }
        };
        let station = &site[cell.station];
        if mine && !site[room].spaces.contains(&station.space) {
            let cause = format!("{} does not use {}", site[room].label, station.label);
            faults.add(DayFact::Kept(i), cause, "name a station in one of the room's spaces");
        }
    }
}

fn offers(site: &Site, facts: &DayFacts, faults: &mut Faults) {
    for (i, offer) in facts.offers.iter().enumerate() {
        if facts.offers[..i].iter().any(|other| other.station == offer.station) {
            let cause = format!("two activities stand at {}", site[offer.station].label);
            faults.add(DayFact::Offer(i), cause, "put one of them at another station");
        }
    }
}

fn stations(site: &Site, facts: &DayFacts) -> (Vec<Station>, Vec<Option<String>>) {
    let offer = |at: usize| facts.offers.iter().find(|offer| offer.station.0 == at);
    let laid = site.stations.iter().enumerate().map(|(at, station)| match offer(at) {
        Some(offer) => (with_offer(station, offer), Some(offer.activity.clone())),
        None => (Station { allergens: materials(station, None), ..station.clone() }, None),
    });
    laid.unzip()
}

/// Spans in which a station is closed: as said, outside its opening times, and all day for what
/// stands in the open air of an indoor day. In order, apart from one another.
fn closed(site: &Site, at: StationIndex, facts: &DayFacts, indoor: bool) -> Vec<Span> {
    let whole = Span { from: Minute(0), to: Minute::END_OF_DAY };
    let station = &site[at];
    if indoor && site[station.space].outdoors {
        return vec![whole];
    }
    let said = facts.closed.iter().filter(|(station, _)| *station == at);
    let mut closed: Vec<Span> = said.map(|(_, span)| span.unwrap_or(whole)).collect();
    if !station.open.is_empty() {
        let mut from = whole.from;
        for open in &station.open {
            closed.extend(Span::new(from, open.from));
            from = open.to;
        }
        closed.extend(Span::new(from, whole.to));
    }
    merged(closed)
}
