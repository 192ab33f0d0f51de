//! The standards that are built in.

use super::Standard;
use std::sync::{Arc, LazyLock};

/// Data files, in the order in which they are listed.
const FILES: &[&str] = &[
    include_str!("data/cfoc-centre.json"),
    include_str!("data/cfoc-large-home.json"),
    include_str!("data/cfoc-small-home.json"),
    include_str!("data/head-start.json"),
    include_str!("data/head-start-double.json"),
    include_str!("data/head-start-home.json"),
    include_str!("data/arizona.json"),
    include_str!("data/california.json"),
    include_str!("data/colorado.json"),
    include_str!("data/florida.json"),
    include_str!("data/georgia.json"),
    include_str!("data/illinois.json"),
    include_str!("data/maryland.json"),
    include_str!("data/maryland-large-home.json"),
    include_str!("data/massachusetts.json"),
    include_str!("data/massachusetts-half-day.json"),
    include_str!("data/michigan.json"),
    include_str!("data/minnesota.json"),
    include_str!("data/missouri.json"),
    include_str!("data/new-jersey.json"),
    include_str!("data/new-york.json"),
    include_str!("data/new-york-city.json"),
    include_str!("data/north-carolina.json"),
    include_str!("data/north-carolina-rated.json"),
    include_str!("data/north-carolina-seven-points.json"),
    include_str!("data/north-carolina-developmental.json"),
    include_str!("data/ohio.json"),
    include_str!("data/oregon.json"),
    include_str!("data/pennsylvania.json"),
    include_str!("data/tennessee.json"),
    include_str!("data/tennessee-drop-in.json"),
    include_str!("data/texas.json"),
    include_str!("data/virginia.json"),
    include_str!("data/washington.json"),
    include_str!("data/wisconsin.json"),
    include_str!("data/alberta.json"),
    include_str!("data/british-columbia.json"),
    include_str!("data/manitoba.json"),
    include_str!("data/nova-scotia.json"),
    include_str!("data/ontario.json"),
    include_str!("data/quebec.json"),
    include_str!("data/saskatchewan.json"),
    include_str!("data/saskatchewan-home.json"),
    include_str!("data/england-eyfs.json"),
    include_str!("data/england-childminder.json"),
    include_str!("data/northern-ireland.json"),
    include_str!("data/scotland.json"),
    include_str!("data/scotland-sessional.json"),
    include_str!("data/wales.json"),
    include_str!("data/ireland-full-day.json"),
    include_str!("data/ireland-sessional.json"),
    include_str!("data/ireland-drop-in.json"),
    include_str!("data/netherlands.json"),
    include_str!("data/finland.json"),
    include_str!("data/norway.json"),
    include_str!("data/australia.json"),
    include_str!("data/australia-nsw.json"),
    include_str!("data/new-zealand.json"),
    include_str!("data/singapore.json"),
];

static LIBRARY: LazyLock<Vec<Arc<Standard>>> = LazyLock::new(|| {
    let read = |text: &&str| match Standard::from_json(text) {
        Ok(standard) => Arc::new(standard),
        Err(faults) => panic!("a built-in standard cannot be read: {}", faults.join("; ")),
    };
    FILES.iter().map(read).collect()
});

/// Every built-in standard, in the order in which they are listed.
#[must_use]
pub fn library() -> &'static [Arc<Standard>] {
    &LIBRARY
}

/// The built-in standard of an id.
#[must_use]
pub fn find(id: &str) -> Option<Arc<Standard>> {
    library().iter().find(|s| s.id == id).cloned()
}

/// The data file of a built-in standard, as it is compiled in.
#[must_use]
pub fn data_file(id: &str) -> Option<&'static str> {
    library().iter().position(|s| s.id == id).map(|at| FILES[at])
}

/// A file of local limits to start from, in the format of [`Standard::from_json`].
#[must_use]
pub fn local_limits_example() -> &'static str {
    include_str!("data/local-limits.json")
}
