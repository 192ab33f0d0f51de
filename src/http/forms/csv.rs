//! Tables as comma-separated values (RFC 4180), one row for each stay, post or ratio line.

use serde_json::Value;

/// Every stay and post of a chart.
#[must_use]
pub fn chart(chart: &Value) -> String {
    let mut out = String::new();
    row(
        &mut out,
        [
            "date",
            "who",
            "id",
            "from",
            "to",
            "space",
            "at",
            "at_id",
            "zone",
            "state",
            "counts",
            "for_child",
            "covers",
        ],
    );
    let date = text(chart, "date");
    for (who, list, inner) in [("child", "children", "stays"), ("adult", "adults", "posts")] {
        for person in items(chart, list) {
            for line in items(person, inner) {
                let at = &line["at"];
                row(
                    &mut out,
                    [
                        date,
                        who,
                        text(person, "id"),
                        text(line, "from"),
                        text(line, "to"),
                        text(line, "space"),
                        text(at, "kind"),
                        text(at, "id"),
                        text(line, "zone"),
                        text(line, "state"),
                        line["counts"].as_bool().map_or("", |c| if c { "yes" } else { "no" }),
                        text(line, "for_child"),
                        text(line, "covers"),
                    ],
                );
            }
        }
    }
    out
}

/// Every line of ratio records.
#[must_use]
pub fn ratio(rooms: &[(String, Value)]) -> String {
    let mut out = String::new();
    row(
        &mut out,
        ["room", "from", "to", "space", "standard", "children", "asleep", "needed", "present"],
    );
    for (room, lines) in rooms {
        for line in lines.as_array().into_iter().flatten() {
            let heads = |band: &Value| band["children"].as_u64().unwrap_or(0);
            let children: u64 = items(line, "by_band").iter().map(heads).sum();
            let figure = |name: &str| line[name].as_u64().unwrap_or(0).to_string();
            row(
                &mut out,
                [
                    room.as_str(),
                    text(line, "from"),
                    text(line, "to"),
                    text(line, "space"),
                    text(line, "standard"),
                    &children.to_string(),
                    &figure("asleep"),
                    &figure("needed"),
                    &figure("present"),
                ],
            );
        }
    }
    out
}

fn text<'v>(value: &'v Value, name: &str) -> &'v str {
    value[name].as_str().unwrap_or("")
}

fn items<'v>(value: &'v Value, name: &str) -> &'v [Value] {
    value[name].as_array().map_or(&[], Vec::as_slice)
}

fn row<const N: usize>(out: &mut String, cells: [&str; N]) {
    for (at, cell) in cells.iter().enumerate() {
        if at > 0 {
            out.push(',');
        }
        // A spreadsheet takes a cell that starts like a formula for one.
        let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
        if formula || cell.contains(['"', ',', '\n', '\r']) {
            let quote = if formula { "'" } else { "" };
            out.push_str(&format!("\"{quote}{}\"", cell.replace('"', "\"\"")));
        } else {
            out.push_str(cell);
        }
    }
    out.push_str("\r\n");
}
