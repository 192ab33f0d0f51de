//! Widths, wrapping and columns of plain text.

use super::WIDTH;
pub(super) use crate::say::{capital, counted, list};

/// Text that is being put together, line by line.
#[derive(Default)]
pub(super) struct Page {
    lines: Vec<String>,
}

impl Page {
    /// One line as it is; blanks at its end are dropped.
    pub fn line(&mut self, text: &str) {
        self.lines.push(text.trim_end().to_owned());
    }

    /// An empty line, unless the page is empty or ends with one.
    pub fn gap(&mut self) {
        if self.lines.last().is_some_and(|line| !line.is_empty()) {
            self.lines.push(String::new());
        }
    }

    /// A heading, after an empty line.
    pub fn heading(&mut self, text: &str) {
        self.gap();
        self.line(text);
    }

    /// Text after `start`, wrapped; the following lines hang below the text.
    pub fn wrapped(&mut self, start: &str, text: &str) {
        let hang = width(start);
        for (at, line) in wrap(text, WIDTH.saturating_sub(hang).max(20)).iter().enumerate() {
            let before = if at == 0 { start.to_owned() } else { " ".repeat(hang) };
            self.line(&(before + line));
        }
    }

    /// A paragraph whose following lines hang by two.
    pub fn hanging(&mut self, text: &str) {
        let first = wrap(text, WIDTH).swap_remove(0);
        self.line(&first);
        let rest: Vec<&str> = text.split_whitespace().skip(first.split(' ').count()).collect();
        if !rest.is_empty() {
            self.wrapped("  ", &rest.join(" "));
        }
    }

    /// Items after one another behind `start`, as many on a line as it holds; only one that is longer
    /// than a line is broken.
    pub fn flow(&mut self, start: &str, items: &[String]) {
        let room = WIDTH.saturating_sub(width(start)).max(20);
        let mut lines: Vec<String> = Vec::new();
        for item in items {
            match lines.last_mut() {
                Some(line) if width(line) + 2 + width(item) <= room => {
                    *line = format!("{line}; {item}");
                }
                _ => lines.push(item.clone()),
            }
        }
        let blank = " ".repeat(width(start));
        for (n, line) in lines.iter().enumerate() {
            self.wrapped(if n == 0 { start } else { &blank }, line);
        }
    }

    /// The text, ending with a line break.
    pub fn into_text(mut self) -> String {
        while self.lines.last().is_some_and(String::is_empty) {
            self.lines.pop();
        }
        self.lines.join("\n") + "\n"
    }
}

/// Columns that a text takes on a terminal.
#[must_use]
pub fn width(text: &str) -> usize {
    text.chars().map(char_width).sum()
}

fn char_width(c: char) -> usize {
    match u32::from(c) {
        0x0300..=0x036F | 0x200B..=0x200F | 0x20D0..=0x20FF | 0xFE00..=0xFE0F => 0,
        0x1100..=0x115F
        | 0x2E80..=0xA4CF
        | 0xAC00..=0xD7A3
        | 0xF900..=0xFAFF
        | 0xFE30..=0xFE6F
        | 0xFF00..=0xFF60
        | 0xFFE0..=0xFFE6
        | 0x1F300..=0x1FAFF
        | 0x20000..=0x3FFFD => 2,
        _ => 1,
    }
}

/// Fills a text up with blanks to a width.
#[must_use]
pub fn pad(text: &str, to: usize) -> String {
    text.to_owned() + &" ".repeat(to.saturating_sub(width(text)))
}

/// Breaks a text between words into lines of at most `most` columns; only a word that is wider by
/// itself is cut.
#[must_use]
pub fn wrap(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut used = 0;
    for word in text.split_whitespace().flat_map(|word| cut(word, most)) {
        let wide = width(&word);
        if used > 0 && used + 1 + wide > most {
            lines.push(String::new());
            used = 0;
        }
        let line = lines.last_mut().expect("starts with a line");
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(&word);
        used += wide;
    }
    lines
}

fn cut(word: &str, most: usize) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut used = 0;
    for c in word.chars() {
        let wide = char_width(c);
        if used > 0 && used + wide > most {
            parts.push(String::new());
            used = 0;
        }
        parts.last_mut().expect("starts with a part").push(c);
        used += wide;
    }
    parts
}

/// Lays cells of several lines side by side: each row is as high as its highest cell.
pub(super) fn side_by_side(cells: &[Vec<String>], widths: &[usize], between: &str) -> Vec<String> {
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|at| {
            let parts: Vec<String> = cells
                .iter()
                .zip(widths)
                .map(|(cell, wide)| pad(cell.get(at).map_or("", String::as_str), *wide))
                .collect();
            parts.join(between)
        })
        .collect()
}
