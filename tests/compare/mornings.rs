//! `--mornings`: how much work a bad morning of each room is, its fixes included: one adult away all day,
//! and the first station closed for the morning.

use super::make::on_every_core;
use super::rooms::Room;
use fairturn::chart::Chart;
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::{Options, Watch, make, mended, repair};
use fairturn::site::{Minute, RoomIndex, Span, StationIndex};
use fairturn::steps;
use std::fmt::Write;

/// No bad morning may be more than so many times the work of the median one.
const MOST: u64 = 10;

/// What a bad morning of a room took, in steps.
struct Morning {
    name: String,
    repair: u64,
    fixes: u64,
    cut_short: bool,
}

/// What all of them took, in words, and whether none took too much.
pub fn told(rooms: &[&Room]) -> Result<(String, bool), String> {
    let found = on_every_core(rooms, of).into_iter().collect::<Result<Vec<_>, _>>()?;
    let mut all: Vec<Morning> = found.into_iter().flatten().collect();
    all.sort_by(|a, b| (b.repair + b.fixes, &a.name).cmp(&(a.repair + a.fixes, &b.name)));
    let middle = |of: &dyn Fn(&Morning) -> u64| -> u64 {
        let mut steps: Vec<u64> = all.iter().map(of).collect();
        steps.sort_unstable();
        steps.get(steps.len() / 2).copied().unwrap_or(0).max(1)
    };
    let whole = |m: &Morning| m.repair + m.fixes;
    let (repairs, fixes, median) = (middle(&|m| m.repair), middle(&|m| m.fixes), middle(&whole));
    let mut text = format!(
        "{} bad mornings, median {median} steps: {repairs} for the repair, {fixes} for what would mend it\n",
        all.len()
    );
    for m in all.iter().take(8) {
        let cut = if m.cut_short { ", not all of it tried" } else { "" };
        let times = whole(m) as f64 / median as f64;
        let _ = writeln!(text, "  {times:5.1} times: {} ({} + {}{cut})", m.name, m.repair, m.fixes);
    }
    let fine = all.iter().all(|m| whole(m) <= MOST * median);
    Ok((text, fine))
}

/// The bad mornings of a room.
fn of(room: &Room) -> Result<Vec<Morning>, String> {
    let day = room.scenario.open(RoomIndex(0), room.scenario.date);
    let day = day.map_err(|faults| format!("room {}: {faults:?}", room.name))?;
    let chart = make(&day, &Options::default()).chart;
    let open = day.schedule.open;
    let mut mornings = Vec::new();
    if let Some((adult, _)) = day.adults.first() {
        let away = Happening::Away { who: Who::Adult(*adult), span: None };
        mornings.push(one(&day, &chart, open.from, away, format!("{} away", room.name))?);
    }
    let noon = Minute(open.from.0 + open.minutes() / 2);
    let span = Span::new(open.from.later(60), noon);
    let closed = Happening::Closed { station: StationIndex(0), span };
    mornings.push(one(&day, &chart, open.from, closed, format!("{} closed", room.name))?);
    Ok(mornings)
}

fn one(
    day: &Day,
    chart: &Chart,
    at: Minute,
    what: Happening,
    name: String,
) -> Result<Morning, String> {
    let options = Options::default();
    let began = steps::done();
    let repaired = repair(day, chart, at, &[what], &options);
    let repaired = repaired.map_err(|faults| format!("{name}: {faults:?}"))?;
    let answered = steps::done();
    let mended = mended(day, chart, repaired, None, &options, &mut Watch::nobody());
    let mended = mended.map_err(|_| format!("{name}: a fix was taken that nobody asked for"))?;
    let (repair, fixes) = (answered - began, steps::done() - answered);
    Ok(Morning { name, repair, fixes, cut_short: mended.fixes.cut_short })
}
