//! What is built in, as JSON lists: standards with their sources, rules and aims.

use super::pretty::pretty;
use crate::rules::{AIMS, RULES};
use crate::standards::breaks::{self, BreakRule};
use crate::standards::{Edge, Ratio, Source, Standard, Tag, data_file, library, nearest};
use serde_json::{Map, Value, json};
use std::sync::Arc;

/// Every built-in standard in the order of the library: id, title, place, edition, the least sure
/// tag of its ratios, the mixed-age method, bands and sources.
#[must_use]
pub fn standards() -> String {
    found(library())
}

/// Some of the standards, each as in the list of all.
#[must_use]
pub fn found(standards: &[Arc<Standard>]) -> String {
    pretty(&Value::Array(standards.iter().map(|s| Value::Object(entry(s))).collect()))
}

/// All of one standard: what the list says of it, every figure with its source and tag, what is
/// from memory, the staff breaks, and the rest of its data file as it is.
#[must_use]
pub fn standard(standard: &Standard) -> String {
    let mut all = entry(standard);
    let figures = standard.figures().into_iter().map(|(what, key)| {
        json!({ "what": what, "source": key, "tag": standard.source(key).map(|s| tag(s.tag)) })
    });
    all.insert("figures".into(), figures.collect());
    all.insert("from_memory".into(), json!(standard.from_memory()));
    if let Some(rule) = standard.breaks.as_deref().and_then(breaks::find) {
        all.insert("staff_breaks".into(), staff_breaks(rule));
    }
    let file = data_file(&standard.id).and_then(|text| serde_json::from_str(text).ok());
    let file: Map<String, Value> = file.unwrap_or_default();
    let (shown, mixed) = (["id", "label", "bands", "sources", "breaks"], "mixed");
    for (field, value) in file {
        if !shown.contains(&field.as_str()) && field != mixed && !all.contains_key(&field) {
            all.insert(field, value);
        }
    }
    pretty(&Value::Object(all))
}

/// A site's own limits: which built-in standard is nearest to them by figures, and where it differs.
#[must_use]
pub fn limits(limits: &Standard) -> String {
    let near = nearest(limits).map(|near| {
        let differs = near.differs.iter().map(|(from, below, own, its)| {
            json!({ "from_months": from, "below_months": below, "here": ratio(own), "there": ratio(its) })
        });
        let differs: Vec<Value> = differs.collect();
        json!({ "id": near.standard.id, "title": near.standard.label, "differs": differs })
    });
    pretty(&json!({ "id": limits.id, "title": limits.label, "nearest": near }))
}

/// The rules, worst first, and the aims, most wanted first.
#[must_use]
pub fn rules() -> String {
    let rules: Vec<Value> =
        RULES.iter().map(|r| json!({ "slug": r.slug, "says": r.says })).collect();
    let aims: Vec<Value> =
        AIMS.iter().map(|a| json!({ "slug": a.slug, "says": a.says, "unit": a.unit })).collect();
    pretty(&json!({ "rules": rules, "aims": aims }))
}

fn entry(standard: &Standard) -> Map<String, Value> {
    let file = data_file(&standard.id).and_then(|text| serde_json::from_str(text).ok());
    let mut method: Map<String, Value> =
        file.and_then(|file: Value| file.get("mixed")?.as_object().cloned()).unwrap_or_default();
    let name = method.shift_remove("method").unwrap_or_default();
    let mut entry = Map::new();
    let mut put = |field: &str, value: Value| {
        entry.insert(field.to_owned(), value);
    };
    put("id", json!(standard.id));
    put("title", json!(standard.label));
    put("place", json!(standard.place));
    put("edition", json!(standard.edition_words()));
    put("as_read", json!(standard.as_read));
    put("replaced_by", json!(standard.replaced_by));
    put("tag", json!(tag(standard.tag())));
    put("method", name);
    put("method_detail", Value::Object(method));
    put("bands", bands(standard));
    let sources = standard.sources.iter().map(|(key, s)| (key.clone(), source(s)));
    put("sources", Value::Object(sources.collect()));
    entry
}

fn bands(standard: &Standard) -> Value {
    let mut from = 0;
    let mut bands = Vec::new();
    for band in &standard.bands {
        let below = band.until.map(Edge::about_months);
        let size_source = band.class_size_source.as_ref().unwrap_or(&band.source);
        let mut line = json!({
            "id": band.id,
            "label": band.label,
            "from_months": from,
            "below_months": below,
            "ratio": ratio(&band.ratio),
            "source": band.source,
        });
        match band.until {
            Some(Edge::MonthsAndTheDay(_)) => line["until"] = json!("the day itself included"),
            Some(Edge::CutDate { birthday, month, day }) => {
                line["until"] = json!({ "birthday": birthday, "month": month, "day": day });
            }
            Some(Edge::DayOfYear { years, month, day }) => {
                line["until"] = json!({ "in_year_of_birthday": years, "month": month, "day": day });
            }
            Some(Edge::Months(_)) | None => {}
        }
        if let Some(outdoors) = &band.ratio_outdoors {
            line["ratio_outdoors"] = ratio(outdoors);
        }
        if let Some(size) = band.class_size {
            line["class_size"] = json!({ "children": size, "source": size_source });
        }
        from = below.unwrap_or(from);
        bands.push(line);
    }
    Value::Array(bands)
}

/// Adults to children as an exact fraction; a table of steps as its steps.
fn ratio(ratio: &Ratio) -> Value {
    match ratio {
        Ratio::PerAdult(each) => json!(format!("1/{each}")),
        Ratio::Pair { adults, children } => json!(format!("{adults}/{children}")),
        Ratio::Steps { up_to, then_each } => {
            let steps = up_to
                .iter()
                .map(|(children, adults)| json!({ "up_to": children, "adults": adults }));
            json!({ "steps": steps.collect::<Vec<_>>(), "then": format!("1/{then_each}") })
        }
    }
}

fn staff_breaks(rule: &BreakRule) -> Value {
    let meals: Vec<Value> = rule
        .meals
        .iter()
        .map(|meal| {
            json!({
                "over": meal.over,
                "minutes": meal.minutes,
                "begin_before": meal.begin_before,
                "waivable_up_to": meal.waivable_up_to,
                "source": source(&meal.source),
            })
        })
        .collect();
    let rests = rule.rests.as_ref().map(|rest| {
        json!({
            "every": rest.every,
            "minutes": rest.minutes,
            "major_fraction": rest.major_fraction,
            "none_under": rest.none_under,
            "longest_without": rest.longest_without,
            "source": source(&rest.source),
        })
    });
    json!({ "id": rule.id, "title": rule.label, "meals": meals, "rests": rests })
}

fn source(source: &Source) -> Value {
    json!({ "document": source.document, "tag": tag(source.tag) })
}

/// A tag as the data files write it.
fn tag(tag: Tag) -> &'static str {
    match tag {
        Tag::Verified => "verified",
        Tag::Secondary => "secondary",
        Tag::Memory => "memory",
        Tag::Derived => "derived",
        Tag::CommonPractice => "common_practice",
    }
}
