//! Draws the rooms that every change is held against: who is in them is counted off, all else invented.
//!
//! `rooms.jsonl` is what this wrote on the day the comparison began. It stays as it is when sites come
//! to be invented otherwise: only then does a chart differ because of the planner alone.

use super::rooms::Room;
use fairturn::wire::invent::{awkward, invent};
use serde_json::Value;

/// How many rooms there are.
const ROOMS: u64 = 200;

/// So many seeds are tried for a room.
const TRIED: usize = 200;

/// Every room, a scenario a line.
pub fn draw() -> Result<String, String> {
    let lines = (0..ROOMS).map(|at| Ok(room(at)?.text + "\n"));
    lines.collect()
}

/// The room with so many before it.
///
/// Its seed is its position, so that one room in three misses somebody. Where that invents babies in
/// another room than every fourth, the next seed is 600 further on, which leaves everything that is
/// counted off as it was.
fn room(at: u64) -> Result<Room, String> {
    let children = children(at);
    // From one adult with a few at home to eight with 24 children.
    let adults = (1 + children / 4 + at as usize % 5 / 2).min(8);
    // Who is missing is not the only one.
    let adults = if at.is_multiple_of(3) { adults.max(2) } else { adults };
    // Half of them, those with babies and those without alike, are as awkward as the worst.
    let invent = if (at / 4).is_multiple_of(2) { awkward } else { invent };
    for seed in (at..).step_by(600).take(TRIED) {
        let text = compact(&invent(1, children, adults, seed))?;
        let room = Room::read(at as usize, &text)?;
        if room.has_babies() == (at % 4 == 1) && room.is_short_staffed() == at.is_multiple_of(3) {
            return Ok(room);
        }
    }
    Err(format!("none of {TRIED} seeds has room {:03} as it is to be", at + 1))
}

/// Three rooms in 25 have 20 to 24 children, the others 4 to 19.
fn children(at: u64) -> usize {
    let (block, within) = (at / 25, at % 25);
    let large = [3, 11, 19].iter().position(|large| *large == within);
    match large {
        Some(large) => 20 + (3 * block as usize + large) % 5,
        None => 4 + (at + at / 16) as usize % 16,
    }
}

fn compact(text: &str) -> Result<String, String> {
    let value: Value = serde_json::from_str(text).map_err(|error| error.to_string())?;
    Ok(value.to_string())
}
