//! Who is where in one minute, found by looking through everything.

use fairturn::chart::{Chart, Place, Post, State, Stay};
use fairturn::day::Day;
use fairturn::site::{AdultIndex, ChildIndex, Minute, SpaceIndex, Span, StationIndex, ZoneIndex};

/// One minute of a chart.
pub struct Scene<'a> {
    pub day: &'a Day,
    pub chart: &'a Chart,
    pub minute: u16,
    pub children: Vec<(ChildIndex, &'a Stay)>,
    pub adults: Vec<(AdultIndex, &'a Post)>,
}

/// Whether a span holds a minute.
pub fn holds(span: Span, minute: u16) -> bool {
    span.from.0 <= minute && minute < span.to.0
}

/// Whether any of the spans holds a minute.
pub fn any_holds(spans: &[Span], minute: u16) -> bool {
    for span in spans {
        if holds(*span, minute) {
            return true;
        }
    }
    false
}

pub fn clock(minute: u16) -> String {
    Minute(minute).to_string()
}

impl<'a> Scene<'a> {
    pub fn of(day: &'a Day, chart: &'a Chart, minute: u16) -> Scene<'a> {
        let mut scene = Scene { day, chart, minute, children: Vec::new(), adults: Vec::new() };
        for child in &chart.children {
            for stay in &child.stays {
                if holds(stay.span, minute) {
                    scene.children.push((child.child, stay));
                    break;
                }
            }
        }
        for adult in &chart.adults {
            for post in &adult.posts {
                if holds(post.span, minute) {
                    scene.adults.push((adult.adult, post));
                    break;
                }
            }
        }
        scene
    }

    pub fn spaces(&self) -> Vec<SpaceIndex> {
        let mut spaces = Vec::new();
        for space in 0..self.day.site.spaces.len() {
            spaces.push(SpaceIndex(space));
        }
        spaces
    }

    pub fn children_in(&self, space: SpaceIndex) -> Vec<(ChildIndex, &'a Stay)> {
        let mut found = Vec::new();
        for &(child, stay) in &self.children {
            if stay.space == space {
                found.push((child, stay));
            }
        }
        found
    }

    pub fn awake_in(&self, space: SpaceIndex) -> Vec<(ChildIndex, &'a Stay)> {
        let mut found = self.children_in(space);
        found.retain(|(_, stay)| stay.state != State::Asleep);
        found
    }

    pub fn at(&self, place: Place) -> Vec<ChildIndex> {
        let mut found = Vec::new();
        for &(child, stay) in &self.children {
            if stay.at == place {
                found.push(child);
            }
        }
        found
    }

    /// On a staff break, getting the room ready, or on a task that does not watch: with nobody.
    pub fn is_off(&self, post: &Post) -> bool {
        match post.at {
            Place::StaffBreak(_) | Place::Preparation => true,
            Place::Task(task) => !self.day.schedule.tasks[task].watching,
            _ => false,
        }
    }

    /// On a staff break for which the building may be left.
    pub fn has_left(&self, adult: AdultIndex, post: &Post) -> bool {
        let Place::StaffBreak(which) = post.at else { return false };
        match self.day.site.adults[adult.0].breaks.get(which) {
            Some(due) => due.may_leave,
            None => false,
        }
    }

    /// At a changing place that nobody of the space sees: by themselves there.
    pub fn is_by_itself(&self, space: SpaceIndex, at: Place) -> bool {
        at == Place::Care && self.care_is_seen_from(space).is_empty()
    }

    /// Counts in ratio where the post is.
    pub fn counts(&self, adult: AdultIndex, post: &Post) -> bool {
        let facts = &self.day.site.adults[adult.0];
        if !facts.counts || post.for_child.is_some() || self.is_off(post) {
            return false;
        }
        if post.at == Place::Care {
            return !self.care_is_seen_from(post.space).is_empty();
        }
        true
    }

    /// Zones from which the care place of a space is seen.
    pub fn care_is_seen_from(&self, space: SpaceIndex) -> Vec<ZoneIndex> {
        match &self.day.site.spaces[space.0].care_place {
            Some(place) => place.seen_from.clone(),
            None => Vec::new(),
        }
    }

    /// Stations that may be in use by a child: its own, or all that are open in its choice.
    pub fn stations_of(&self, stay: &Stay) -> Vec<StationIndex> {
        match stay.at {
            Place::Station(station) => vec![station],
            Place::Choice(choice) => self.chart.choices[choice.0].open.clone(),
            _ => Vec::new(),
        }
    }

    /// Zones in which a child may be.
    pub fn zones_of(&self, stay: &Stay) -> Vec<ZoneIndex> {
        let mut zones = Vec::new();
        match stay.at {
            Place::Station(_) | Place::Choice(_) => {
                for station in self.stations_of(stay) {
                    zones.push(self.day.stations[station.0].zone);
                }
            }
            Place::Table(table) => zones.push(self.day.site.tables[table.0].zone),
            Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => {
                zones.extend(stay.zone);
            }
            _ => {}
        }
        zones
    }

    /// Zones that an adult sees.
    pub fn seen_by(&self, post: &Post) -> Vec<ZoneIndex> {
        match post.at {
            Place::Station(station) => vec![self.day.stations[station.0].zone],
            Place::Table(table) => vec![self.day.site.tables[table.0].zone],
            Place::Zone(zone) => vec![zone],
            Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => {
                post.zone.into_iter().collect()
            }
            Place::Care => self.care_is_seen_from(post.space),
            Place::Task(_) if !self.is_off(post) => post.zone.into_iter().collect(),
            _ => Vec::new(),
        }
    }
}
