//! The facts of each date against the standing ones.

use super::allergies;
use super::reader::Reader;
use crate::day::materials::{allergy_at, questions};
use crate::day::{Day, DayFact, DayFacts, VisitRecord, is_for, with_offer};
use crate::site::{RoomIndex, Site};
use crate::standards::foods::Meeting;
use crate::wire::At;
use crate::wire::limits;
use chrono::NaiveDate;
use std::sync::Arc;

/// Opens every day of the file, and the date of the reading, in every room, and reports what is
/// wrong at its place.
pub(super) fn check(reader: &Reader<'_>, site: &Arc<Site>, days: &[DayFacts], on: NaiveDate) {
    let items = reader.root.list(&limits::SITE_DAYS);
    for facts in days {
        let item = items
            .iter()
            .find(|at| at.peek("date").and_then(|date| date.peek_date()) == Some(facts.date));
        if let Some(item) = item {
            open(reader, site, facts, item);
            offers(site, facts, item);
            allergies::offers(reader, site, facts, item);
        }
    }
    if !days.iter().any(|facts| facts.date == on) {
        open(reader, site, &DayFacts::plain(on), &reader.root.at);
    }
}

fn open(reader: &Reader<'_>, site: &Arc<Site>, facts: &DayFacts, item: &At<'_>) {
    for room in (0..site.rooms.len()).map(RoomIndex) {
        let opened = Day::open(Arc::clone(site), Vec::new(), room, facts, &VisitRecord::default());
        for fault in opened.err().unwrap_or_default() {
            let several = site.rooms.len() > 1;
            if fault.about == DayFact::Date && (several || reader.schedules_broken) {
                continue;
            }
            let at = place(reader, room, fault.about, item).unwrap_or_else(|| item.clone());
            // What is wrong every week has been reported already.
            if !at.is_faulty() {
                at.fault(fault.cause, fault.mend);
            }
        }
    }
}

/// Where a fact stands: in the date's entry, else among the standing facts.
fn place<'t>(
    reader: &Reader<'t>,
    room: RoomIndex,
    about: DayFact,
    item: &At<'t>,
) -> Option<At<'t>> {
    let list = |name: &str| item.peek(name).or_else(|| reader.root.get(name));
    match about {
        DayFact::Room => reader.rooms.item(room.0).cloned(),
        DayFact::Children => list("children"),
        DayFact::Adults => list("adults"),
        DayFact::Date => item.peek("date"),
        DayFact::Schedule => item.peek("schedule"),
        DayFact::Child(child) => {
            let said = item.peek("children").and_then(|at| at.peek(&reader.children.id(child.0)));
            let standing = || reader.children.item(child.0);
            let times = || standing()?.peek("times").or_else(|| standing()?.peek("attendance"));
            said.or_else(times).or_else(|| standing().cloned())
        }
        DayFact::Born(child) => {
            let standing = reader.children.item(child.0)?;
            standing.peek("born").or_else(|| Some(standing.clone()))
        }
        DayFact::Adult(adult) => {
            let said = item.peek("adults").and_then(|at| at.peek(&reader.adults.id(adult.0)));
            let standing = || reader.adults.item(adult.0);
            let shift = || standing()?.peek("shift").or_else(|| standing()?.peek("shifts"));
            said.or_else(shift).or_else(|| standing().cloned())
        }
        DayFact::Kept(i) => item.peek("kept")?.items().into_iter().nth(i),
        DayFact::Offer(i) => item.peek("offers")?.items().into_iter().nth(i),
    }
}

/// A child who is named for an activity may do it; of "everyone" only those who may are meant.
fn offers(site: &Site, facts: &DayFacts, item: &At<'_>) {
    let offers = item.peek("offers").map(|at| at.items()).unwrap_or_default();
    if offers.len() != facts.offers.len() {
        return;
    }
    for (offer, at) in facts.offers.iter().zip(offers) {
        let named = at.peek("must_do").map(|at| at.items()).unwrap_or_default();
        if named.len() != offer.must_do.len() {
            continue;
        }
        let station = with_offer(&site[offer.station], offer);
        for (child, at) in offer.must_do.iter().zip(named) {
            let child = &site[*child];
            if !is_for(&station, offer.station, child, facts.date) {
                let (who, what) = (&child.label, &offer.activity);
                let open = matches!(allergy_at(&station, child), Meeting::MayBe | Meeting::Unknown);
                if let Some(question) = questions(&station, &[child]).pop().filter(|_| open) {
                    let cause = format!("{who} may not be at {what} yet: {question}");
                    at.fault(cause, "name what is in it, or leave the child out");
                    continue;
                }
                let cause = format!("age, allergy, hazard or \"not for\" keeps {who} from {what}");
                at.fault(cause, "leave the child out, or change the activity");
            }
        }
    }
}
