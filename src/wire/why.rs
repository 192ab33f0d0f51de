//! Why a group is where it is, as JSON.
//!
//! `{format, group, from, to, block, at, all_the_same, others: [{stations, against, rule | aim, by,
//! unit, problem, seats, children}]}`; `all_the_same` is what could be better with the group where it
//! is, written as one of the others without stations. `against` is one of `nothing`, `better`, `aim`, `rule`, `barred`,
//! `seats` and `young`, and only what belongs to it stands beside it. A problem is written as in a
//! chart.

use super::chart::{block_word, place_json, problem_json};
use super::pretty::pretty;
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::{Against, Other, Why};
use crate::rules::AIMS;
use serde_json::{Map, Value, json};

/// The number of this shape.
pub const FORMAT: u32 = 1;

/// The answer as the text of a file.
#[must_use]
pub fn write_why(day: &Day, chart: &Chart, why: &Why) -> String {
    pretty(&why_json(day, chart, why))
}

/// The answer as JSON.
#[must_use]
pub fn why_json(day: &Day, chart: &Chart, why: &Why) -> Value {
    json!({
        "format": FORMAT,
        "group": chart.groups[why.group].id,
        "from": why.span.from.to_string(),
        "to": why.span.to.to_string(),
        "block": block_word(why.block),
        "at": place_json(day, chart, why.here),
        "all_the_same": against(day, chart, &why.all_the_same),
        "others": why.others.iter().map(|o| other(day, chart, o)).collect::<Vec<Value>>(),
    })
}

fn other(day: &Day, chart: &Chart, other: &Other) -> Value {
    let stations: Vec<&str> = other.stations.iter().map(|s| day.site[*s].id.as_str()).collect();
    let mut line = Map::new();
    line.insert("stations".into(), json!(stations));
    line.extend(against(day, chart, &other.against));
    Value::Object(line)
}

fn against(day: &Day, chart: &Chart, against: &Against) -> Map<String, Value> {
    let mut line = Map::new();
    let mut amount = |kind: &str, of: &str, by: u64| {
        let aim = AIMS.iter().find(|a| a.slug == of);
        line.insert("against".into(), json!(kind));
        line.insert(if aim.is_some() { "aim" } else { "rule" }.into(), json!(of));
        line.insert("by".into(), json!(by));
        line.insert("unit".into(), json!(aim.map_or("person-minutes", |a| a.unit)));
    };
    match against {
        Against::Nothing => drop(line.insert("against".into(), json!("nothing"))),
        Against::Young => drop(line.insert("against".into(), json!("young"))),
        Against::Seats { seats, children } => {
            line.insert("against".into(), json!("seats"));
            line.insert("seats".into(), json!(seats));
            line.insert("children".into(), json!(children));
        }
        Against::Better { of, by } => amount("better", of, *by),
        Against::Aim { of, by } => amount("aim", of, *by),
        Against::Rule { problem } | Against::Barred { problem } => {
            let kind = if matches!(against, Against::Rule { .. }) { "rule" } else { "barred" };
            line.insert("against".into(), json!(kind));
            line.insert("rule".into(), json!(problem.rule));
            line.insert("problem".into(), problem_json(day, chart, problem));
        }
    }
    line
}
