//! JSON that a person can read and edit: whatever fits on a line stands on one.

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

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_fits_stands_on_one_line_and_nothing_is_lost() {
        let stay = json!({"from": "09:00", "to": "09:15", "at": {"kind": "station", "id": "sand"}});
        let value = json!({"empty": [], "text": "a \"word\"", "stays": vec![stay; 3]});
        let text = pretty(&value);
        assert_eq!(text.lines().count(), 9, "{text}");
        assert_eq!(serde_json::from_str::<Value>(&text).expect("JSON again"), value);
    }
}
