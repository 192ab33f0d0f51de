//! What is claimed of each pass of a model, for whoever checks it with a solver of their own.

use super::pretty::pretty;
use crate::day::Day;
use crate::planner::{Pass, Passes};
use serde_json::{Value, json};

/// The passes as JSON: `slug`, the chart's `value`, the `bound` that was shown (the value is claimed
/// to be the least when they are equal), and the `file` of a pass that takes solving as `file` names
/// it (`null` where each choice's cheapest option reaches the value). In each file, what an earlier
/// pass costs is held at its value.
#[must_use]
pub fn write_passes(day: &Day, passes: &Passes, file: impl Fn(&str) -> String) -> String {
    let pass = |pass: &Pass| {
        json!({
            "slug": pass.slug,
            "value": pass.value,
            "bound": pass.bound,
            "file": if pass.trivial { Value::Null } else { json!(file(pass.slug)) },
        })
    };
    pretty(&json!({
        "format": 1,
        "room": day.site[day.room].id,
        "date": day.date.to_string(),
        "seed": passes.seed,
        "passes": passes.passes.iter().map(pass).collect::<Vec<Value>>(),
    }))
}
