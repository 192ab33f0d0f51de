//! The rooms that every change is held against, and what became of them.
//!
//! `rooms.jsonl` was drawn by `draw`, which says how many children and adults and which seed a room has.

use super::judge::{Named, Results, read, read_named};
use fairturn::wire::scenario::{self, Scenario};
use std::path::PathBuf;

/// Babies sleep by a clock of their own below this age in months.
pub const BABIES_BELOW: u32 = 18;

/// One room, on its one day.
pub struct Room {
    /// The number of its line, from 001.
    pub name: String,
    /// The scenario as its line has it.
    pub text: String,
    pub scenario: Scenario,
}

impl Room {
    /// Reads the room with so many before it.
    pub fn read(at: usize, line: &str) -> Result<Room, String> {
        let name = format!("{:03}", at + 1);
        match scenario::read(line.as_bytes()) {
            Ok(scenario) => Ok(Room { name, text: line.to_owned(), scenario }),
            Err(faults) => Err(format!("room {name}: {faults:?}")),
        }
    }

    /// Its standard, how many people it has, and whether there are babies or somebody is missing.
    pub fn words(&self) -> String {
        let site = &self.scenario.site;
        let mut words = vec![
            self.scenario.standards[0].id.clone(),
            format!("{} children", site.children.len()),
            format!("{} adults", site.adults.len()),
        ];
        if self.has_babies() {
            words.push("babies".into());
        }
        if self.is_short_staffed() {
            words.push("short-staffed".into());
        }
        words.join(", ")
    }

    pub fn has_babies(&self) -> bool {
        let mut children = self.scenario.site.children.iter();
        children.any(|child| child.months(self.scenario.date) < BABIES_BELOW)
    }

    pub fn is_short_staffed(&self) -> bool {
        self.scenario.days.iter().any(|day| !day.adults.is_empty())
    }
}

fn file(name: &str) -> Result<String, String> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/compare").join(name);
    std::fs::read_to_string(&path).map_err(|error| format!("{}: {error}", path.display()))
}

/// Every room, in the order of the file.
pub fn rooms() -> Result<Vec<Room>, String> {
    let text = file("rooms.jsonl")?;
    text.lines().enumerate().map(|(at, line)| Room::read(at, line)).collect()
}

/// What became of every room before.
pub fn before() -> Result<Results, String> {
    read(&file("before.jsonl")?).ok_or("before.jsonl is not in the form of results".into())
}

/// Rooms that may have turned safe or unsafe since.
pub fn named() -> Result<Named, String> {
    read_named(&file("named.json")?).ok_or("named.json names no reasons by room".into())
}
