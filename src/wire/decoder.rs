//! From the tree to values: every step reports its fault and lets reading go on.

use super::fault::{Fault, Faults, nearest, shorten};
use super::limits::{LABEL, Limit, TEXT, figure};
use super::tree::{self, Node, Value};
use crate::steps::{self, Stage};

/// Reads a whole text with `build`, which gets the root value.
///
/// # Errors
/// Every fault, in the order of the text, if there is one.
pub fn decode<T>(bytes: &[u8], build: impl FnOnce(&At<'_>) -> Option<T>) -> Result<T, Vec<Fault>> {
    let faults = Faults::default();
    let built = tree::read(bytes, &faults).and_then(|node| {
        let root = At { node: &node, pointer: String::new(), faults: &faults };
        let built = build(&root);
        if built.is_none() && faults.count() == 0 {
            root.fault("this cannot be read", "compare it with the documented form");
        }
        built
    });
    match built {
        Some(built) if faults.count() == 0 => Ok(built),
        _ => Err(faults.into_sorted()),
    }
}

/// A value in the text. Its readers answer `None` after having reported a fault here.
#[derive(Clone, Debug)]
pub struct At<'t> {
    node: &'t Node,
    pointer: String,
    faults: &'t Faults,
}

impl<'t> At<'t> {
    /// JSON pointer of this value.
    #[must_use]
    pub fn pointer(&self) -> &str {
        &self.pointer
    }

    /// The bare value.
    #[must_use]
    pub fn value(&self) -> &'t Value {
        &self.node.value
    }

    /// Reports a fault here.
    pub fn fault(&self, cause: impl Into<String>, mend: impl Into<String>) {
        self.faults.add(Fault {
            line: self.node.line,
            column: self.node.column,
            pointer: self.pointer.clone(),
            cause: cause.into(),
            mend: mend.into(),
        });
    }

    /// A fault here that is not reported yet.
    #[must_use]
    pub fn fault_here(&self, cause: impl Into<String>, mend: impl Into<String>) -> Fault {
        let (line, column) = (self.node.line, self.node.column);
        let (cause, mend) = (cause.into(), mend.into());
        Fault { line, column, pointer: self.pointer.clone(), cause, mend }
    }

    /// Whether a fault has been reported for just this value.
    #[must_use]
    pub fn is_faulty(&self) -> bool {
        self.faults.has(self.node.line, self.node.column)
    }

    /// Reports that this is of another kind than `wanted`.
    pub fn wrong_kind<T>(&self, wanted: &str) -> Option<T> {
        let is = match &self.node.value {
            Value::OutOfRange => return None,
            Value::Null => "empty (null)",
            Value::Truth(_) => "true or false",
            Value::Whole(_) | Value::Fraction(_) => "a number",
            Value::Text(_) => "a text",
            Value::List(_) => "a list",
            Value::Object(_) => "an object",
        };
        self.fault(format!("this is {is}"), format!("give {wanted}"));
        None
    }

    /// An object that has no other fields than `known`; each other one is a fault of its own.
    #[must_use]
    pub fn object(&self, known: &[&'static str]) -> Option<Object<'t>> {
        let Value::Object(members) = &self.node.value else {
            return self.wrong_kind("an object: { ... }");
        };
        for member in members.iter().filter(|m| !known.contains(&m.name.as_str())) {
            if self.faults.full() {
                self.faults.pass_over();
                continue;
            }
            let mend = match nearest(&member.name, known.iter().copied()) {
                Some(name) => format!("did you mean `{name}`?"),
                None if known.is_empty() => "remove it".into(),
                None => format!("remove it; known here are {}", known.join(", ")),
            };
            self.faults.add(Fault {
                line: member.line,
                column: member.column,
                pointer: self.pointer.clone() + &tree::step(&member.name),
                cause: format!("`{}` is not a field of this", shorten(&member.name, 40)),
                mend,
            });
        }
        Some(Object { at: self.clone() })
    }

    /// Every member of an object whose names are chosen by the user, in the order of the text; what
    /// is beyond the limit is left out with a fault.
    #[must_use]
    pub fn members(&self, limit: &Limit) -> Option<Vec<(&'t str, At<'t>)>> {
        let Value::Object(members) = &self.node.value else {
            return self.wrong_kind("an object: { ... }");
        };
        self.within(limit, members.len());
        let members = members.iter().take(limit.most);
        let each = members.map(|m| (m.name.as_str(), self.at(&m.node, &m.name)));
        Some(each.collect())
    }

    /// Whether this is an object; a fault if it is not.
    #[must_use]
    pub fn is_object(&self) -> Option<()> {
        if matches!(self.node.value, Value::Object(_)) {
            return Some(());
        }
        self.wrong_kind("an object: { ... }")
    }

    /// The items of a list; what is beyond the limit is left out with a fault.
    #[must_use]
    pub fn list(&self, limit: &Limit) -> Option<Vec<At<'t>>> {
        let Value::List(items) = &self.node.value else {
            return self.wrong_kind("a list: [ ... ]");
        };
        self.within(limit, items.len());
        Some(self.first(limit.most))
    }

    /// Reports more entries than there may be.
    fn within(&self, limit: &Limit, count: usize) {
        if count > limit.most {
            self.fault(limit.cause(count), limit.mend);
        }
    }

    /// The items of a list; none where this is no list. Reports nothing.
    #[must_use]
    pub fn items(&self) -> Vec<At<'t>> {
        self.first(usize::MAX)
    }

    fn first(&self, most: usize) -> Vec<At<'t>> {
        let Value::List(items) = &self.node.value else { return Vec::new() };
        let items = items.iter().enumerate().take(most);
        items.map(|(i, n)| self.at(n, &i.to_string())).collect()
    }

    /// Any text that is not longer than a text may be.
    #[must_use]
    pub fn text(&self) -> Option<&'t str> {
        let Value::Text(text) = &self.node.value else { return self.wrong_kind("a text") };
        if text.len() > TEXT && text.chars().count() > TEXT {
            let (long, most) = (figure(text.chars().count()), figure(TEXT));
            self.fault(
                format!("this text has {long} characters, at most {most}"),
                "write it shorter",
            );
            return None;
        }
        Some(text)
    }

    /// A text of 1 to 120 characters that can be printed on one line.
    #[must_use]
    pub fn label(&self) -> Option<&'t str> {
        let text = self.text()?;
        let mend = || format!("give 1 to {LABEL} characters, not blank, on one line");
        if text.trim().is_empty() || text.chars().count() > LABEL {
            self.fault("this text is blank or too long", mend());
            return None;
        }
        if text.chars().any(char::is_control) {
            self.fault("this text holds a line break or another control character", mend());
            return None;
        }
        Some(text)
    }

    /// `true` or `false`.
    #[must_use]
    pub fn truth(&self) -> Option<bool> {
        let Value::Truth(truth) = self.node.value else {
            return self.wrong_kind("true or false, without quotes");
        };
        Some(truth)
    }

    /// A whole number between `least` and `most`, both allowed; fits any type that holds `most`.
    #[must_use]
    pub fn whole<T: TryFrom<i64>>(&self, least: i64, most: i64) -> Option<T> {
        let wanted = format!("a whole number from {least} to {most}");
        match self.node.value {
            Value::Whole(n) if (least..=most).contains(&n) => T::try_from(n).ok(),
            Value::Whole(n) => {
                self.fault(format!("{n} is out of range"), format!("give {wanted}"));
                None
            }
            Value::Fraction(f) => {
                self.fault(format!("{f} is not a whole number"), format!("give {wanted}"));
                None
            }
            _ => self.wrong_kind(&wanted),
        }
    }

    /// A number between `least` and `most`, both allowed.
    #[must_use]
    pub fn number(&self, least: f64, most: f64) -> Option<f64> {
        let wanted = format!("a number from {least} to {most}");
        let number = match self.node.value {
            Value::Whole(n) => n as f64,
            Value::Fraction(f) => f,
            _ => return self.wrong_kind(&wanted),
        };
        if !(least..=most).contains(&number) {
            self.fault(format!("{number} is out of range"), format!("give {wanted}"));
            return None;
        }
        Some(number)
    }

    /// One of a few words, with what each of them means.
    #[must_use]
    pub fn one_of<T: Clone>(&self, words: &[(&'static str, T)]) -> Option<T> {
        let given = self.text()?;
        if let Some((_, meaning)) = words.iter().find(|(word, _)| *word == given) {
            return Some(meaning.clone());
        }
        self.unknown(given, words.iter().map(|(word, _)| *word));
        None
    }

    /// Reports that `given` is none of `known`, with the nearest of them.
    pub fn unknown<'a>(&self, given: &str, known: impl IntoIterator<Item = &'a str>) {
        if self.faults.full() {
            return self.faults.pass_over();
        }
        self.fault(format!("`{}` is not known", shorten(given, 40)), known_ones(given, known));
    }

    /// Reports that no thing of a kind has the id `given`, with the nearest of the known ids.
    pub fn unknown_as<'a>(
        &self,
        kind: &str,
        given: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) {
        if self.faults.full() {
            return self.faults.pass_over();
        }
        let cause = format!("no {kind} has the id `{}`", shorten(given, 40));
        self.fault(cause, known_ones(given, known));
    }

    /// The value of a field, whatever this and the other fields are; reports nothing.
    #[must_use]
    pub fn peek(&self, name: &str) -> Option<At<'t>> {
        let Value::Object(members) = &self.node.value else { return None };
        let member = members.iter().find(|m| m.name == name && m.node.value != Value::Null)?;
        Some(self.at(&member.node, name))
    }

    fn at(&self, node: &'t Node, name: &str) -> At<'t> {
        steps::count(Stage::Text, 1);
        At { node, pointer: self.pointer.clone() + &tree::step(name), faults: self.faults }
    }
}

/// An object whose names have been checked.
#[derive(Clone, Debug)]
pub struct Object<'t> {
    /// The object itself, to report faults of the whole.
    pub at: At<'t>,
}

impl<'t> Object<'t> {
    /// The value of a field; `None` where it is left out or null.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<At<'t>> {
        self.at.peek(name)
    }

    /// The value of a field that may not be left out.
    pub fn need(&self, name: &str) -> Option<At<'t>> {
        let found = self.get(name);
        if found.is_none() {
            self.at.fault(format!("`{name}` is missing"), format!("add `{name}`"));
        }
        found
    }

    /// The items of a list; none where it is left out.
    #[must_use]
    pub fn list(&self, limit: &Limit) -> Vec<At<'t>> {
        self.get(limit.field).and_then(|at| at.list(limit)).unwrap_or_default()
    }

    /// What `read` makes of a field, or `or` where it is left out or wrong (which is reported).
    pub fn or<T>(&self, name: &str, or: T, read: impl FnOnce(&At<'t>) -> Option<T>) -> T {
        self.get(name).and_then(|at| read(&at)).unwrap_or(or)
    }
}

/// What to do about a word that is none of `known`.
fn known_ones<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    match nearest(given, known.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        None if known.is_empty() => "leave it out: there is none to name".into(),
        None if known.len() <= 32 => format!("give one of {}", known.join(", ")),
        None => format!("give one of the {} known ones", known.len()),
    }
}
