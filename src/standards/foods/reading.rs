//! A word or a few words read by meaning: what is in it, what is said not to be, what is not known.

use super::spelling::{Token, tokens};
use super::table::{Food, GroupAt, Sense, Table, table};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What some words say.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Reading {
    /// The words as they are compared.
    pub plain: String,
    /// Nothing is said to be in it, or to be kept from.
    pub none: bool,
    /// Groups that are named, or in what is named.
    pub has: Vec<GroupAt>,
    /// Groups that are said not to be in it.
    pub without: Vec<GroupAt>,
    /// Groups that are in some of what is named.
    pub may: Vec<GroupAt>,
    /// Anything else may be in it as well.
    pub varies: bool,
    /// Something is said not to be in it, which does not say what is.
    pub negated: bool,
    /// Words that are not known, as they were written.
    pub unknown: Vec<String>,
    /// What a label would be read for: the foods in it, as they were written.
    pub told: Vec<String>,
    /// Something in it says that what is named is only played.
    pub pretend: bool,
}

/// What the words of the table say, each by itself: most words that people write are among them.
static ALONE: LazyLock<BTreeMap<&'static str, Reading>> = LazyLock::new(|| {
    table().spellings.iter().map(|word| (word.as_str(), read_anew(word))).collect()
});

/// Reads some words.
pub(super) fn read(text: &str) -> Cow<'static, Reading> {
    match ALONE.get(text) {
        Some(reading) => Cow::Borrowed(reading),
        None => Cow::Owned(read_anew(text)),
    }
}

fn read_anew(text: &str) -> Reading {
    let table = table();
    let tokens = split(table, tokens(text));
    let plain: Vec<&str> =
        tokens.iter().map(|t| t.plain.as_str()).filter(|p| !p.is_empty()).collect();
    let plain = plain.join(" ");
    if table.is_none(&plain) {
        return Reading { plain, none: true, ..Reading::default() };
    }
    let mut reading = Reading { plain, ..Reading::default() };
    // Foods since the last comma: those that are said not to be in it when `free` follows.
    let mut so_far: Vec<Food> = Vec::new();
    let mut negating = false;
    let mut rest = &tokens[..];
    while let Some(first) = rest.first() {
        reading.pretend |= table.is_pretend(&first.plain);
        let (length, sense) = longest(table, rest);
        let raw = rest[..length].iter().map(|t| t.raw.as_str()).collect::<Vec<_>>().join(" ");
        rest = &rest[length..];
        match sense {
            _ if first.plain.is_empty() => {
                reading.take(&mut so_far);
                negating = false;
            }
            Some(Sense::GoesOn) => {
                reading.take(&mut so_far);
                negating = false;
            }
            Some(Sense::NotBefore) => {
                reading.take(&mut so_far);
                negating = true;
                reading.negated = true;
            }
            Some(Sense::NotAfter) => {
                reading.negated |= !so_far.is_empty();
                let all = so_far.drain(..).flat_map(|food| food.has.into_iter().chain(food.may));
                reading.without.extend(all);
            }
            Some(Sense::Without(groups)) => {
                reading.negated = true;
                reading.without.extend(groups);
            }
            Some(Sense::Food(food)) => {
                if food.tells {
                    reading.told.push(raw);
                }
                if negating {
                    reading.without.extend(food.has.iter().chain(&food.may));
                } else {
                    so_far.push(food.clone());
                }
            }
            Some(Sense::Nothing) => {}
            None if first.plain.starts_with(|c: char| c.is_ascii_digit()) => {}
            None => reading.unknown.push(raw),
        }
    }
    reading.take(&mut so_far);
    reading
}

impl Reading {
    /// Puts down what is in some foods.
    fn take(&mut self, foods: &mut Vec<Food>) {
        for food in foods.drain(..) {
            self.has.extend(food.has);
            self.may.extend(food.may);
            self.varies |= food.varies;
        }
    }

    /// What is surely in a material: what is named, but for what is said not to be in it.
    pub fn surely(&self, table: &Table) -> Vec<GroupAt> {
        let denied = |group: &GroupAt| self.without.iter().any(|w| table.is_within(*group, *w));
        self.has.iter().copied().filter(|group| !denied(group)).collect()
    }

    /// Everything that is spoken of, in whatever way.
    pub fn all(&self) -> impl Iterator<Item = GroupAt> + '_ {
        self.has.iter().chain(&self.may).chain(&self.without).copied()
    }
}

/// The longest phrase of the table with which some words begin, and how many of them it takes.
fn longest<'t>(table: &'t Table, words: &[Token]) -> (usize, Option<&'t Sense>) {
    let until = words.iter().position(|w| w.plain.is_empty()).unwrap_or(words.len());
    for length in (1..=until.min(table.longest)).rev() {
        let plain = words[..length].iter().map(|t| t.plain.as_str()).collect::<Vec<_>>().join(" ");
        if let Some(sense) = table.sense(&plain) {
            return (length, Some(sense));
        }
    }
    (1, None)
}

/// `eggless` and `nutfree` in two words.
fn split(table: &Table, words: Vec<Token>) -> Vec<Token> {
    let mut found = Vec::new();
    for word in words {
        let food = |start: &str| matches!(table.sense(start), Some(Sense::Food(_)));
        let start = ["free", "less"].iter().find_map(|end| word.plain.strip_suffix(end));
        match start.filter(|s| food(s) && table.sense(&word.plain).is_none()) {
            Some(start) => {
                found.push(Token { raw: word.raw.clone(), plain: start.to_owned() });
                found.push(Token { raw: String::new(), plain: "free".to_owned() });
            }
            None => found.push(word),
        }
    }
    found
}
