//! A small site, day and chart, built by hand.
//!
//! One room whose classroom has one zone, two sinks and opens 08:00 to 16:00. Everybody is in
//! the classroom from start to end, all together, until [`Build::stay`] and [`Build::post`] paint
//! something else over a span of it: what is underneath is cut, so the chart always tiles.

#![allow(dead_code)]

use chrono::{Months, NaiveDate};
use fairturn::chart::{AdultDay, Chart, ChildDay, ChoiceIndex, Group, OpenChoice, Place, Post};
use fairturn::chart::{State, Stay};
use fairturn::day::{Day, IndoorDay, VisitRecord};
use fairturn::rules::{Problem, rule};
use fairturn::site::*;
use fairturn::standards::Standard;
use std::sync::Arc;

/// The only room.
pub const ROOM: RoomIndex = RoomIndex(0);
/// Its home.
pub const CLASSROOM: SpaceIndex = SpaceIndex(0);
/// The zone of its home.
pub const FLOOR: ZoneIndex = ZoneIndex(0);

/// `span("09:00-09:10")`.
pub fn span(text: &str) -> Span {
    let (from, to) = text.split_once('-').expect("a span of the test");
    let minute = |t| Minute::parse(t).expect("a time of the test");
    Span::new(minute(from), minute(to)).expect("a span of the test ends after it starts")
}

/// A Wednesday in a rainy spring.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 15).expect("a date")
}

/// Facts and chart while they are being put together.
#[derive(Clone)]
pub struct Build {
    pub site: Site,
    pub schedule: Schedule,
    pub standards: Vec<Arc<Standard>>,
    pub children: Vec<(ChildIndex, Vec<Span>)>,
    pub adults: Vec<(AdultIndex, Vec<Span>)>,
    /// Closed spans of stations.
    pub closed: Vec<(StationIndex, Span)>,
    pub kept: Vec<fairturn::day::KeptCell>,
    pub must_do: Vec<(ChildIndex, StationIndex)>,
    pub record: VisitRecord,
    pub indoor: bool,
    pub chart: Chart,
}

impl Build {
    /// An empty classroom.
    pub fn new() -> Build {
        let room = Room {
            id: "gulls".into(),
            label: "Gulls".into(),
            home: CLASSROOM,
            spaces: vec![CLASSROOM],
            group_size: (2, 5),
            group_ages: GroupAges::Mixed,
            groups: Vec::new(),
            governing_age: None,
            schedules: Vec::new(),
            by_weekday: [None; 7],
        };
        let site = Site {
            id: "quay".into(),
            label: "Quay house".into(),
            time_zone: chrono_tz::Europe::Dublin,
            standards: Vec::new(),
            settings: Settings::default(),
            rooms: vec![room],
            spaces: Vec::new(),
            zones: Vec::new(),
            tables: Vec::new(),
            stations: Vec::new(),
            children: Vec::new(),
            adults: Vec::new(),
        };
        let schedule = Schedule {
            id: "day".into(),
            open: span("08:00-16:00"),
            parts: Vec::new(),
            stretches: Vec::new(),
            meals: Vec::new(),
            rest: None,
            care_rounds: Vec::new(),
            tasks: Vec::new(),
            movement: Movement {
                outdoor_day: 0,
                indoor_day: 0,
                minutes: 10,
                longest_still: 480,
                space: CLASSROOM,
            },
            turn_minutes: Vec::new(),
            whole_group_minutes: Vec::new(),
            transition_minutes: 5,
            dressing: Dressing::default(),
        };
        let chart = Chart {
            room: ROOM,
            date: today(),
            groups: Vec::new(),
            blocks: Vec::new(),
            choices: Vec::new(),
            children: Vec::new(),
            adults: Vec::new(),
        };
        let mut build = Build {
            site,
            schedule,
            standards: Vec::new(),
            children: Vec::new(),
            adults: Vec::new(),
            closed: Vec::new(),
            kept: Vec::new(),
            must_do: Vec::new(),
            record: VisitRecord::default(),
            indoor: false,
            chart,
        };
        build.site.rooms[0].spaces.clear();
        build.space("classroom");
        build
    }

    /// A space with one zone of the same name; two sinks indoors.
    pub fn space(&mut self, label: &str) -> SpaceIndex {
        let space = SpaceIndex(self.site.spaces.len());
        self.site.spaces.push(Space {
            id: label.into(),
            label: label.into(),
            shared: false,
            outdoors: false,
            room_to_move: true,
            class_size: None,
            floor_area: None,
            sinks: 2,
            care_place: None,
            walking: Vec::new(),
        });
        self.site.rooms[0].spaces.push(space);
        self.zone(label, space);
        space
    }

    /// Another zone of a space.
    pub fn zone(&mut self, label: &str, space: SpaceIndex) -> ZoneIndex {
        self.site.zones.push(Zone { id: label.into(), label: label.into(), space });
        ZoneIndex(self.site.zones.len() - 1)
    }

    /// A table for six in the first zone of a space.
    pub fn table(&mut self, label: &str, space: SpaceIndex) -> TableIndex {
        let (id, label) = (label.into(), label.into());
        let zone = self.first_zone(space);
        self.site.tables.push(Table { id, label, space, zone, seats: 6 });
        TableIndex(self.site.tables.len() - 1)
    }

    /// A station for four, without any bar, in the first zone of a space.
    pub fn station(&mut self, label: &str, space: SpaceIndex) -> StationIndex {
        let zone = self.first_zone(space);
        self.site.stations.push(Station {
            id: label.into(),
            label: label.into(),
            picture: label.into(),
            space,
            zone,
            stands_on: None,
            under_cots: false,
            seats: 4,
            from_months: 0,
            below_months: None,
            supervision: Supervision::General,
            energy: Energy::Moving,
            noise: Noise::Normal,
            mess: Mess::None,
            hazards: Vec::new(),
            allergens: Vec::new(),
            out_of_reach: false,
            open: Vec::new(),
            reset_minutes: 0,
        });
        StationIndex(self.site.stations.len() - 1)
    }

    /// A child of so many months (today is the day on which they are complete), here for a span.
    pub fn child(&mut self, label: &str, months: u32, here: &str) -> ChildIndex {
        let child = ChildIndex(self.site.children.len());
        self.site.children.push(Child {
            id: label.into(),
            label: label.into(),
            born: today().checked_sub_months(Months::new(months)).expect("a birth date"),
            room: ROOM,
            attendance: Default::default(),
            breakfast_here: false,
            toileting: Toileting::Alone,
            sleep: Sleep::None,
            quiet_rest_minutes: 30,
            one_to_one: None,
            settling_in: None,
            allergies: Vec::new(),
            not_for: Vec::new(),
            often_chosen: Vec::new(),
            keep_with: Vec::new(),
            keep_apart: Vec::new(),
            key_adult: None,
        });
        self.children.push((child, vec![span(here)]));
        let stays = vec![self.stay_of(span(here), CLASSROOM, Place::WholeGroup)];
        self.chart.children.push(ChildDay { child, stays });
        child
    }

    /// An adult who counts and may be alone, without qualifications, on shift for a span.
    pub fn adult(&mut self, label: &str, here: &str) -> AdultIndex {
        let adult = AdultIndex(self.site.adults.len());
        self.site.adults.push(Adult {
            id: label.into(),
            label: label.into(),
            shifts: Default::default(),
            counts: true,
            may_be_alone: true,
            lead: false,
            first_aid: false,
            qualifications: Vec::new(),
            rooms: vec![ROOM],
            floater: false,
            in_rooms: Vec::new(),
            breaks: Vec::new(),
            posts_not_taken: Vec::new(),
        });
        self.adults.push((adult, vec![span(here)]));
        let posts = vec![self.post_of(span(here), CLASSROOM, Place::WholeGroup)];
        self.chart.adults.push(AdultDay { adult, posts });
        adult
    }

    /// A small group of these children.
    pub fn group(&mut self, label: &str, children: &[ChildIndex]) {
        self.chart.groups.push(Group {
            id: label.into(),
            label: label.into(),
            picture: label.into(),
            children: children.to_vec(),
            cells: Vec::new(),
        });
    }

    /// A choice among these stations of the classroom.
    pub fn choice(&mut self, when: &str, open: &[StationIndex]) -> Place {
        let choice = OpenChoice { span: span(when), space: CLASSROOM, open: open.to_vec() };
        self.chart.choices.push(choice);
        Place::Choice(ChoiceIndex(self.chart.choices.len() - 1))
    }

    /// Paints a stay over what the child did before; the space is the place's own, else the
    /// classroom.
    pub fn stay(&mut self, child: ChildIndex, when: &str, at: Place) -> &mut Stay {
        let space = self.space_of(at);
        self.stay_in(child, when, space, at)
    }

    /// Paints a stay in a space.
    pub fn stay_in(
        &mut self,
        child: ChildIndex,
        when: &str,
        space: SpaceIndex,
        at: Place,
    ) -> &mut Stay {
        let stay = self.stay_of(span(when), space, at);
        let stays = &mut self.chart.children[child.0].stays;
        cut(stays, stay.span, |s| s.span, |s, span| s.span = span);
        stays.push(stay);
        stays.sort_by_key(|s| s.span);
        let at = stays.iter().position(|s| s.span == span(when)).expect("the stay just put");
        &mut stays[at]
    }

    /// Paints a post over what the adult did before; the space is the place's own, else the
    /// classroom.
    pub fn post(&mut self, adult: AdultIndex, when: &str, at: Place) -> &mut Post {
        let space = self.space_of(at);
        self.post_in(adult, when, space, at)
    }

    /// Paints a post in a space.
    pub fn post_in(
        &mut self,
        adult: AdultIndex,
        when: &str,
        space: SpaceIndex,
        at: Place,
    ) -> &mut Post {
        let post = self.post_of(span(when), space, at);
        let posts = &mut self.chart.adults[adult.0].posts;
        cut(posts, post.span, |p| p.span, |p, span| p.span = span);
        posts.push(post);
        posts.sort_by_key(|p| p.span);
        let at = posts.iter().position(|p| p.span == span(when)).expect("the post just put");
        &mut posts[at]
    }

    /// The day that the facts make.
    pub fn day(&self) -> Day {
        let mut closed = vec![Vec::new(); self.site.stations.len()];
        for (station, when) in &self.closed {
            closed[station.0].push(*when);
        }
        Day {
            site: Arc::new(self.site.clone()),
            standards: self.standards.clone(),
            room: ROOM,
            date: today(),
            schedule: self.schedule.clone(),
            children: self.children.clone(),
            adults: self.adults.clone(),
            indoor: IndoorDay { value: self.indoor, ..IndoorDay::default() },
            stations: self.site.stations.clone(),
            activities: vec![None; self.site.stations.len()],
            closed,
            kept: self.kept.clone(),
            must_do: self.must_do.clone(),
            record: self.record.clone(),
            changed: Vec::new(),
            happened: Vec::new(),
        }
    }

    /// The problems that a rule finds.
    pub fn audit(&self, slug: &str) -> Vec<Problem> {
        (rule(slug).expect("a rule in the table").audit)(&self.day(), &self.chart)
    }

    /// The sentences of those problems.
    pub fn words(&self, slug: &str) -> Vec<String> {
        let (day, rule) = (self.day(), rule(slug).expect("a rule in the table"));
        self.audit(slug).iter().map(|problem| (rule.words)(&day, problem)).collect()
    }

    fn first_zone(&self, space: SpaceIndex) -> ZoneIndex {
        self.site.zones_of(space).next().expect("every space has a zone")
    }

    fn space_of(&self, at: Place) -> SpaceIndex {
        match at {
            Place::Station(s) => self.site[s].space,
            Place::Table(t) => self.site[t].space,
            Place::Zone(z) => self.site[z].space,
            _ => CLASSROOM,
        }
    }

    fn zone_for(&self, space: SpaceIndex, at: Place) -> Option<ZoneIndex> {
        use Place::{Movement, Outdoors, Rest, WholeGroup};
        matches!(at, WholeGroup | Movement | Outdoors | Rest).then(|| self.first_zone(space))
    }

    fn stay_of(&self, span: Span, space: SpaceIndex, at: Place) -> Stay {
        let state = if at == Place::Rest { State::Resting } else { State::Awake };
        let zone = self.zone_for(space, at);
        Stay { span, space, at, zone, state, meal: None, apart: None }
    }

    fn post_of(&self, span: Span, space: SpaceIndex, at: Place) -> Post {
        let zone = self.zone_for(space, at);
        Post { span, space, at, zone, for_child: None, covers: None }
    }
}

/// Cuts a span out of what tiles a day.
fn cut<T: Clone>(
    pieces: &mut Vec<T>,
    out: Span,
    get: impl Fn(&T) -> Span,
    set: impl Fn(&mut T, Span),
) {
    let mut left = Vec::new();
    for piece in pieces.iter() {
        let whole = get(piece);
        for (from, to) in [(whole.from, whole.to.min(out.from)), (whole.from.max(out.to), whole.to)]
        {
            if let Some(span) = Span::new(from, to) {
                let mut rest = piece.clone();
                set(&mut rest, span);
                left.push(rest);
            }
        }
    }
    *pieces = left;
}
