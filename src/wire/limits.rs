//! How much there may be of anything in an input: one table, which the readers enforce and which the
//! description of the API and the formats print.
//!
//! A list cannot be read without its limit. Each is far above what a large site has, and holds for a
//! file as for a request. What one room may have on one date stands in [`crate::day::limits`].

use crate::day::limits;
use crate::planner::check::MOST_STATIONS;

/// How many entries a list may have, or an object whose names are chosen by the user.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limit {
    /// The object that it stands in, by the name that the description of the API has for it.
    pub object: &'static str,
    /// Its field there.
    pub field: &'static str,
    /// Most entries.
    pub most: usize,
    /// What to do about more.
    pub mend: &'static str,
}

/// Longest id, in characters.
pub const ID: usize = 40;
/// Longest label, in characters.
pub const LABEL: usize = 120;
/// Longest of any other text, in characters.
pub const TEXT: usize = 2_000;
/// Longest number, in characters.
pub const DIGITS: usize = 40;
/// Most values in a whole text: lists and objects with everything in them.
pub const VALUES: usize = 500_000;
/// Most visits that the entries of `visits` come to, one for each child.
pub const VISITS_IN_ALL: usize = 200_000;
/// Longest text, in bytes.
pub const BYTES: usize = 16 * 1024 * 1024;
/// How deep lists and objects may be nested.
pub const DEEPEST: usize = 64;
/// Most faults that are told one by one.
pub const FAULTS: usize = 500;

const SITES: &str = "split it: one text for each site";
const LESS: &str = "leave out what is not needed";
const SCHEDULES: &str = "leave out the schedules that no day has";
const DAYS: &str = "leave out the days that are past";
const VISITS: &str = "leave out the oldest visits";
const NOT_A_CHART: &str = "no chart of one room's day has more: give each chart by itself";
const HAPPENED: &str = "make a new chart of the day as it is now";

macro_rules! limits {
    ($($object:literal { $($name:ident $field:literal $most:tt $mend:expr;)* })*) => {
        $($(
            #[doc = concat!("`", $field, "` of `", $object, "`.")]
            pub const $name: Limit =
                Limit { object: $object, field: $field, most: $most, mend: $mend };
        )*)*
        /// Every limit, in the order of the formats.
        pub const LIMITS: &[Limit] = &[$($($name),*),*];
    };
}

limits! {
    "Times" { SPANS "spans" 12 LESS; }
    "Scenario" {
        SITE_ROOMS "rooms" 40 SITES;
        SITE_SPACES "spaces" 120 SITES;
        SITE_ZONES "zones" 400 SITES;
        SITE_TABLES "tables" 200 SITES;
        SITE_STATIONS "stations" 600 SITES;
        SITE_CHILDREN "children" 1000 SITES;
        SITE_ADULTS "adults" 300 SITES;
        SITE_SCHEDULES "schedules" 80 SCHEDULES;
        SITE_DAYS "days" 600 DAYS;
        SITE_VISITS "visits" 20000 VISITS;
    }
    "SiteFacts" {
        STANDARDS "standards" 12 LESS;
        LOCAL_LIMITS "local_limits" 60 LESS;
        USUAL_TIMES "usual_times" 40 LESS;
    }
    "Room" {
        ROOM_SPACES "spaces" 12 LESS;
        STANDING_GROUPS "groups" 40 LESS;
        ROOM_DAYS "days" 7 LESS;
        ROOM_WEEK "by_weekday" 7 LESS;
    }
    "StandingGroup" { GROUP_CHILDREN "children" 60 LESS; }
    "Space" { WALKING "walking" 120 LESS; }
    "CarePlace" { SEEN_FROM "seen_from" 40 LESS; }
    "Station" {
        HAZARDS "hazards" 20 LESS;
        ALLERGENS "allergens" 60 LESS;
    }
    "Child" {
        CHILD_DAYS "days" 7 LESS;
        CHILD_WEEK "attendance" 7 LESS;
        ALLERGIES "allergies" 60 LESS;
        NOT_FOR "not_for" 100 LESS;
        OFTEN_CHOSEN "often_chosen" 40 LESS;
        KEEP_WITH "keep_with" 40 LESS;
        KEEP_APART "keep_apart" 40 LESS;
    }
    "OneToOne" { STAND_INS "stand_ins" 12 LESS; }
    "Adult" {
        ADULT_DAYS "days" 7 LESS;
        ADULT_WEEK "shifts" 7 LESS;
        QUALIFICATIONS "qualifications" 40 LESS;
        ADULT_ROOMS "rooms" 40 LESS;
        IN_ROOMS "in_rooms" 40 LESS;
        BREAKS "breaks" 8 LESS;
        POSTS_NOT_TAKEN "posts_not_taken" 5 LESS;
    }
    "Schedule" {
        PARTS "parts" 24 LESS;
        STRETCHES "stretches" 24 LESS;
        MEALS "meals" 8 LESS;
        CARE_ROUNDS "care_rounds" 12 LESS;
        TASKS "tasks" 24 LESS;
        TIMES "times" 12 LESS;
        TURN_MINUTES "turn_minutes" 12 LESS;
        WHOLE_GROUP_MINUTES "whole_group_minutes" 12 LESS;
    }
    "Dressing" { DRESSING_MINUTES "minutes" 12 LESS; }
    "Meal" { MEAL_TABLES "tables" 24 LESS; }
    "DayOfScenario" {
        DAY_CHILDREN "children" 1000 LESS;
        DAY_ADULTS "adults" 300 LESS;
        CLOSED "closed" 200 LESS;
        KEPT "kept" 100 LESS;
        OFFERS "offers" 200 LESS;
        DAY_IN_ROOMS "in_rooms" 300 LESS;
    }
    "Offer" {
        OFFER_HAZARDS "hazards" 20 LESS;
        OFFER_ALLERGENS "allergens" 60 LESS;
        MUST_DO "must_do" 1000 LESS;
    }
    "Visit" {
        VISIT_CHILDREN "children" 1000 LESS;
        VISIT_ALL_BUT "all_but" 1000 LESS;
    }
    "Happenings" { HAPPENINGS "happenings" (limits::HAPPENED.most) HAPPENED; }
    "Happening" { EXTRA_QUALIFICATIONS "qualifications" 40 LESS; }
    "Block" { BLOCK_STATIONS "stations" MOST_STATIONS LESS; }
    "ChartGiven" {
        CHART_ROOMS "rooms" 1 NOT_A_CHART;
        CHART_GROUPS "groups" 60 NOT_A_CHART;
        CHART_CHILDREN "children" 120 NOT_A_CHART;
        CHART_ADULTS "adults" 120 NOT_A_CHART;
    }
    "ChartRoom" {
        CHART_BLOCKS "blocks" 300 NOT_A_CHART;
        CHART_CHOICES "choices" 300 NOT_A_CHART;
    }
    "ChartChoice" { CHOICE_OPEN "open" 60 NOT_A_CHART; }
    "ChartGroup" {
        CHART_GROUP_CHILDREN "children" 60 NOT_A_CHART;
        CELLS "cells" 300 NOT_A_CHART;
    }
    "ChartChild" { STAYS "stays" 300 NOT_A_CHART; }
    "ChartAdult" { POSTS "posts" 300 NOT_A_CHART; }
    "ChartDay" { HAPPENED_BEFORE "happened" (limits::HAPPENED.most) HAPPENED; }
}

impl Limit {
    /// What is wrong with so many.
    #[must_use]
    pub fn cause(&self, count: usize) -> String {
        format!("`{}` has {} entries, at most {}", self.field, figure(count), figure(self.most))
    }
}

/// The limit of a field of an object.
#[must_use]
pub fn limit_of(object: &str, field: &str) -> Option<&'static Limit> {
    // What is said about a date of the path has the limits of an entry of `days`.
    let object = if object == "DayEntry" { "DayOfScenario" } else { object };
    LIMITS.iter().find(|limit| (limit.object, limit.field) == (object, field))
}

/// A number with a comma between its thousands.
#[must_use]
pub fn figure(number: usize) -> String {
    let digits = number.to_string();
    let mut told = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            told.push(',');
        }
        told.push(digit);
    }
    told
}
