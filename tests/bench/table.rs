//! What is printed.

use crate::ours::Day;
use crate::repairs::{Repair, WHAT_IFS};
use std::fmt::Write as _;
use std::time::Duration;

/// Times below count as so much: nobody notices, and no clock is that good.
const NOTHING: Duration = Duration::from_millis(20);

fn milliseconds(time: Duration) -> String {
    format!("{:.1}", time.as_secs_f64() * 1_000.0)
}

/// A time of ours as a multiple of the other's.
fn ratio(day: &Day, ours: Time) -> Option<f64> {
    let other = day.highs.as_ref()?.time.max(NOTHING);
    Some(ours(day).max(NOTHING).as_secs_f64() / other.as_secs_f64())
}

/// A time of a day.
type Time = fn(&Day) -> Duration;

/// Geometric mean and worst of the ratios.
fn ratios(days: &[&Day], ours: Time) -> String {
    let ratios: Vec<f64> = days.iter().filter_map(|d| ratio(d, ours)).collect();
    let logs: f64 = ratios.iter().map(|r| libm::log(*r)).sum();
    let mean = libm::exp(logs / ratios.len() as f64);
    format!("{mean:.2}, {:.1}", ratios.iter().copied().fold(0.0, f64::max))
}

/// One day on one line.
pub fn each(day: &Day) -> String {
    let staff = if day.short_staffed { "short-staffed" } else { "as planned" };
    let open = day.open.map_or("certified".into(), |b| {
        format!("open from {}: {} of at least {}", b.slug, b.value, b.bound)
    });
    let mut line = format!(
        "day {:3}, {staff:13}: chart {} ms, {} passes in {} ms (proof {} ms), {open}",
        day.seed,
        milliseconds(day.chart),
        day.solved,
        milliseconds(day.certified),
        milliseconds(day.proof),
    );
    if let Some(other) = &day.highs {
        let _ = write!(line, "; HiGHS {} ms", milliseconds(other.time));
        if other.capped > 0 {
            let _ = write!(line, ", {} at the cap", other.capped);
        }
        if !other.disagrees.is_empty() {
            let _ = write!(line, ", DISAGREES on {}", other.disagrees.join(", "));
        }
    }
    line
}

/// A figure of some of the days.
type Figure = fn(&[&Day]) -> String;

const FIGURES: [(&str, Figure); 15] = [
    ("days", |days| days.len().to_string()),
    ("chart, ms: median", |days| milliseconds(at(days, |d| d.chart, 50))),
    ("chart, ms: worst", |days| milliseconds(at(days, |d| d.chart, 100))),
    ("certified day, ms: median", |days| milliseconds(at(days, |d| d.certified, 50))),
    ("certified day, ms: worst", |days| milliseconds(at(days, |d| d.certified, 100))),
    ("proof alone, ms: median", |days| milliseconds(at(days, |d| d.proof, 50))),
    ("passes that take solving", |days| days.iter().map(|d| d.solved).sum::<usize>().to_string()),
    ("days certified to the last aim", |days| {
        days.iter().filter(|d| d.open.is_none()).count().to_string()
    }),
    ("peak memory, MiB", |days| {
        let most = days.iter().filter_map(|d| d.peak_kib).max();
        most.map_or("-".into(), |kib| format!("{:.0}", kib as f64 / 1_024.0))
    }),
    ("HiGHS, ms: median", |days| with_other(days, |d| milliseconds(at(d, others, 50)))),
    ("HiGHS, ms: worst", |days| with_other(days, |d| milliseconds(at(d, others, 100)))),
    ("HiGHS, passes at the cap", |days| {
        with_other(days, |d| {
            d.iter().flat_map(|d| &d.highs).map(|o| o.capped).sum::<usize>().to_string()
        })
    }),
    ("certified day / HiGHS: geometric mean, worst", |days| {
        with_other(days, |d| ratios(d, |day| day.certified))
    }),
    ("proof alone / HiGHS: geometric mean, worst", |days| {
        with_other(days, |d| ratios(d, |day| day.proof))
    }),
    ("days slower than HiGHS", |days| {
        with_other(days, |d| {
            let slower = d.iter().filter(|d| ratio(d, |day| day.certified) > Some(1.0));
            slower.count().to_string()
        })
    }),
];

fn others(day: &Day) -> Duration {
    day.highs.as_ref().map_or(Duration::ZERO, |o| o.time)
}

fn with_other(days: &[&Day], figure: impl Fn(&[&Day]) -> String) -> String {
    match days.iter().all(|d| d.highs.is_some()) && !days.is_empty() {
        true => figure(days),
        false => "-".into(),
    }
}

/// The time that so many in a hundred do not exceed.
fn at(days: &[&Day], time: impl Fn(&Day) -> Duration, percent: usize) -> Duration {
    let mut times: Vec<Duration> = days.iter().map(|d| time(d)).collect();
    times.sort_unstable();
    let last = times.len().saturating_sub(1);
    times.get(last * percent / 100).copied().unwrap_or_default()
}

/// The table over all days, in Markdown.
pub fn whole(days: &[Day]) -> String {
    let all: Vec<&Day> = days.iter().collect();
    let (short, others): (Vec<&Day>, Vec<&Day>) = days.iter().partition(|d| d.short_staffed);
    let mut text = String::from("| | all | short-staffed | others |\n| --- | --- | --- | --- |\n");
    for (name, figure) in FIGURES {
        let cells = [&all, &short, &others].map(|days| figure(days));
        let _ = writeln!(text, "| {name} | {} |", cells.join(" | "));
    }
    let wrong = days.iter().filter(|d| d.highs.as_ref().is_some_and(|o| !o.disagrees.is_empty()));
    wrong.for_each(|day| text += &format!("{}\n", each(day)));
    text
}

/// Geometric mean and worst.
fn mean_and_worst(ratios: &[f64]) -> String {
    let logs: f64 = ratios.iter().map(|r| libm::log(*r)).sum();
    let mean = libm::exp(logs / ratios.len().max(1) as f64);
    format!("{mean:.2}, {:.2}", ratios.iter().copied().fold(0.0, f64::max))
}

fn as_multiple(one: Duration, other: Duration) -> f64 {
    one.as_secs_f64() / other.as_secs_f64().max(1e-6)
}

/// One repair on one line.
pub fn each_repair(repair: &Repair) -> String {
    let mut line = format!(
        "day {:3}: made {} ms, repaired {} ms",
        repair.seed,
        milliseconds(repair.made),
        milliseconds(repair.repaired),
    );
    if let (Some((time, tried)), Some(twenty)) = (repair.what_ifs, repair.twenty()) {
        let _ = write!(
            line,
            ", {} fixes by {tried} what-ifs in {} ms ({WHAT_IFS}: {} ms)",
            repair.offered,
            milliseconds(time),
            milliseconds(twenty),
        );
    }
    line + "; " + &repair.answer
}

/// The table of repairs, in Markdown.
pub fn repairs(all: &[Repair]) -> String {
    let broken: Vec<&Repair> = all.iter().filter(|r| r.broken).collect();
    let safe: Vec<&Repair> = all.iter().filter(|r| !r.broken).collect();
    let to_make = |days: &[&Repair]| -> String {
        let ratios: Vec<f64> = days.iter().map(|r| as_multiple(r.repaired, r.made)).collect();
        mean_and_worst(&ratios)
    };
    let twenty: Vec<f64> =
        broken.iter().filter_map(|r| Some(as_multiple(r.twenty()?, r.repaired))).collect();
    let whole: Vec<f64> =
        broken.iter().filter_map(|r| Some(as_multiple(r.what_ifs?.0, r.made))).collect();
    let mut text = String::from(
        "\n| repairs: geometric mean, worst | safe after it | a rule broken |\n| --- | --- | --- |\n",
    );
    let _ = writeln!(text, "| days | {} | {} |", safe.len(), broken.len());
    let _ =
        writeln!(text, "| repair / making the day | {} | {} |", to_make(&safe), to_make(&broken));
    let _ = writeln!(text, "| {WHAT_IFS} what-ifs / repair | - | {} |", mean_and_worst(&twenty));
    let _ = writeln!(
        text,
        "| all that would mend it / making the day | - | {} |",
        mean_and_worst(&whole)
    );
    text
}
