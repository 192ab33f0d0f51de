//! What is said about single dates, and who did what before.

use super::ids::Ids;
use super::reader::{Reader, words};
use super::station::hazards;
use crate::day::{DayFacts, KeptCell, KeptFor, Offer, OutdoorsWord, Visit, VisitRecord};
use crate::site::{AdultIndex, ChildIndex, InRooms, Span, StationIndex};
use crate::standards::weather::{self, Temperature, Weather, Wind};
use crate::steps::{self, Stage};
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Object, tree::Value};
use chrono::Datelike;

const DAY: [&str; 11] = [
    "date", "schedule", "children", "adults", "closed", "kept", "indoor", "weather", "offers",
    "in_rooms", "about",
];

/// Reads the dates, in their order.
pub(super) fn days(reader: &Reader<'_>) -> Vec<DayFacts> {
    let items = reader.root.list(&limits::SITE_DAYS);
    let mut days: Vec<DayFacts> = Vec::new();
    for item in items {
        let Some(object) = item.object(&DAY) else { continue };
        let Some(date) = object.need("date").and_then(|at| at.date()) else { continue };
        if let Some(at) = object.get("date")
            && days.iter().any(|day| day.date == date)
        {
            at.fault(format!("{date} is described twice"), "put both into one entry");
        }
        if let Some(at) = object.get("about") {
            let _ = at.text();
        }
        days.push(day(reader, &object, date));
    }
    days
}

fn day(reader: &Reader<'_>, object: &Object<'_>, date: chrono::NaiveDate) -> DayFacts {
    let schedule = reader.schedules.field(object, "schedule").map(|i| reader.schedules.id(i));
    let children = people(object, &limits::DAY_CHILDREN, &reader.children);
    let adults = people(object, &limits::DAY_ADULTS, &reader.adults);
    DayFacts {
        date,
        children: children.into_iter().map(|(i, spans)| (ChildIndex(i), spans)).collect(),
        adults: adults.into_iter().map(|(i, spans)| (AdultIndex(i), spans)).collect(),
        closed: object.list(&limits::CLOSED).iter().filter_map(|at| closed(reader, at)).collect(),
        kept: object.list(&limits::KEPT).iter().filter_map(|at| kept(reader, at)).collect(),
        outdoors: outdoors(object),
        offers: object.list(&limits::OFFERS).iter().filter_map(|at| offer(reader, at)).collect(),
        schedule,
        in_rooms: in_rooms(reader, object),
    }
}

/// When adults whom several rooms share are in which on a date.
fn in_rooms(reader: &Reader<'_>, object: &Object<'_>) -> Vec<(AdultIndex, InRooms)> {
    let members = object.get("in_rooms").and_then(|at| at.members(&limits::DAY_IN_ROOMS));
    let members = members.unwrap_or_default();
    let read = |(id, at): (&str, At<'_>)| {
        let who = reader.adults.named(id, &at);
        let told = super::adult::rooms_told(reader, &at, id);
        Some((AdultIndex(who?), told))
    };
    members.into_iter().filter_map(read).collect()
}

/// Who is here at other times than usual: an id with a span, several, or `"away"`.
fn people(object: &Object<'_>, limit: &Limit, ids: &Ids<'_>) -> Vec<(usize, Vec<Span>)> {
    let members = object.get(limit.field).and_then(|at| at.members(limit)).unwrap_or_default();
    let read = |(id, at): (&str, At<'_>)| {
        let who = ids.named(id, &at);
        let away = matches!(at.value(), Value::Text(word) if word == "away");
        let spans = if away { Some(Vec::new()) } else { at.spans() };
        Some((who?, spans?))
    };
    members.into_iter().filter_map(read).collect()
}

fn closed(reader: &Reader<'_>, at: &At<'_>) -> Option<(StationIndex, Option<Span>)> {
    if matches!(at.value(), Value::Text(_)) {
        return reader.stations.find(at).map(|station| (StationIndex(station), None));
    }
    let object = at.object(&["station", "when"])?;
    let station = object.need("station").and_then(|at| reader.stations.find(&at));
    let when = match object.get("when") {
        Some(at) => Some(at.span()?),
        None => None,
    };
    Some((StationIndex(station?), when))
}

fn kept(reader: &Reader<'_>, at: &At<'_>) -> Option<KeptCell> {
    let object = at.object(&["child", "group", "station", "when"])?;
    let station = object.need("station").and_then(|at| reader.stations.find(&at));
    let when = object.need("when").and_then(|at| at.span());
    let who = match (object.get("child"), object.get("group")) {
        (Some(child), None) => KeptFor::Child(ChildIndex(reader.children.find(&child)?)),
        (None, Some(group)) => {
            let id = group.text()?;
            let known: Vec<&str> = reader
                .site
                .rooms
                .iter()
                .flat_map(|room| room.groups.iter().map(|group| group.id.as_str()))
                .collect();
            if !known.contains(&id) {
                group.unknown_as("standing group", id, known);
                return None;
            }
            KeptFor::Group(id.to_string())
        }
        _ => {
            at.fault("it is not said whose cell this is", "give either `child` or `group`");
            return None;
        }
    };
    Some(KeptCell { who, station: StationIndex(station?), span: when? })
}

fn outdoors(object: &Object<'_>) -> OutdoorsWord {
    let teacher = |indoor| OutdoorsWord::Teacher { indoor };
    match (object.get("indoor"), object.get("weather")) {
        (Some(at), Some(_)) => {
            let mend = "keep `indoor` if you decide, `weather` if its limits shall decide";
            at.fault("both you and the weather decide here", mend);
            teacher(false)
        }
        (Some(at), None) => teacher(at.truth().unwrap_or(false)),
        (None, Some(at)) => weather(&at).map_or(teacher(false), OutdoorsWord::Weather),
        (None, None) => OutdoorsWord::Nothing,
    }
}

const WEATHER: [&str; 9] = [
    "celsius",
    "fahrenheit",
    "wind_kilometres_per_hour",
    "wind_miles_per_hour",
    "humidity_percent",
    "air_quality",
    "lightning",
    "wet",
    "rule_set",
];

fn weather(at: &At<'_>) -> Option<Weather> {
    let object = at.object(&WEATHER)?;
    let number = |name: &str, least, most| object.get(name).and_then(|at| at.number(least, most));
    for (one, other) in [(WEATHER[0], WEATHER[1]), (WEATHER[2], WEATHER[3])] {
        if let (Some(_), Some(at)) = (object.get(one), object.get(other)) {
            at.fault(format!("`{one}` and `{other}` say the same"), "keep one of them");
        }
    }
    let rule_set = object.get("rule_set").and_then(|at| {
        let id = at.text()?;
        let known = weather::rule_sets().iter().map(|set| set.id.as_str());
        if weather::find(id).is_none() {
            at.unknown_as("set of weather limits", id, known);
        }
        Some(id.to_string())
    });
    let celsius = number(WEATHER[0], -70.0, 60.0).map(Temperature::Celsius);
    let fahrenheit = number(WEATHER[1], -94.0, 140.0).map(Temperature::Fahrenheit);
    let metric = number(WEATHER[2], 0.0, 400.0).map(Wind::KilometresPerHour);
    let miles = number(WEATHER[3], 0.0, 250.0).map(Wind::MilesPerHour);
    Some(Weather {
        temperature: celsius.or(fahrenheit),
        wind: metric.or(miles),
        humidity: number("humidity_percent", 0.0, 100.0),
        air_quality: object.get("air_quality").and_then(|at| at.whole(0, 1000)),
        lightning: object.or("lightning", false, At::truth),
        wet: object.or("wet", false, At::truth),
        rule_set,
    })
}

fn offer(reader: &Reader<'_>, at: &At<'_>) -> Option<Offer> {
    let fields = ["station", "activity", "hazards", "allergens", "from_months", "must_do"];
    let object = at.object(&fields)?;
    let station = object.need("station").and_then(|at| reader.stations.find(&at));
    let activity = object.need("activity").and_then(|at| at.label());
    let everyone = object.get("must_do").is_some_and(|at| is_word(&at, "everyone"));
    let must_do = match everyone {
        true => (0..reader.children.len()).map(ChildIndex).collect(),
        false => {
            reader.children.list(&object, &limits::MUST_DO).into_iter().map(ChildIndex).collect()
        }
    };
    Some(Offer {
        station: StationIndex(station?),
        activity: activity?.to_string(),
        hazards: hazards(&object, &limits::OFFER_HAZARDS).unwrap_or_default(),
        allergens: words(&object, &limits::OFFER_ALLERGENS),
        from_months: object.or("from_months", 0, |at| at.whole(0, 216)),
        must_do,
    })
}

fn is_word(at: &At<'_>, word: &str) -> bool {
    matches!(at.value(), Value::Text(text) if text == word)
}

/// Reads the visit record, sorted by date and then in the order of the file.
pub(super) fn visits(reader: &Reader<'_>) -> VisitRecord {
    let mut visits: Vec<Visit> = Vec::new();
    for item in reader.root.list(&limits::SITE_VISITS) {
        let Some(object) = item.object(&["date", "station", "children", "all_but"]) else {
            continue;
        };
        let date = object.need("date").and_then(|at| at.date());
        let station = object.need("station").and_then(|at| reader.stations.find(&at));
        let (Some(date), Some(station)) = (date, station.map(StationIndex)) else { continue };
        let children: Vec<usize> = match (object.get("children"), object.get("all_but")) {
            (Some(_), None) => reader.children.list(&object, &limits::VISIT_CHILDREN),
            (None, Some(_)) => {
                let mut but = vec![false; reader.children.len()];
                for child in reader.children.list(&object, &limits::VISIT_ALL_BUT) {
                    but[child] = true;
                }
                let day = date.weekday().num_days_from_monday() as usize;
                let came = |c: &usize| !reader.site.children[*c].attendance[day].is_empty();
                (0..reader.children.len()).filter(|c| came(c) && !but[*c]).collect()
            }
            _ => {
                let mend = "give either `children`, or `all_but` with who did not";
                item.fault("it is not said who was there", mend);
                continue;
            }
        };
        for child in &children {
            let child = &reader.site.children[*child];
            if let Some(at) = object.get("date").filter(|_| child.born > date) {
                let cause = format!("{} is born after {date}", child.label);
                at.fault(cause, "mend the date of the visit or of the birth");
            }
        }
        steps::count(Stage::Text, 1 + children.len() as u64 / 8);
        if visits.len() + children.len() > limits::VISITS_IN_ALL {
            let most = limits::figure(limits::VISITS_IN_ALL);
            let cause = format!("with this there are more than {most} visits, one for each child");
            item.fault(cause, limits::SITE_VISITS.mend);
            break;
        }
        let visit = |child| Visit { child: ChildIndex(child), station, date };
        visits.extend(children.into_iter().map(visit));
    }
    visits.sort_by_key(|visit| visit.date);
    VisitRecord { visits }
}

/// Reports what keeps every date from being read.
pub(super) fn dates(items: &[At<'_>]) {
    for item in items {
        let known: Option<Object<'_>> = item.object(&DAY);
        let _ = known.and_then(|object| object.need("date")?.date());
    }
}
