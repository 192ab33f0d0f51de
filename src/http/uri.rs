//! Paths and parameters of a request, checked against what the call knows.

use super::operation::Operation;
use super::problem::{MISSING, Problem};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// The variable steps of a path. What cannot be an id, or a date, names nothing.
///
/// # Errors
/// As if there were no such thing.
pub fn steps(pattern: &'static str, path: &str) -> Result<BTreeMap<&'static str, String>, Problem> {
    let mut found = BTreeMap::new();
    for (name, step) in pattern.split('/').zip(path.split('/')) {
        let Some(name) = name.strip_prefix('{').and_then(|name| name.strip_suffix('}')) else {
            continue;
        };
        let step = decoded(step).ok_or_else(|| Problem::plain(MISSING))?;
        let known = match name {
            "date" => is_date(&step),
            _ => is_id(&step),
        };
        if !known {
            return Err(Problem::plain(MISSING));
        }
        found.insert(name, step);
    }
    Ok(found)
}

/// The parameters after the path.
///
/// # Errors
/// When one is not known or has another form.
pub fn query(operation: &Operation, text: &str) -> Result<BTreeMap<String, String>, Problem> {
    let mut found = BTreeMap::new();
    for pair in text.split('&').filter(|pair| !pair.is_empty()) {
        let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
        let (name, value) = (decoded(name).unwrap_or_default(), decoded(value));
        let Some(parameter) = operation.query.iter().find(|p| p.name == name) else {
            let known: Vec<&str> = operation.query.iter().map(|p| p.name).collect();
            let mend = match known.len() {
                0 => "leave it out: this call takes none".to_owned(),
                _ => format!("known here are {}", known.join(", ")),
            };
            return Err(Problem::parameter("query", "a parameter is not known", mend));
        };
        let value = value.filter(|value| match parameter.name {
            "limit" => value.parse::<u32>().is_ok_and(|n| (1..=200).contains(&n)),
            "date" => is_date(value),
            "before" => {
                value.len() == 32 && value.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
            }
            _ => value.chars().count() <= 80,
        });
        let Some(value) = value else {
            let mend = format!("give a value that fits {}", parameter.schema);
            return Err(Problem::parameter(parameter.name, "this value has another form", mend));
        };
        if found.insert(name, value).is_some() {
            let mend = "give it once";
            return Err(Problem::parameter(parameter.name, "this stands a second time", mend));
        }
    }
    Ok(found)
}

fn is_date(text: &str) -> bool {
    text.parse::<NaiveDate>().is_ok_and(|date| date.to_string() == text)
}

fn is_id(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    !text.is_empty() && text.len() <= 80 && text.chars().all(plain)
}

/// `%41` as `A`; `None` when it is no text.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        if *first == b'%' {
            let digits = after.get(..2).and_then(|two| std::str::from_utf8(two).ok())?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = &after[2..];
        } else {
            bytes.push(if *first == b'+' { b' ' } else { *first });
            rest = after;
        }
    }
    String::from_utf8(bytes).ok()
}
