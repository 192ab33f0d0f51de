//! What somebody is at, both ways: `{"kind": "station", "id": "sand"}`.

use super::read::{Ids, find};
use super::shape;
use super::write::Names;
use crate::chart::{ChoiceIndex, Place};
use crate::site::{AdultIndex, StationIndex, TableIndex, ZoneIndex};
use crate::wire::At;

/// Kinds that say all by themselves.
const PLAIN: &[(&str, Place)] = &[
    ("whole_group", Place::WholeGroup),
    ("movement", Place::Movement),
    ("outdoors", Place::Outdoors),
    ("rest", Place::Rest),
    ("transition", Place::Transition),
    ("care", Place::Care),
    ("door", Place::Door),
    ("preparation", Place::Preparation),
    ("unplaced", Place::Unplaced),
];

/// Kinds that need an id beside them.
const WITH_ID: &[&str] = &["station", "table", "choice", "zone", "task", "staff_break"];

/// The id of a stretch of choice, by its position.
pub(super) fn choice_id(position: usize) -> String {
    format!("choice-{}", position + 1)
}

/// A place for the file.
pub(super) fn write(names: &Names<'_>, place: Place) -> shape::At {
    let site = &names.day.site;
    let (kind, id) = match place {
        Place::Station(s) => ("station", site[s].id.clone()),
        Place::Table(t) => ("table", site[t].id.clone()),
        Place::Zone(z) => ("zone", site[z].id.clone()),
        Place::Choice(c) => ("choice", choice_id(c.0)),
        Place::Task(t) => {
            let task = names.day.schedule.tasks.get(t);
            ("task", task.map_or_else(|| (t + 1).to_string(), |task| task.id.clone()))
        }
        Place::StaffBreak(b) => ("staff_break", (b + 1).to_string()),
        plain => {
            let kind =
                PLAIN.iter().find(|(_, p)| *p == plain).map_or("unplaced", |(word, _)| *word);
            return shape::At { kind, id: None };
        }
    };
    shape::At { kind, id: Some(id) }
}

/// A place from the file; `adult` is whose post it is, for the staff breaks.
pub(super) fn read(at: &At<'_>, ids: &Ids<'_>, adult: Option<AdultIndex>) -> Option<Place> {
    let line = at.object(&["kind", "id"])?;
    let kind = line.need("kind")?;
    let word = kind.text()?;
    if let Some((_, plain)) = PLAIN.iter().find(|(name, _)| *name == word) {
        if let Some(id) = line.get("id") {
            id.fault(format!("`{word}` goes without an id"), "remove the id, or give another kind");
        }
        return Some(*plain);
    }
    if !WITH_ID.contains(&word) {
        kind.unknown(word, WITH_ID.iter().copied().chain(PLAIN.iter().map(|(name, _)| *name)));
        return None;
    }
    let id = line.need("id")?;
    let site = &ids.day.site;
    match word {
        "station" => {
            find(&id, site.stations.iter().map(|s| &s.id)).map(|s| Place::Station(StationIndex(s)))
        }
        "table" => {
            find(&id, site.tables.iter().map(|t| &t.id)).map(|t| Place::Table(TableIndex(t)))
        }
        "zone" => find(&id, site.zones.iter().map(|z| &z.id)).map(|z| Place::Zone(ZoneIndex(z))),
        "task" => find(&id, ids.day.schedule.tasks.iter().map(|t| &t.id)).map(Place::Task),
        "choice" => {
            let given = id.text()?;
            let found = ids.choices.iter().position(|c| *c == given);
            if found.is_none() {
                id.unknown(given, ids.choices.iter().copied());
            }
            found.map(|c| Place::Choice(ChoiceIndex(c)))
        }
        _ => staff_break(&id, ids, adult),
    }
}

fn staff_break(id: &At<'_>, ids: &Ids<'_>, adult: Option<AdultIndex>) -> Option<Place> {
    let given = id.text()?;
    let Some(adult) = adult else {
        id.fault("this place is not an adult's", "give a staff break to an adult only");
        return None;
    };
    let due = ids.day.site[adult].breaks.len();
    let known: Vec<String> = (1..=due).map(|b| b.to_string()).collect();
    let found = known.iter().position(|k| k == given);
    if found.is_none() {
        id.unknown(given, known.iter().map(String::as_str));
    }
    found.map(Place::StaffBreak)
}
