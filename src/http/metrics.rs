//! What is counted, in the text form that Prometheus reads. Routes, never paths: no id of anybody.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Upper edges of the durations, in milliseconds.
const EDGES: [u64; 10] = [1, 5, 10, 50, 100, 500, 1_000, 5_000, 15_000, 60_000];

/// Requests by what they were and how they ended, and how long they took.
#[derive(Debug, Default)]
pub struct Metrics {
    requests: Mutex<BTreeMap<(&'static str, &'static str, u16), u64>>,
    durations: Mutex<BTreeMap<&'static str, Durations>>,
}

#[derive(Debug, Default)]
struct Durations {
    within: [u64; EDGES.len()],
    count: u64,
    micros: u64,
}

impl Metrics {
    /// Counts a request.
    pub fn count(&self, method: &'static str, route: &'static str, status: u16, took: Duration) {
        let mut requests = self.requests.lock().unwrap_or_else(PoisonError::into_inner);
        *requests.entry((method, route, status)).or_default() += 1;
        drop(requests);
        let mut durations = self.durations.lock().unwrap_or_else(PoisonError::into_inner);
        let of = durations.entry(route).or_default();
        let millis = u64::try_from(took.as_millis()).unwrap_or(u64::MAX);
        for (at, edge) in EDGES.iter().enumerate() {
            of.within[at] += u64::from(millis < *edge);
        }
        of.count += 1;
        of.micros = of.micros.saturating_add(u64::try_from(took.as_micros()).unwrap_or(u64::MAX));
    }

    /// Everything as text; `now` are figures of this moment: name, what it is, value.
    #[must_use]
    pub fn text(&self, now: &[(&str, &str, i64)]) -> String {
        let mut out = String::from(
            "# HELP fairturn_requests_total Requests answered.\n# TYPE fairturn_requests_total counter\n",
        );
        let requests = self.requests.lock().unwrap_or_else(PoisonError::into_inner);
        for ((method, route, status), count) in requests.iter() {
            let labels = format!("method=\"{method}\",route=\"{route}\",status=\"{status}\"");
            let _ = writeln!(out, "fairturn_requests_total{{{labels}}} {count}");
        }
        drop(requests);
        out.push_str(
            "# HELP fairturn_request_seconds How long requests took.\n\
             # TYPE fairturn_request_seconds histogram\n",
        );
        let durations = self.durations.lock().unwrap_or_else(PoisonError::into_inner);
        for (route, of) in durations.iter() {
            let name = "fairturn_request_seconds";
            for (edge, within) in EDGES.iter().zip(of.within) {
                let edge = seconds(*edge * 1_000);
                let _ = writeln!(out, "{name}_bucket{{route=\"{route}\",le=\"{edge}\"}} {within}");
            }
            let _ = writeln!(out, "{name}_bucket{{route=\"{route}\",le=\"+Inf\"}} {}", of.count);
            let _ = writeln!(out, "{name}_sum{{route=\"{route}\"}} {}", seconds(of.micros));
            let _ = writeln!(out, "{name}_count{{route=\"{route}\"}} {}", of.count);
        }
        for (name, says, value) in now {
            let _ = writeln!(out, "# HELP {name} {says}\n# TYPE {name} gauge\n{name} {value}");
        }
        out
    }
}

/// Microseconds as seconds, exactly.
fn seconds(micros: u64) -> String {
    let text = format!("{}.{:06}", micros / 1_000_000, micros % 1_000_000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
