//! Published rule sets and figures, as data with source and edition. Knows no chart.
//!
//! ```
//! use fairturn::standards::find;
//! let standard = find("cfoc-centre").expect("a built-in standard");
//! assert_eq!(standard.meal_interval(), Some((120, 180)));
//! ```
//!
//! Map: `need` how many adults a set of children needs, [`method`] how a standard counts mixed
//! ages, `together` how many and which ages may be together, `session` for whom it is, `places` the
//! words by which it is found, `nearest` which is nearest to a site's own, `said` its figures one by
//! one, [`rest`] what it asks while children sleep, [`read`] its file, [`hazards`] cautions about
//! materials, [`foods`] what is in foods and materials, [`measures`] small parts and hot liquids,
//! [`breaks`] staff breaks by law, [`weather`] going out or staying in.
//!
//! A standard's figures live in `data/*.json`, each with a source and a tag; nothing in the code
//! repeats them.

mod activity;
mod band;
pub mod breaks;
pub mod foods;
pub mod hazards;
mod library;
pub mod measures;
pub mod method;
mod nearest;
mod need;
mod places;
pub mod read;
pub mod rest;
mod said;
mod session;
mod source;
mod together;
pub mod weather;
mod words;

pub use band::{Band, Edge, Ratio};
pub use library::{data_file, find, library, local_limits_example};
pub use nearest::{Nearest, nearest};
pub use need::{Head, Need, Situation};
pub use places::{LeftOut, all_left_out, left_out, look_up};
pub use session::{Session, SessionLength};
pub use source::{Source, Tag};
pub use together::{KeptApart, TooManyYoung, YoungCap};

use method::Mixed;
use rest::{BriefAbsence, ReducedStaff, RestRule};
use serde::Deserialize;
use std::collections::BTreeMap;

/// Where a standard judges its ratio.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Scope {
    /// In each space by itself.
    Room,
    /// Over the whole site.
    Site,
}

/// What gives a standard its force.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Force {
    /// Binding where it applies.
    Law,
    /// Good practice that a site takes upon itself.
    Recommendation,
    /// A site's own limits, on top of what binds it.
    Local,
}

/// One published rule set (or a site's own local limits).
///
/// Each figure names its source by a key of [`Standard::sources`].
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    /// Stable id (`cfoc-centre`).
    pub id: String,
    /// Name as people know it.
    pub label: String,
    /// Where it holds; blank for a site's own limits.
    #[serde(default)]
    pub place: String,
    /// Edition or year, as [`Standard::edition_words`] says it; `None`: not known.
    #[serde(default)]
    pub edition: Option<String>,
    /// In which text, and how, its figures were read; blank where nothing is to be said of it.
    #[serde(default)]
    pub as_read: String,
    /// What has taken the place of the text that its figures are from; blank where nothing is known to have.
    #[serde(default)]
    pub replaced_by: String,
    /// Law, recommendation or local limits.
    pub force: Force,
    /// Where the ratio is judged.
    pub scope: Scope,
    /// Documents that its figures come from, by key.
    pub sources: BTreeMap<String, Source>,
    /// Age bands, youngest first; the last one holds for all older children too.
    pub bands: Vec<Band>,
    /// How a group of mixed ages is counted.
    pub mixed: Mixed,
    /// How many of one group may be young, however many adults there are.
    #[serde(default)]
    pub young_together: Vec<YoungCap>,
    /// Ages that may not be in one group.
    #[serde(default)]
    pub kept_apart: Vec<KeptApart>,
    /// It is for children who stay no longer than one session; `None`: however long they stay.
    #[serde(default)]
    pub session: Option<Session>,
    /// What changes while children sleep; `None`: nothing.
    #[serde(default)]
    pub rest: Option<RestRule>,
    /// Other times of the day at which fewer adults may do; never planned with.
    #[serde(default)]
    pub reduced: Vec<ReducedStaff>,
    /// A short absence that is excused when it happens; never planned with.
    #[serde(default)]
    pub brief_absence: Option<BriefAbsence>,
    /// Other ratios when certain adults are there.
    #[serde(default)]
    pub switches: Vec<QualificationSwitch>,
    /// Fewest adults on the premises, by number of children.
    #[serde(default)]
    pub least_adults: Vec<LeastAdults>,
    /// Another adult who can be called.
    #[serde(default)]
    pub backup: Option<Backup>,
    /// Ratios of water play and trips.
    #[serde(default)]
    pub activities: Vec<ActivityRatio>,
    /// Minutes between the starts of two meals.
    #[serde(default)]
    pub meals: Option<MealInterval>,
    /// Usable floor for each child.
    #[serde(default)]
    pub floor: Option<FloorArea>,
    /// Who must be there.
    #[serde(default)]
    pub asks_for: Vec<Asked>,
    /// Id of the rule for staff breaks where it applies.
    #[serde(default)]
    pub breaks: Option<String>,
    /// What it asks for that no fact of a site can answer, so that nothing here judges it.
    #[serde(default)]
    pub not_judged: Vec<NotJudged>,
    /// What a reader has to know: ambiguities and how they are read here.
    #[serde(default)]
    pub notes: Vec<String>,
}

/// Something that a standard asks for and that is not judged here; every chart that it bears on says so.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotJudged {
    /// Id of the band whose children it is about; none: all children.
    #[serde(default)]
    pub band: Option<String>,
    /// What it asks for, as a clause without its full stop.
    pub words: String,
    /// Key of its source.
    pub source: String,
}

/// Another ratio for a band when adults with certain qualifications are there.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QualificationSwitch {
    /// Id of the band.
    pub band: String,
    /// One adult for each entry, another one each, holding any of the entry's qualifications.
    pub adults: Vec<Vec<String>>,
    /// The ratio that then holds.
    pub ratio: Ratio,
    /// Key of its source.
    pub source: String,
}

/// Fewest adults on the premises from a number of children on.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeastAdults {
    /// From so many children on.
    pub from_children: u32,
    /// So many adults.
    pub adults: u32,
    /// Key of its source.
    pub source: String,
}

/// Another adult who can be called when one works alone.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Backup {
    /// At most so many minutes away; 0: on the premises.
    pub minutes_away: u16,
    /// Key of its source.
    pub source: String,
}

/// What an activity ratio is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outing {
    /// Swimming, wading, pools.
    Water,
    /// Away from the premises.
    Trip,
}

/// Ratio of water play or trips.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActivityRatio {
    /// What it is about.
    pub what: Outing,
    /// Whether a water table is water play in this sense.
    #[serde(default)]
    pub water_table: bool,
    /// Children younger than this each have an adult of their own, who counts for no older child.
    #[serde(default)]
    pub own_adult_below_months: Option<u32>,
    /// Age edges with the ratio below each, youngest first; no edge in the last one.
    pub ratios: Vec<ActivityBand>,
    /// Key of its source.
    pub source: String,
}

/// One age band of an activity ratio.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActivityBand {
    /// Completed months at which the next band begins; none in the last one.
    #[serde(default)]
    pub below_months: Option<u32>,
    /// Children to one adult.
    pub children_per_adult: u32,
}

/// Least and most minutes between the starts of two meals.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MealInterval {
    /// Least.
    pub least: u16,
    /// Most.
    pub most: u16,
    /// Key of its source.
    pub source: String,
}

/// Usable floor for each child, in square decimetres.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloorArea {
    /// Indoors.
    #[serde(default)]
    pub indoors: Option<u32>,
    /// Out of doors.
    #[serde(default)]
    pub outdoors: Option<u32>,
    /// Key of its source.
    pub source: String,
}

/// Somebody who must be there while children are.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Who.
    pub who: Who,
    /// Within what.
    pub within: Within,
    /// Key of its source.
    pub source: String,
}

/// Kinds of adults that a standard asks for.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Who {
    /// May lead a room.
    Lead,
    /// Holds a first-aid certificate.
    FirstAid,
    /// Holds a qualification, in lower case.
    Qualification(String),
}

/// Within what somebody must be.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Within {
    /// The spaces of the room.
    Room,
    /// The premises.
    Premises,
}

impl Standard {
    /// Its edition or year, or `edition not known`.
    #[must_use]
    pub fn edition_words(&self) -> String {
        self.edition.clone().unwrap_or_else(|| "edition not known".to_owned())
    }

    /// Fewest adults on the premises while so many children are there; 0 where nothing is said.
    #[must_use]
    pub fn least_adults(&self, children: u32) -> u32 {
        let said = self.least_adults.iter().filter(|l| children >= l.from_children.max(1));
        said.map(|l| l.adults).max().unwrap_or(0)
    }

    /// Least and most minutes between the starts of two meals, where the standard says.
    #[must_use]
    pub fn meal_interval(&self) -> Option<(u16, u16)> {
        self.meals.as_ref().map(|m| (m.least, m.most))
    }

    /// Usable floor for each child in square decimetres, where the standard says.
    #[must_use]
    pub fn floor_per_child(&self, outdoors: bool) -> Option<u32> {
        self.floor.as_ref().and_then(|f| if outdoors { f.outdoors } else { f.indoors })
    }

    /// Who must be there while children are.
    #[must_use]
    pub fn asks_for(&self) -> &[Asked] {
        &self.asks_for
    }

    /// The qualifications that it speaks of, lower case.
    pub fn qualifications(&self) -> impl Iterator<Item = &str> {
        let asked = self.asks_for.iter().filter_map(|asked| match &asked.who {
            Who::Qualification(name) => Some(name.as_str()),
            Who::Lead | Who::FirstAid => None,
        });
        let switches = self.switches.iter().flat_map(|s| s.adults.iter().flatten());
        asked.chain(switches.map(String::as_str))
    }

    /// The document behind a key; every key of a standard that was read has one.
    #[must_use]
    pub fn source(&self, key: &str) -> Option<&Source> {
        self.sources.get(key)
    }
}
