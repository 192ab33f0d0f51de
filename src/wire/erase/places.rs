//! Where people stand in JSON texts: in which fields, and by which of their names.

use crate::wire::scenario::slug;
use serde_json::Value;
use std::collections::BTreeSet;

/// Fields that hold ids of people, in lists or alone.
pub(super) const LISTS: [&str; 10] = [
    "children",
    "adults",
    "keep_with",
    "keep_apart",
    "stand_ins",
    "all_but",
    "must_do",
    "who",
    "people",
    "in_rooms",
];
pub(super) const ALONE: [&str; 8] =
    ["child", "adult", "for_child", "covers", "key_adult", "with", "own_adult", "person"];

/// Whether this is one of the ids.
pub(super) fn is_one_of(value: &Value, ids: &BTreeSet<String>) -> bool {
    value.as_str().is_some_and(|text| ids.contains(text))
}

/// Whether this is what is said about somebody who comes in for a while.
pub(super) fn comes_in(item: &Value) -> bool {
    item.get("what").is_some_and(|what| what == "extra_adult")
}

/// Whether somebody of these ids stands in a text, other than as a word.
pub(super) fn stands(value: &Value, ids: &BTreeSet<String>, under: &str) -> bool {
    let people = LISTS.contains(&under);
    match value {
        Value::Array(items) => items.iter().any(|item| {
            let here = people && is_one_of(item, ids);
            let told = (people || comes_in(item)) && is_person(item, ids, &BTreeSet::new());
            here || told || stands(item, ids, under)
        }),
        Value::Object(fields) => fields.iter().any(|(name, field)| {
            let keyed = people && ids.contains(name);
            let alone = ALONE.contains(&name.as_str()) && is_one_of(field, ids);
            keyed || alone || stands(field, ids, name)
        }),
        _ => false,
    }
}

/// Collects the labels that a text itself gives to somebody of these ids.
pub(super) fn named(
    value: &Value,
    ids: &BTreeSet<String>,
    under: &str,
    labels: &mut BTreeSet<String>,
) {
    let people = LISTS.contains(&under);
    match value {
        Value::Array(items) => {
            for item in items {
                if (people || comes_in(item)) && is_person(item, ids, &BTreeSet::new()) {
                    labels.extend(item.get("label").and_then(Value::as_str).map(str::to_owned));
                }
                named(item, ids, under, labels);
            }
        }
        Value::Object(fields) => {
            fields.iter().for_each(|(name, field)| named(field, ids, name, labels));
        }
        _ => {}
    }
}

/// Whether an entry of a list of people is this person; the id may be left to be made of the label.
pub(super) fn is_person(item: &Value, ids: &BTreeSet<String>, labels: &BTreeSet<String>) -> bool {
    let label = item.get("label").and_then(Value::as_str);
    match item.get("id").filter(|id| !id.is_null()) {
        Some(told) => is_one_of(told, ids),
        None => label.is_some_and(|told| labels.contains(told) || ids.contains(&slug(told))),
    }
}
