//! Shipped scenarios with bytes lost, changed, doubled or moved: an answer or faults, never a panic.

use super::shipped::scenarios;
use fairturn::site::RoomIndex;
use fairturn::wire::scenario::read;

/// Reads a text and opens every day of what it says.
fn try_it(text: &[u8]) -> bool {
    match read(text) {
        Ok(scenario) => {
            for facts in &scenario.days {
                for room in (0..scenario.site.rooms.len()).map(RoomIndex) {
                    let _ = scenario.open(room, facts.date);
                }
            }
            true
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "whoever refuses a text says why");
            for pair in faults.windows(2) {
                let place = |i: usize| (pair[i].line, pair[i].column);
                assert!(place(0) <= place(1), "faults stand in the order of the text");
            }
            assert!(faults.iter().all(|f| f.line > 0 && f.column > 0 && !f.cause.is_empty()));
            false
        }
    }
}

/// Every so many bytes, a prime, so that all kinds of places are met.
const STEP: usize = 23;

#[test]
fn a_byte_lost_changed_or_doubled_never_panics() {
    for (name, text) in scenarios() {
        for at in (0..text.len()).step_by(STEP) {
            let mut lost = text.clone();
            lost.remove(at);
            try_it(&lost);
            let mut doubled = text.clone();
            doubled.insert(at, text[at]);
            try_it(&doubled);
            for byte in [b'"', b'{', b']', b'9', b'-', b',', 0, 0xFF] {
                let mut changed = text.clone();
                changed[at] = byte;
                try_it(&changed);
            }
        }
        assert!(try_it(&text), "{name} itself is sound");
    }
}

#[test]
fn a_text_cut_short_anywhere_is_refused() {
    for (name, text) in scenarios() {
        let whole = text.trim_ascii_end().len();
        for end in (0..whole).step_by(STEP) {
            assert!(!try_it(&text[..end]), "{name} cut at {end}");
        }
    }
}

/// Every value of the text, one after the other, replaced by another one.
#[test]
fn any_value_may_be_of_any_kind() {
    for (_, text) in scenarios() {
        let text = String::from_utf8(text).expect("UTF-8");
        let starts: Vec<usize> = text.match_indices(": ").map(|(at, _)| at + 2).collect();
        for start in starts.into_iter().step_by(5) {
            let rest = &text[start..];
            let end = match rest.as_bytes().first() {
                Some(b'"') => rest[1..].find('"').map_or(rest.len(), |at| at + 2),
                _ => rest.find([',', '}', ']', '\n']).unwrap_or(rest.len()),
            };
            for value in
                ["null", "true", "-1", "65536", "1e9", "[]", "{}", "\"\"", "\"24:00\"", "[[]]"]
            {
                try_it(format!("{}{value}{}", &text[..start], &rest[end..]).as_bytes());
            }
        }
    }
}

/// Lines, one after the other, left out or standing twice.
#[test]
fn a_line_lost_or_doubled_never_panics() {
    for (_, text) in scenarios() {
        let text = String::from_utf8(text).expect("UTF-8");
        let lines: Vec<&str> = text.lines().collect();
        for at in 0..lines.len() {
            let lost: Vec<&str> = [&lines[..at], &lines[at + 1..]].concat();
            try_it(lost.join("\n").as_bytes());
            let doubled: Vec<&str> = [&lines[..=at], &lines[at..]].concat();
            try_it(doubled.join("\n").as_bytes());
        }
    }
}
