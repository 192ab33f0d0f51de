//! JSON that a person can read and edit: whatever fits on a line stands on one; and what was read as
//! JSON again.

use super::tree;
use serde_json::Value;

/// Longest line, indentation included, that is not broken up.
const LINE: usize = 160;

/// Lays a value out, ending with a line break.
#[must_use]
pub fn pretty(value: &Value) -> String {
    let mut out = String::new();
    lay_out(value, 0, 0, &mut out);
    out.push('\n');
    out
}

/// `used` is what already stands on the line before the value.
fn lay_out(value: &Value, depth: usize, used: usize, out: &mut String) {
    let line = on_one_line(value);
    let width = line.chars().count();
    match value {
        Value::Object(map) if !map.is_empty() && (depth == 0 || used + width > LINE) => {
            out.push_str("{\n");
            for (at, (key, item)) in map.iter().enumerate() {
                let key = Value::from(key.as_str()).to_string();
                indent(depth + 1, out);
                out.push_str(&key);
                out.push_str(": ");
                lay_out(item, depth + 1, 2 * (depth + 1) + key.chars().count() + 3, out);
                out.push_str(if at + 1 < map.len() { ",\n" } else { "\n" });
            }
            indent(depth, out);
            out.push('}');
        }
        Value::Array(items) if !items.is_empty() && used + width > LINE => {
            out.push_str("[\n");
            for (at, item) in items.iter().enumerate() {
                indent(depth + 1, out);
                lay_out(item, depth + 1, 2 * (depth + 1) + 1, out);
                out.push_str(if at + 1 < items.len() { ",\n" } else { "\n" });
            }
            indent(depth, out);
            out.push(']');
        }
        _ => out.push_str(&line),
    }
}

fn indent(depth: usize, out: &mut String) {
    out.extend(std::iter::repeat_n("  ", depth));
}

fn on_one_line(value: &Value) -> String {
    match value {
        Value::Object(map) => {
            let items: Vec<String> = map
                .iter()
                .map(|(key, item)| format!("{}: {}", Value::from(key.as_str()), on_one_line(item)))
                .collect();
            format!("{{{}}}", items.join(", "))
        }
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(on_one_line).collect();
            format!("[{}]", items.join(", "))
        }
        plain => plain.to_string(),
    }
}

impl tree::Value {
    /// The value as JSON text again.
    #[must_use]
    pub fn to_json(&self) -> String {
        self.plain().to_string()
    }

    fn plain(&self) -> Value {
        use tree::Value as Read;
        match self {
            Read::Null | Read::OutOfRange => Value::Null,
            Read::Truth(truth) => (*truth).into(),
            Read::Whole(n) => (*n).into(),
            Read::Fraction(f) => (*f).into(),
            Read::Text(text) => text.clone().into(),
            Read::List(items) => items.iter().map(|node| node.value.plain()).collect(),
            Read::Object(members) => {
                members.iter().map(|m| (m.name.clone(), m.node.value.plain())).collect()
            }
        }
    }
}
