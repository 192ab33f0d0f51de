//! JSON text to a tree that remembers where each value stands.
//!
//! Stricter than most readers: a name may stand once in an object, a number must be one that can
//! be kept exactly enough, nothing may be nested deeper than [`DEEPEST`] or have more than [`VALUES`]
//! values in it.

use super::limits::{BYTES, DEEPEST, DIGITS, VALUES, figure};
use super::{Fault, Faults};
use crate::steps::{self, Stage};
use std::collections::BTreeSet;

/// A value and where it starts.
#[derive(Clone, PartialEq, Debug)]
pub struct Node {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// The value.
    pub value: Value,
}

/// A JSON value.
#[derive(Clone, PartialEq, Debug)]
pub enum Value {
    /// `null`.
    Null,
    /// `true`, `false`.
    Truth(bool),
    /// A number without fraction or exponent.
    Whole(i64),
    /// Any other number; finite.
    Fraction(f64),
    /// A number that is too big to be kept; that has been reported.
    OutOfRange,
    /// A string, escapes resolved.
    Text(String),
    /// An array.
    List(Vec<Node>),
    /// An object: its members in the order of the text, each name once.
    Object(Vec<Member>),
}

/// A name in an object with its value.
#[derive(Clone, PartialEq, Debug)]
pub struct Member {
    /// The name, escapes resolved.
    pub name: String,
    /// Line of the name, from 1.
    pub line: u32,
    /// Column of the name in characters, from 1.
    pub column: u32,
    /// The value.
    pub node: Node,
}

/// Reads a whole text. Faults of form end the reading (`None`); a repeated name or a number out of
/// range is added to `faults` and reading goes on.
#[must_use]
pub fn read(bytes: &[u8], faults: &Faults) -> Option<Node> {
    if bytes.len() > BYTES {
        faults.add(Fault {
            line: 1,
            column: 1,
            pointer: String::new(),
            cause: format!("the text is {} bytes long, more than {BYTES}", bytes.len()),
            mend: "split it, or leave old visits out".into(),
        });
        return None;
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let (text, bad) = match std::str::from_utf8(bytes) {
        Ok(text) => (text, false),
        Err(e) => (std::str::from_utf8(&bytes[..e.valid_up_to()]).unwrap_or_default(), true),
    };
    let mut scan =
        Scan { rest: text, line: 1, column: 1, path: Vec::new(), values: 0, faults, bad };
    let read = scan.value().and_then(|node| {
        scan.space();
        if scan.rest.is_empty() && !bad {
            return Ok(node);
        }
        Err(scan.broken("something follows the end of the JSON value", "remove what follows"))
    });
    read.map_err(|fault| faults.add(fault)).ok()
}

/// One step of a JSON pointer, escaped.
pub(super) fn step(name: &str) -> String {
    format!("/{}", name.replace('~', "~0").replace('/', "~1"))
}

struct Scan<'t> {
    rest: &'t str,
    line: u32,
    column: u32,
    path: Vec<String>,
    /// Values so far.
    values: usize,
    faults: &'t Faults,
    /// The text ends where bytes begin that are not UTF-8.
    bad: bool,
}

impl Scan<'_> {
    fn peek(&self) -> Option<char> {
        self.rest.chars().next()
    }

    fn bump(&mut self) -> Option<char> {
        let mut chars = self.rest.chars();
        let next = chars.next()?;
        self.rest = chars.as_str();
        if next == '\n' {
            (self.line, self.column) = (self.line + 1, 1);
        } else {
            self.column += 1;
        }
        Some(next)
    }

    fn space(&mut self) {
        let before = self.rest.len();
        while matches!(self.peek(), Some(' ' | '\t' | '\n' | '\r')) {
            self.bump();
            if (before - self.rest.len()).is_multiple_of(1_000) {
                steps::count(Stage::Text, 10);
            }
        }
    }

    fn fault(&self, (line, column): (u32, u32), cause: &str, mend: &str) -> Fault {
        let (cause, mend, pointer) = (cause.into(), mend.into(), self.path.concat());
        Fault { line, column, pointer, cause, mend }
    }

    /// A fault of form here; where the text ends, its end is the cause.
    fn broken(&self, cause: &str, mend: &str) -> Fault {
        let here = (self.line, self.column);
        match (self.rest.is_empty(), self.bad) {
            (true, true) => self.fault(here, "a byte is not UTF-8", "save the file as UTF-8"),
            (true, false) if here == (1, 1) => {
                self.fault(here, "the text is empty", "give a JSON object: { ... }")
            }
            (true, false) => self.fault(here, "the text ends too early", "give the whole text"),
            (false, _) => self.fault(here, cause, mend),
        }
    }

    fn value(&mut self) -> Result<Node, Fault> {
        self.space();
        let (line, column) = (self.line, self.column);
        steps::count(Stage::Text, 1);
        self.values += 1;
        if self.values > VALUES {
            let cause = format!("the text has more than {} values in it", figure(VALUES));
            return Err(self.fault((line, column), &cause, "split it, or leave old visits out"));
        }
        let value = match self.peek() {
            Some('{' | '[') if self.path.len() >= DEEPEST => {
                let mend = format!("nest no deeper than {DEEPEST}");
                return Err(self.fault((line, column), "this is nested too deep", &mend));
            }
            Some('{') => self.object()?,
            Some('[') => self.list()?,
            Some('"') => Value::Text(self.text()?),
            Some('-' | '0'..='9') => self.number()?,
            Some('t') => self.word("true", Value::Truth(true))?,
            Some('f') => self.word("false", Value::Truth(false))?,
            Some('n') => self.word("null", Value::Null)?,
            _ => {
                let mend =
                    "give an object, a list, a text in double quotes, a number, true or false";
                return Err(self.broken("this is not a JSON value", mend));
            }
        };
        Ok(Node { line, column, value })
    }

    fn word(&mut self, word: &str, value: Value) -> Result<Value, Fault> {
        for letter in word.chars() {
            if self.peek() != Some(letter) {
                return Err(self.broken("this is not a JSON value", &format!("write {word}")));
            }
            self.bump();
        }
        Ok(value)
    }

    fn list(&mut self) -> Result<Value, Fault> {
        self.bump();
        let mut items = Vec::new();
        self.space();
        if self.peek() == Some(']') {
            self.bump();
            return Ok(Value::List(items));
        }
        loop {
            self.path.push(format!("/{}", items.len()));
            items.push(self.value()?);
            self.path.pop();
            self.space();
            match self.peek() {
                Some(',') => self.bump(),
                Some(']') => break,
                _ => {
                    let mend = "write a comma before the next value, or ] at the end";
                    return Err(self.broken("a list goes on without a comma", mend));
                }
            };
        }
        self.bump();
        Ok(Value::List(items))
    }

    fn object(&mut self) -> Result<Value, Fault> {
        self.bump();
        let (mut members, mut names) = (Vec::new(), BTreeSet::new());
        self.space();
        if self.peek() == Some('}') {
            self.bump();
            return Ok(Value::Object(members));
        }
        loop {
            self.space();
            let (line, column) = (self.line, self.column);
            if self.peek() != Some('"') {
                let mend = "write the name in double quotes, and no comma after the last member";
                return Err(self.broken("an object's name is missing", mend));
            }
            let name = self.text()?;
            self.space();
            if self.peek() != Some(':') {
                let mend = "write a colon between a name and its value";
                return Err(self.broken("a colon is missing", mend));
            }
            self.bump();
            self.path.push(step(&name));
            let node = self.value()?;
            if names.insert(name.clone()) {
                members.push(Member { name, line, column, node });
            } else {
                let cause = format!("`{name}` stands here a second time");
                let fault = self.fault((line, column), &cause, "keep one of the two");
                self.faults.add(fault);
            }
            self.path.pop();
            self.space();
            match self.peek() {
                Some(',') => self.bump(),
                Some('}') => break,
                _ => {
                    let mend = "write a comma before the next name, or } at the end";
                    return Err(self.broken("an object goes on without a comma", mend));
                }
            };
        }
        self.bump();
        Ok(Value::Object(members))
    }

    fn text(&mut self) -> Result<String, Fault> {
        self.bump();
        let mut text = String::new();
        loop {
            if text.len() % 1_000 == 999 {
                steps::count(Stage::Text, 10);
            }
            match self.peek() {
                Some('"') => break,
                Some('\\') => text.push(self.escape()?),
                Some(c) if c >= ' ' => {
                    text.push(c);
                    self.bump();
                }
                _ => {
                    let mend = "end the text with a double quote; write a line break as \\n";
                    return Err(self.broken("a text holds a control character", mend));
                }
            }
        }
        self.bump();
        Ok(text)
    }

    fn escape(&mut self) -> Result<char, Fault> {
        let here = (self.line, self.column);
        self.bump();
        let plain = match self.bump() {
            Some(c @ ('"' | '\\' | '/')) => Some(c),
            Some('b') => Some('\u{8}'),
            Some('f') => Some('\u{c}'),
            Some('n') => Some('\n'),
            Some('r') => Some('\r'),
            Some('t') => Some('\t'),
            Some('u') => {
                let first = self.hex()?;
                if (0xD800..0xDC00).contains(&first) && self.rest.starts_with("\\u") {
                    self.bump();
                    self.bump();
                    let second = self.hex()?;
                    let low = second.checked_sub(0xDC00).filter(|low| *low < 0x400);
                    low.and_then(|low| char::from_u32(0x10000 + ((first - 0xD800) << 10) + low))
                } else {
                    char::from_u32(first)
                }
            }
            None => return Err(self.broken("", "")),
            Some(_) => None,
        };
        plain.ok_or_else(|| {
            self.fault(here, "this escape means nothing in JSON", "write a backslash as \\\\")
        })
    }

    fn hex(&mut self) -> Result<u32, Fault> {
        let mut value = 0;
        for _ in 0..4 {
            let Some(digit) = self.peek().and_then(|c| c.to_digit(16)) else {
                return Err(
                    self.broken("this escape means nothing in JSON", "give \\u four digits")
                );
            };
            value = value * 16 + digit;
            self.bump();
        }
        Ok(value)
    }

    fn digits(&mut self) -> Result<(), Fault> {
        if !self.peek().is_some_and(|c| c.is_ascii_digit()) {
            return Err(self.broken("a digit is missing in this number", "complete the number"));
        }
        while self.peek().is_some_and(|c| c.is_ascii_digit()) {
            self.bump();
        }
        Ok(())
    }

    fn number(&mut self) -> Result<Value, Fault> {
        let (start, here) = (self.rest, (self.line, self.column));
        if self.peek() == Some('-') {
            self.bump();
        }
        let leading = self.rest.starts_with('0');
        let before = self.rest.len();
        self.digits()?;
        if leading && before - self.rest.len() > 1 {
            return Err(self.fault(here, "a number starts with 0", "leave the leading zeros out"));
        }
        let mut whole = true;
        if self.peek() == Some('.') {
            whole = false;
            self.bump();
            self.digits()?;
        }
        if matches!(self.peek(), Some('e' | 'E')) {
            whole = false;
            self.bump();
            if matches!(self.peek(), Some('+' | '-')) {
                self.bump();
            }
            self.digits()?;
        }
        let text = &start[..start.len() - self.rest.len()];
        if text.len() > DIGITS {
            let cause = format!("this number has {} signs, at most {DIGITS}", figure(text.len()));
            self.faults.add(self.fault(here, &cause, "round it"));
            return Ok(Value::OutOfRange);
        }
        let value = if whole {
            text.parse().ok().map(Value::Whole)
        } else {
            text.parse().ok().filter(|f: &f64| f.is_finite()).map(Value::Fraction)
        };
        Ok(value.unwrap_or_else(|| {
            let fault = self.fault(here, "this number is out of all range", "give a real figure");
            self.faults.add(fault);
            Value::OutOfRange
        }))
    }
}
