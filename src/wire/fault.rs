//! What is wrong with an input, where, and what to do about it.

use super::limits::{FAULTS, figure};
use std::cell::{Cell, RefCell};
use std::fmt;

/// One fault in an input.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Fault {
    /// Line in the text, from 1.
    pub line: u32,
    /// Column in the line, in characters, from 1.
    pub column: u32,
    /// JSON pointer (RFC 6901) of the value; `""` is the whole text.
    pub pointer: String,
    /// What is wrong.
    pub cause: String,
    /// What to do.
    pub mend: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Fault { line, column, cause, mend, .. } = self;
        write!(f, "line {line}, column {column}")?;
        if !self.pointer.is_empty() {
            write!(f, " ({})", shorten(&self.pointer, 120))?;
        }
        write!(f, ": {cause}; {mend}")
    }
}

/// A text of the input, short and plain enough to repeat in a message.
pub(super) fn shorten(text: &str, most: usize) -> String {
    let plain = |c: char| if c.is_control() { '?' } else { c };
    if text.chars().count() <= most {
        return text.chars().map(plain).collect();
    }
    text.chars().map(plain).take(most - 1).chain(['…']).collect()
}

/// Where faults are collected while reading goes on. Who has more than [`FAULTS`] has sent something
/// else than was asked for: the others are counted.
#[derive(Debug, Default)]
pub struct Faults {
    kept: RefCell<Vec<Fault>>,
    others: Cell<usize>,
}

impl Faults {
    /// Adds a fault; beyond [`FAULTS`] it is only counted.
    pub fn add(&self, fault: Fault) {
        let mut kept = self.kept.borrow_mut();
        if kept.len() < FAULTS {
            kept.push(fault);
        } else {
            self.pass_over();
        }
    }

    /// Counts a fault that is not told by itself.
    pub fn pass_over(&self) {
        self.others.set(self.others.get() + 1);
    }

    /// Whether so many were found that more are not kept.
    #[must_use]
    pub fn full(&self) -> bool {
        self.count() >= FAULTS
    }

    /// How many faults were found so far.
    #[must_use]
    pub fn count(&self) -> usize {
        self.kept.borrow().len()
    }

    /// Whether there is a fault at a place.
    #[must_use]
    pub fn has(&self, line: u32, column: u32) -> bool {
        self.kept.borrow().iter().any(|fault| (fault.line, fault.column) == (line, column))
    }

    /// All faults, in the order of the text, each once; the last one says how many more there are.
    #[must_use]
    pub fn into_sorted(self) -> Vec<Fault> {
        let mut kept = self.kept.into_inner();
        kept.sort();
        kept.dedup();
        if let (others @ 1.., Some(last)) = (self.others.get(), kept.last()) {
            let cause = format!("there are {} faults more", figure(others));
            let more = Fault { cause, mend: "mend these first".into(), ..last.clone() };
            kept.push(Fault { pointer: String::new(), ..more });
        }
        kept
    }
}

/// The known name that `given` most likely meant, if any is near enough: at most a third of its
/// letters differ, one and many taken alike.
#[must_use]
pub fn nearest<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = (plain(given).chars().count() / 3).max(1);
    nearest_within(given, most, known)
}

/// The known name that `given` most likely meant, if at most so many of its letters differ.
pub(super) fn nearest_within<'a>(
    given: &str,
    most: usize,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let given = plain(given);
    if !(1..=64).contains(&given.chars().count()) {
        return None;
    }
    let near = known.into_iter().map(|name| (edits(&given, &plain(name)), name));
    near.min_by_key(|(edits, _)| *edits).filter(|(edits, _)| *edits <= most).map(|(_, name)| name)
}

fn plain(text: &str) -> String {
    one(&text.to_lowercase().replace(['-', ' '], "_"))
}

/// A word for many as the word for one: `allergies` is `allergy`.
fn one(word: &str) -> String {
    match word.strip_suffix("ies") {
        Some(start) => format!("{start}y"),
        None => word.strip_suffix('s').unwrap_or(word).to_owned(),
    }
}

/// Letters to insert, leave out, replace or swap with the next to get from one text to the other.
fn edits(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            rows[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let changed = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                let plain = changed.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
                if swapped { plain.min(rows[i - 2][j - 2] + 1) } else { plain }
            };
        }
    }
    rows[a.len()][b.len()]
}
