//! What every part of the reading shares: the ids, the site as far as it is read, the defaults taken.

use super::{Assumed, ids::Ids};
use crate::site::{RoomIndex, Settings, Site, SpaceIndex, ZoneIndex};
use crate::standards::breaks::{BreakRule, rule_for};
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Object, tree::Value};
use chrono::NaiveDate;
use std::cell::RefCell;

/// The reading of one scenario.
pub(super) struct Reader<'t> {
    pub root: Object<'t>,
    /// The date for which defaults by age are taken.
    pub on: NaiveDate,
    pub spaces: Ids<'t>,
    pub zones: Ids<'t>,
    pub tables: Ids<'t>,
    pub stations: Ids<'t>,
    pub schedules: Ids<'t>,
    pub rooms: Ids<'t>,
    pub children: Ids<'t>,
    pub adults: Ids<'t>,
    /// Filled part by part, in the order of the fields of the format.
    pub site: Site,
    /// The room of each child, by position, as far as it could be found out.
    pub room_of: Vec<Option<RoomIndex>>,
    /// What staff breaks follow where none are written down.
    pub break_rule: &'static BreakRule,
    /// Some schedule could not be read, so that nothing is said about closed days.
    pub schedules_broken: bool,
    assumed: RefCell<Vec<Assumed>>,
}

impl<'t> Reader<'t> {
    /// Collects every id; reads nothing else.
    pub fn new(root: Object<'t>, on: NaiveDate) -> Reader<'t> {
        let ids = |limit, kind| Ids::collect(&root, limit, kind);
        let reader = Reader {
            on,
            spaces: ids(&limits::SITE_SPACES, "space"),
            zones: ids(&limits::SITE_ZONES, "zone"),
            tables: ids(&limits::SITE_TABLES, "table"),
            stations: ids(&limits::SITE_STATIONS, "station"),
            schedules: ids(&limits::SITE_SCHEDULES, "schedule"),
            rooms: ids(&limits::SITE_ROOMS, "room"),
            children: ids(&limits::SITE_CHILDREN, "child"),
            adults: ids(&limits::SITE_ADULTS, "adult"),
            site: Site {
                id: String::new(),
                label: String::new(),
                time_zone: chrono_tz::UTC,
                standards: Vec::new(),
                settings: Settings::default(),
                rooms: Vec::new(),
                spaces: Vec::new(),
                zones: Vec::new(),
                tables: Vec::new(),
                stations: Vec::new(),
                children: Vec::new(),
                adults: Vec::new(),
            },
            room_of: Vec::new(),
            break_rule: rule_for(&[]),
            schedules_broken: false,
            assumed: RefCell::default(),
            root,
        };
        reader.people_have_their_own_ids();
        reader
    }

    /// A child and an adult are told apart by id alone when one of them is away or late.
    fn people_have_their_own_ids(&self) {
        for (i, adult) in self.adults.items().iter().enumerate() {
            let id = self.adults.id(i);
            if self.children.has(&id) {
                let at = adult.peek("id").unwrap_or_else(|| adult.clone());
                at.fault(format!("a child has the id `{id}` as well"), "give each its own `id`");
            }
        }
    }

    /// Reports a list that has nothing in it; one that is no list has been reported.
    pub fn needs_one(&self, list: &str, kind: &str, enough: &str) {
        let given = self.root.get(list);
        if given.as_ref().is_none_or(|at| matches!(at.value(), Value::List(_))) {
            let mend = format!("add `{list}`; {enough}");
            given
                .unwrap_or_else(|| self.root.at.clone())
                .fault(format!("there is no {kind}"), mend);
        }
    }

    /// Notes a default that was taken.
    pub fn assume(&self, at: &At<'_>, words: String) {
        self.assume_at(at.pointer(), words);
    }

    /// Notes a default that was taken for something that stands nowhere in the text.
    pub fn assume_at(&self, pointer: &str, words: String) {
        self.assumed.borrow_mut().push(Assumed { pointer: pointer.to_string(), words });
    }

    /// The defaults that were taken.
    pub fn into_assumed(self) -> Vec<Assumed> {
        self.assumed.into_inner()
    }

    /// The first zone of a space; every space has one once the zones are read.
    pub fn first_zone(&self, space: SpaceIndex) -> ZoneIndex {
        self.site.zones_of(space).next().unwrap_or(ZoneIndex(0))
    }

    /// The times that the site gives a name to, as they stand in the text.
    pub fn usual_times(&self) -> Option<At<'t>> {
        self.root.at.peek("site")?.peek("usual_times")
    }

    /// Children of a room by what the file says, whatever the weekday.
    pub fn enrolled(&self, room: RoomIndex) -> usize {
        self.room_of.iter().filter(|r| **r == Some(room)).count()
    }
}

/// `id` where it is a text and `label`, both of which have been looked at by [`Ids::collect`].
pub(super) fn label_or(object: &Object<'_>, or: &str) -> String {
    object.or("label", or.to_string(), |at| at.label().map(str::to_string))
}

/// Short lower-case words such as allergens and qualifications, each once.
pub(super) fn words(object: &Object<'_>, limit: &Limit) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for at in object.list(limit) {
        let Some(word) = at.label().map(|word| word.trim().to_lowercase()) else { continue };
        if words.contains(&word) {
            at.fault("this is listed twice", "name it once");
        } else {
            words.push(word);
        }
    }
    words
}

/// Reports an `id` that is not a text; one that is has been checked while ids were collected.
pub(super) fn check_id(object: &Object<'_>) {
    if let Some(at) = object.get("id")
        && !matches!(at.value(), Value::Text(_))
    {
        let _: Option<()> = at.wrong_kind("a text");
    }
}
