//! Makes the charts of many rooms on every core, with this code or with an older binary.

// The seconds are told, and nothing is stopped by them.
#![allow(clippy::disallowed_methods)]

use super::judge::{Outcome, Results, Table};
use super::rooms::Room;
use fairturn::day::Day;
use fairturn::planner::{Options, Plan, audit, make};
use fairturn::rules::{self, AIMS, Problem, RULES};
use fairturn::site::RoomIndex;
use fairturn::wire::chart::read_chart;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// Of so many rooms the seconds are told.
const LONGEST: usize = 12;

/// What becomes of each room with this code, in the order of the rooms.
pub fn with_this_code(rooms: &[&Room]) -> Result<Results, String> {
    results(rooms, |_, day| Ok(make(day, &Options::default())))
}

/// What became of each room with an older binary, judged by the rules and aims of this code.
pub fn with_older(binary: &Path, rooms: &[&Room]) -> Result<Results, String> {
    results(rooms, |room, day| {
        let chart = chart_of(binary, &room.text)?;
        let chart = read_chart(&chart, day).map_err(|faults| format!("its chart: {faults:?}"))?;
        Ok(audit(day, chart))
    })
}

fn results(
    rooms: &[&Room],
    plan: impl Fn(&Room, &Day) -> Result<Plan, String> + Sync,
) -> Result<Results, String> {
    let of = |room: &Room| -> Result<Outcome, String> {
        let day = room.scenario.open(RoomIndex(0), room.scenario.date);
        let day = day.map_err(|faults| format!("room {}: {faults:?}", room.name))?;
        let plan = plan(room, &day).map_err(|error| format!("room {}: {error}", room.name))?;
        Ok(outcome(room, &day, &plan))
    };
    let start = Instant::now();
    let found = on_every_core(rooms, |room| {
        let start = Instant::now();
        let outcome = of(room);
        (start.elapsed(), outcome)
    });
    let mut longest: Vec<(&str, Duration)> =
        rooms.iter().zip(&found).map(|(room, (long, _))| (room.name.as_str(), *long)).collect();
    longest.sort_by_key(|(_, long)| std::cmp::Reverse(*long));
    longest.truncate(LONGEST);
    let longest = longest.iter().map(|(name, long)| format!("{name} {:.1}", long.as_secs_f64()));
    eprintln!(
        "{} rooms on {} cores in {:.1} s, longest {}",
        rooms.len(),
        cores(),
        start.elapsed().as_secs_f64(),
        longest.collect::<Vec<_>>().join(", ")
    );
    let outcomes = found.into_iter().map(|(_, outcome)| outcome).collect::<Result<_, _>>()?;
    Ok(Results { table: table(), outcomes })
}

fn cores() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

/// What comes of each room, in the order of the rooms.
pub fn on_every_core<T: Send>(rooms: &[&Room], of: impl Fn(&Room) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let found: Mutex<Vec<(usize, T)>> = Mutex::default();
    thread::scope(|scope| {
        for _ in 0..cores().min(rooms.len()) {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(room) = rooms.get(at) else { break };
                    let one = of(room);
                    found.lock().expect("no thread has panicked").push((at, one));
                }
            });
        }
    });
    let mut found = found.into_inner().expect("no thread has panicked");
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, one)| one).collect()
}

/// The present table.
fn table() -> Table {
    Table {
        rules: RULES.iter().map(|rule| rule.slug.to_owned()).collect(),
        aims: AIMS.iter().map(|aim| aim.slug.to_owned()).collect(),
    }
}

fn outcome(room: &Room, day: &Day, plan: &Plan) -> Outcome {
    let minutes = RULES.iter().zip(rules::shortfall(&plan.problems));
    let broken = minutes.filter(|(_, minutes)| *minutes > 0);
    Outcome {
        room: room.name.clone(),
        safe: plan.safe_to_run(),
        minutes: broken.map(|(rule, minutes)| (rule.slug.to_owned(), minutes)).collect(),
        problems: plan.problems.iter().map(|problem| short(day, problem)).collect(),
        aims: plan.aims.iter().map(|aim| (aim.slug.to_owned(), aim.value)).collect(),
    }
}

/// A problem in short: rule, case, span, by how much, and who by their ids.
fn short(day: &Day, problem: &Problem) -> String {
    let Problem { rule, case, span, by, .. } = problem;
    let children = problem.children.iter().map(|child| day.site[*child].id.as_str());
    let adults = problem.adults.iter().map(|adult| day.site[*adult].id.as_str());
    let who: Vec<&str> = adults.chain(children).collect();
    format!("{rule} {case} {span} by {by}: {}", who.join(" ")).trim_end_matches([':', ' ']).into()
}

/// The chart that a binary makes of a scenario.
fn chart_of(binary: &Path, scenario: &str) -> Result<Vec<u8>, String> {
    let said = |error: std::io::Error| format!("{}: {error}", binary.display());
    let mut running = Command::new(binary)
        .args(["make", "-", "--format", "json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(said)?;
    // It reads all before it writes, so that neither waits for the other.
    let written = running.stdin.take().map(|mut input| input.write_all(scenario.as_bytes()));
    let done = running.wait_with_output().map_err(said)?;
    match (done.status.code(), written) {
        (Some(0 | 1), Some(Ok(()))) => Ok(done.stdout),
        _ => Err(format!("{}: {}", binary.display(), String::from_utf8_lossy(&done.stderr))),
    }
}
