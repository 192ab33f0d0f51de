//! `cargo bench --bench compare`: what a change makes better, worse or unsafe in 200 invented rooms.
//!
//! ```text
//! cargo bench --bench compare -- [--rooms N] [--each] [--only ROOM] [--older BINARY] [--keep FILE]
//! cargo bench --bench compare -- --draw FILE
//! cargo bench --bench compare -- [--rooms N] --mornings
//! ```
//!
//! `rooms.jsonl` has a scenario a line, `before.jsonl` what became of each; the same charts are made
//! anew, on every core, and compared. `--rooms N` takes so many of them, spread evenly. `--each` tells
//! what differs in every room, `--only` prints both outcomes of one in full. `--older BINARY` takes the
//! charts that an older binary makes as those of before, and has the present rules judge both: the fair
//! comparison where a rule has become stricter. `--keep FILE` writes the present outcomes as
//! `before.jsonl` has them; `--draw FILE` does nothing but write the rooms, as `rooms.jsonl` was written.
//!
//! `--mornings` compares nothing: it counts the steps that a bad morning of each room takes, its fixes
//! included, and ends with 1 where one takes more than ten times the median.
//!
//! It ends with 1 where a room turned safe or unsafe without a reason in `named.json`, and with 2 where
//! it could not be done.

mod draw;
mod judge;
mod make;
mod mornings;
mod rooms;
mod tell;

use judge::{Comparison, Results};
use rooms::Room;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const KNOWN: &str =
    "--rooms N, --each, --only ROOM, --older BINARY, --keep FILE, --mornings, or --draw FILE alone";

/// What is asked for on the command line.
#[derive(Default)]
struct Asked {
    rooms: Option<usize>,
    each: bool,
    only: Option<String>,
    older: Option<PathBuf>,
    keep: Option<PathBuf>,
    draw: Option<PathBuf>,
    mornings: bool,
}

impl Asked {
    fn read() -> Result<Asked, String> {
        let mut asked = Asked::default();
        let mut words = std::env::args().skip(1);
        while let Some(word) = words.next() {
            let mut next = |what: &str| words.next().ok_or(format!("{word}: {what} follows"));
            match word.as_str() {
                "--rooms" => {
                    let number = next("a number")?;
                    let many = number.parse().ok().filter(|n| *n > 0);
                    asked.rooms = Some(many.ok_or(format!("--rooms: {number} is no number"))?);
                }
                "--each" => asked.each = true,
                "--mornings" => asked.mornings = true,
                "--only" => asked.only = Some(next("a room")?),
                "--older" => asked.older = Some(next("a binary")?.into()),
                "--keep" => asked.keep = Some(next("a file")?.into()),
                "--draw" => asked.draw = Some(next("a file")?.into()),
                // Cargo adds this one.
                "--bench" => {}
                _ => {
                    return Err(format!("{word} is not known here: {KNOWN}"));
                }
            }
        }
        Ok(asked)
    }

    /// The rooms that are asked for.
    fn of<'r>(&self, all: &'r [Room]) -> Result<Vec<&'r Room>, String> {
        if let Some(name) = &self.only {
            let room = all
                .iter()
                .find(|room| room.name.trim_start_matches('0') == name.trim_start_matches('0'));
            return Ok(vec![room.ok_or(format!("--only: there is no room {name}"))?]);
        }
        let many = self.rooms.unwrap_or(all.len()).min(all.len());
        Ok((0..many).map(|at| &all[at * all.len() / many]).collect())
    }
}

fn main() -> ExitCode {
    match compare() {
        Ok(exit) => exit,
        Err(cause) => {
            eprintln!("{cause}");
            ExitCode::from(2)
        }
    }
}

fn write(file: &Path, text: &str) -> Result<(), String> {
    std::fs::write(file, text).map_err(|error| format!("{}: {error}", file.display()))
}

fn compare() -> Result<ExitCode, String> {
    let asked = Asked::read()?;
    if let Some(file) = &asked.draw {
        write(file, &draw::draw()?)?;
        return Ok(ExitCode::SUCCESS);
    }
    let (all, named) = (rooms::rooms()?, rooms::named()?);
    let rooms = asked.of(&all)?;
    if asked.mornings {
        let (text, fine) = mornings::told(&rooms)?;
        print!("{text}");
        return Ok(if fine { ExitCode::SUCCESS } else { ExitCode::FAILURE });
    }
    let now = make::with_this_code(&rooms)?;
    if let Some(file) = &asked.keep {
        write(file, &judge::write(&now))?;
    }
    let before: Results = match &asked.older {
        Some(binary) => make::with_older(binary, &rooms)?,
        None => rooms::before()?,
    };
    let comparison = Comparison::of(&before, &now)
        .map_err(|rooms| format!("before.jsonl lacks {}", rooms.join(", ")))?;
    let words = |name: &str| {
        all.iter().find(|room| room.name == name).map_or_else(String::new, Room::words)
    };
    if asked.only.is_some() {
        print!("{}", tell::both(&comparison, &words));
    } else {
        print!("{}", tell::comparison(&comparison, &named, asked.each, &words));
    }
    let unnamed = named.unnamed(&comparison);
    if !unnamed.is_empty() {
        eprintln!("turned safe or unsafe without a reason: {}", unnamed.join(", "));
    }
    Ok(ExitCode::from(u8::from(!unnamed.is_empty())))
}
