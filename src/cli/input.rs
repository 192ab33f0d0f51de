//! Files in, and what is wrong with them: every fault, one line each.

use super::Wrong;
use super::args::DayArgs;
use crate::day::{Day, DayFact, DayFault};
use crate::site::{Minute, RoomIndex, Site};
use crate::wire::chart::{ChartDay, read_chart_day};
use crate::wire::scenario::{self, Scenario};
use crate::wire::{Fault, limits, nearest};
use chrono::NaiveDate;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// A file with the name that its faults are told under.
pub(super) struct Input {
    pub name: String,
    pub bytes: Vec<u8>,
}

/// Reads a whole file, or standard input for `-`.
pub(super) fn read(path: &Path) -> Result<Input, Wrong> {
    let standard = path == Path::new("-");
    let name = if standard { "standard input".to_owned() } else { path.display().to_string() };
    // One byte more than may be read tells that there is more.
    let most = limits::BYTES as u64 + 1;
    let mut bytes = Vec::new();
    let read = if standard {
        io::stdin().lock().take(most).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes))
    };
    match read {
        Ok(_) => Ok(Input { name, bytes }),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            let cause = "cannot be read: there is no such file";
            Err(Wrong::one(format!("{name}: {cause}; check its name and the folder")))
        }
        Err(error) => Err(Wrong::one(format!("{name}: cannot be read: {error}"))),
    }
}

/// The faults of a file, each with its place, cause and what to do.
pub(super) fn faults(input: &Input, faults: &[Fault]) -> Wrong {
    Wrong(faults.iter().map(|fault| format!("{}: {fault}", input.name)).collect())
}

/// A scenario for a date, or for the first of its days.
pub(super) fn scenario(input: &Input, date: Option<NaiveDate>) -> Result<Scenario, Wrong> {
    scenario::read_for(&input.bytes, date).map_err(|found| faults(input, &found))
}

/// The room of an id, or the only one.
pub(super) fn room(
    input: &Input,
    scenario: &Scenario,
    id: Option<&str>,
) -> Result<RoomIndex, Wrong> {
    let ids = scenario.site.rooms.iter().map(|r| r.id.as_str());
    match id {
        None if ids.len() == 1 => Ok(RoomIndex(0)),
        None => Err(Wrong::one(format!(
            "{}: there are {} rooms; add --room with one of {}",
            input.name,
            ids.len(),
            ids.collect::<Vec<_>>().join(", ")
        ))),
        Some(id) => scenario.room(id).ok_or_else(|| unknown(&input.name, "room", id, ids)),
    }
}

/// Which room and date a chart file is for.
pub(super) fn chart_day(chart: &Input) -> Result<ChartDay, Wrong> {
    let text = chart.bytes.trim_ascii_start();
    if !text.is_empty() && !text.starts_with(b"{") {
        let cause = "this is not the chart's file; what is printed to be read cannot be read back";
        let mend = "give the file that --format json --out FILE wrote";
        return Err(Wrong::one(format!("{}: {cause}; {mend}", chart.name)));
    }
    let read = read_chart_day(&chart.bytes);
    if read.is_err() && scenario::read_for(&chart.bytes, None).is_ok() {
        let cause = "this is a scenario, and a chart is wanted";
        let mend = "make one with --format json --out FILE and give that file";
        return Err(Wrong::one(format!("{}: {cause}; {mend}", chart.name)));
    }
    read.map_err(|found| faults(chart, &found))
}

/// The room of a scenario that a chart is for.
pub(super) fn room_of(
    chart: &Input,
    of: &ChartDay,
    scenario: &Scenario,
) -> Result<RoomIndex, Wrong> {
    scenario.room(&of.room).ok_or_else(|| {
        let ids: Vec<&str> = scenario.site.rooms.iter().map(|r| r.id.as_str()).collect();
        let cause = format!("this chart is of a room `{}`", of.room.escape_debug());
        let ids = ids.join(", ");
        let mend = format!("the scenario has {ids}: give the scenario that it was made from");
        Wrong::one(format!("{}: {cause}; {mend}", chart.name))
    })
}

/// A time as it is typed in a hurry: `9:30` is read as `09:30`.
pub(super) fn minute(text: &str) -> Option<Minute> {
    let text = text.trim();
    let short = text.find(':') == Some(1);
    if short { Minute::parse(&format!("0{text}")) } else { Minute::parse(text) }
}

/// The position of what is called so, by id or, where only one has it, by label in any letter case;
/// of each the id and the label.
pub(super) fn named<'a>(
    given: &str,
    all: impl Iterator<Item = (&'a str, &'a str)> + Clone,
) -> Option<usize> {
    if let Some(found) = all.clone().position(|(id, _)| id == given) {
        return Some(found);
    }
    let given = given.trim().to_lowercase();
    let mut so = all.enumerate().filter(|(_, (_, label))| label.to_lowercase() == given);
    so.next().filter(|_| so.next().is_none()).map(|(found, _)| found)
}

/// The stations of a site with id and label, for [`named`]; what stands there today is not meant.
pub(super) fn stations(site: &Site) -> impl Iterator<Item = (&str, &str)> + Clone {
    site.stations.iter().map(|s| (s.id.as_str(), s.label.as_str()))
}

/// The adults of a site with id and label, for [`named`].
pub(super) fn adults(site: &Site) -> impl Iterator<Item = (&str, &str)> + Clone {
    site.adults.iter().map(|a| (a.id.as_str(), a.label.as_str()))
}

/// Most ids that a message lists.
const MOST_NAMED: usize = 24;

/// An id that is not known, with the nearest that is.
pub(super) fn unknown<'a>(
    place: &str,
    kind: &str,
    id: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Wrong {
    let mend = match nearest(id, known.clone()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let known: Vec<&str> = known.collect();
            match known.len() {
                ..=MOST_NAMED => format!("give one of {}", known.join(", ")),
                many => format!("give one of the {many} that the file names"),
            }
        }
    };
    Wrong::one(format!("{place}: there is no {kind} `{}`; {mend}", id.escape_debug()))
}

/// The day of a room.
pub(super) fn open(
    input: &Input,
    scenario: &Scenario,
    room: RoomIndex,
    date: NaiveDate,
) -> Result<Day, Wrong> {
    scenario.open(room, date).map_err(|found| {
        let line = |fault: &DayFault| {
            let about = about(&scenario.site, fault.about);
            format!("{}: {date}{about}: {}; {}", input.name, fault.cause, fault.mend)
        };
        Wrong(found.iter().map(line).collect())
    })
}

fn about(site: &Site, fact: DayFact) -> String {
    match fact {
        DayFact::Date => String::new(),
        DayFact::Room => ", room".to_owned(),
        DayFact::Children => ", children".to_owned(),
        DayFact::Adults => ", adults".to_owned(),
        DayFact::Schedule => ", schedule".to_owned(),
        DayFact::Child(child) | DayFact::Born(child) => format!(", child `{}`", site[child].id),
        DayFact::Adult(adult) => format!(", adult `{}`", site[adult].id),
        DayFact::Kept(at) => format!(", kept cell {}", at + 1),
        DayFact::Offer(at) => format!(", offer {}", at + 1),
    }
}

/// The day that a command asks for, and the scenario that it is of.
pub(super) fn day(args: &DayArgs) -> Result<(Scenario, Day), Wrong> {
    let file = read(&args.scenario)?;
    let scenario = scenario(&file, args.date)?;
    let room = room(&file, &scenario, args.room.as_deref())?;
    let day = open(&file, &scenario, room, args.date.unwrap_or(scenario.date))?;
    Ok((scenario, day))
}
