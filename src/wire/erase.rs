//! A person out of a text: out of a scenario, which stays whole, and out of any other JSON, where a
//! blank token takes the place of every id and label so that counts still add up.

mod places;

use crate::wire::pretty::pretty;
use crate::wire::scenario::{Scenario, slug};
use places::{ALONE, LISTS, comes_in, is_one_of, is_person, named, stands};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// Who is to be taken out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Person {
    /// A child, by id.
    Child(String),
    /// An adult, by id.
    Adult(String),
}

impl Person {
    fn id(&self) -> &str {
        match self {
            Person::Child(id) | Person::Adult(id) => id,
        }
    }

    /// The list of a scenario or chart in which the person stands.
    fn list(&self) -> &'static str {
        match self {
            Person::Child(_) => "children",
            Person::Adult(_) => "adults",
        }
    }
}

/// A person who is to be taken out, by every name that the person ever had.
#[derive(Clone, Debug)]
pub struct Leaver {
    person: Person,
    token: String,
    ids: BTreeSet<String>,
    labels: BTreeSet<String>,
    /// Label and id of everybody else.
    others: BTreeSet<(String, String)>,
    known: bool,
    /// Whether the id is somebody's of the other kind now.
    taken: bool,
}

impl Leaver {
    /// A person of a site, as far as its facts go, and the blank token. Whoever has the same id and is
    /// an adult where a child is meant, or the other way round, is somebody else.
    #[must_use]
    pub fn new(person: Person, scenario: &Scenario, token: &str) -> Leaver {
        let id = person.id().to_owned();
        let mut leaver = Leaver {
            ids: BTreeSet::from([id.clone()]),
            person,
            token: token.to_owned(),
            labels: BTreeSet::new(),
            others: BTreeSet::new(),
            known: false,
            taken: false,
        };
        let child = matches!(leaver.person, Person::Child(_));
        let children = scenario.site.children.iter().map(|c| (child, &c.id, &c.label));
        let adults = scenario.site.adults.iter().map(|a| (!child, &a.id, &a.label));
        for (own_kind, other, label) in children.chain(adults) {
            if own_kind && *other == id {
                leaver.is_called(other, label);
            } else {
                leaver.taken |= *other == id;
                leaver.other_is_called(other, label);
            }
        }
        leaver
    }

    /// Adds a name that the person had. An id that is somebody else's now stays with that one.
    pub fn is_called(&mut self, id: &str, label: &str) {
        self.known = true;
        if self.others.iter().all(|(_, other)| other != id) {
            self.ids.insert(id.to_owned());
        }
        self.labels.insert(label.to_owned());
    }

    /// Adds a name that somebody else has, or had.
    pub fn other_is_called(&mut self, id: &str, label: &str) {
        self.others.insert((label.to_owned(), id.to_owned()));
    }

    /// Looks for the person in a chart that is kept: somebody who came in for a morning stands in no
    /// site's facts.
    pub fn seek(&mut self, chart: &str) {
        let here = |id: &String| chart.contains(id.as_str());
        if !self.ids.iter().any(here) {
            return;
        }
        if let Ok(value) = serde_json::from_str::<Value>(chart) {
            let list = value.get(self.person.list()).and_then(Value::as_array);
            let here = |person: &Value| is_person(person, &self.ids, &BTreeSet::new());
            if !list.is_some_and(|list| list.iter().any(here)) {
                return;
            }
            self.known = true;
            named(&value, &self.ids, "", &mut self.labels);
        }
    }

    /// Whether anything about the person is kept, and the id is nobody else's.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.known && !self.taken
    }

    /// A scenario's text without the person and without what refers to the person. What cannot do
    /// without (an own adult, a settling-in) keeps its reference, and reading the text reports it.
    #[must_use]
    pub fn document(&self, document: &str, scenario: &Scenario) -> Option<String> {
        let mut document: Value = serde_json::from_str(document).ok()?;
        let ids: Vec<&String> = match self.person {
            Person::Child(_) => scenario.site.children.iter().map(|child| &child.id).collect(),
            Person::Adult(_) => scenario.site.adults.iter().map(|adult| &adult.id).collect(),
        };
        let list = document.get_mut(self.person.list()).and_then(Value::as_array_mut);
        if let (Some(at), Some(list)) = (ids.iter().position(|id| *id == self.person.id()), list)
            && at < list.len()
        {
            // An id that comes of the place in the list would be another one afterwards.
            for (item, id) in list.iter_mut().zip(&ids) {
                let label = item.get("label").and_then(Value::as_str).unwrap_or_default();
                if item.get("id").is_none_or(Value::is_null) && slug(label) != **id {
                    item["id"] = id.as_str().into();
                }
            }
            list.remove(at);
        }
        self.ids.iter().for_each(|id| drop_references(&mut document, id));
        let labels = self.labels_in(&document);
        self.in_prose(&mut document, &labels, "");
        Some(pretty(&document))
    }

    /// Any JSON text with the token in place of the person; `None` when the person is not in it.
    /// `beside` is a text that goes with it and may say what the person is called there.
    #[must_use]
    pub fn other(&self, text: &str, beside: &str) -> Option<String> {
        let mut value: Value = serde_json::from_str(text).ok()?;
        let before = value.clone();
        let mut labels = self.labels_in(&value);
        named(&value, &self.ids, "", &mut labels);
        if let Ok(beside) = serde_json::from_str::<Value>(beside) {
            named(&beside, &self.ids, "", &mut labels);
        }
        self.put_token(&mut value, &labels, "");
        self.in_prose(&mut value, &labels, "");
        (value != before).then(|| value.to_string())
    }

    /// Words of somebody's own with the token in place of the person.
    #[must_use]
    pub fn words(&self, text: &str) -> String {
        self.replaced(text, &self.labels)
    }

    /// The labels that mean this person in a text: not those of somebody else who is in it while the
    /// person is not.
    fn labels_in(&self, value: &Value) -> BTreeSet<String> {
        let here = stands(value, &self.ids, "");
        let other = |label: &String| {
            let bearers = self.others.iter().filter(|(other, _)| other == label);
            let bearers: BTreeSet<String> = bearers.map(|(_, id)| id.clone()).collect();
            !bearers.is_empty() && stands(value, &bearers, "")
        };
        self.labels.iter().filter(|label| here || !other(label)).cloned().collect()
    }

    /// Replaces ids where ids of people stand; whatever describes the person goes with it.
    fn put_token(&self, value: &mut Value, labels: &BTreeSet<String>, under: &str) {
        let people = LISTS.contains(&under);
        match value {
            Value::Array(items) => {
                for item in items {
                    if people && is_one_of(item, &self.ids) {
                        *item = self.token.as_str().into();
                    } else if (people || comes_in(item)) && is_person(item, &self.ids, labels) {
                        blank(item, &self.token);
                    }
                    self.put_token(item, labels, under);
                }
            }
            Value::Object(fields) => {
                if people && fields.keys().any(|key| self.ids.contains(key)) {
                    let renamed = std::mem::take(fields).into_iter().map(|(key, value)| {
                        (if self.ids.contains(&key) { self.token.clone() } else { key }, value)
                    });
                    *fields = renamed.collect::<Map<String, Value>>();
                }
                for (name, field) in fields.iter_mut() {
                    if ALONE.contains(&name.as_str()) && is_one_of(field, &self.ids) {
                        *field = self.token.as_str().into();
                    }
                    self.put_token(field, labels, name);
                }
            }
            _ => {}
        }
    }

    /// Replaces labels and ids where they stand as words in texts.
    fn in_prose(&self, value: &mut Value, labels: &BTreeSet<String>, under: &str) {
        match value {
            Value::String(text) if !NAMES.contains(&under) && !LISTS.contains(&under) => {
                *text = self.replaced(text, labels);
            }
            Value::Array(items) => {
                items.iter_mut().for_each(|item| self.in_prose(item, labels, under));
            }
            Value::Object(fields) => {
                // Somebody else may have the same label.
                let person = LISTS.contains(&under);
                let label = fields.get("label").and_then(Value::as_str).filter(|_| !person);
                if let Some(label) = label.filter(|label| self.replaced(label, labels) != **label)
                    && fields.get("id").is_none_or(Value::is_null)
                {
                    // What is named after the person keeps the id that others know it by.
                    fields.insert("id".into(), slug(label).into());
                }
                for (name, field) in fields.iter_mut() {
                    if name != "label" || !person {
                        self.in_prose(field, labels, name);
                    }
                }
            }
            _ => {}
        }
    }

    /// A text with the token for every label, longest first, and every id that stands in it as a word.
    fn replaced(&self, text: &str, labels: &BTreeSet<String>) -> String {
        let mut labels: Vec<&String> = labels.iter().collect();
        labels.sort_by_key(|label| std::cmp::Reverse(label.len()));
        let ids = self.ids.iter().filter(|id| *id != text);
        let words = labels.into_iter().chain(ids);
        words.fold(text.to_owned(), |text, word| words_replaced(&text, word, &self.token))
    }
}

/// Takes an id out of lists, out of objects that are keyed by people, and drops what is about it alone.
fn drop_references(value: &mut Value, id: &str) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(|item| drop_references(item, id)),
        Value::Object(fields) => {
            if fields.get("key_adult").is_some_and(|adult| adult == id) {
                fields.shift_remove("key_adult");
            }
            for (name, field) in fields.iter_mut() {
                match field {
                    Value::Array(items) => {
                        if LISTS.contains(&name.as_str()) {
                            items.retain(|item| item != id);
                        }
                        items.retain(|item| item.get("child").is_none_or(|child| child != id));
                    }
                    Value::Object(keyed) if LISTS.contains(&name.as_str()) => {
                        keyed.shift_remove(id);
                    }
                    _ => {}
                }
                drop_references(field, id);
            }
            if let Some(Value::Array(visits)) = fields.get_mut("visits") {
                let nobody =
                    |visit: &Value| visit["children"].as_array().is_some_and(Vec::is_empty);
                visits.retain(|visit| !nobody(visit));
            }
        }
        _ => {}
    }
}

/// Of a person in a scenario only the token stays; of one in a chart, where the person was.
fn blank(item: &mut Value, token: &str) {
    let in_scenario = ["born", "shift", "shifts"].iter().any(|name| item.get(name).is_some());
    if in_scenario {
        *item = json!({"id": token, "label": token});
        return;
    }
    if comes_in(item) {
        item["label"] = token.into();
    }
    if let Some(fields) = item.as_object_mut() {
        fields.insert("id".into(), token.into());
    }
}

/// Fields whose texts are names of things, never prose.
const NAMES: [&str; 16] = [
    "id", "kind", "space", "zone", "station", "room", "standard", "rule", "slug", "unit", "from",
    "to", "date", "site", "block", "picture",
];

/// A text with every whole-word occurrence of `word` replaced.
#[must_use]
pub fn words_replaced(text: &str, word: &str, by: &str) -> String {
    let part = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let (mut out, mut rest) = (String::new(), text);
    while let Some(at) = rest.find(word).filter(|_| !word.is_empty()) {
        let (before, after) = (&rest[..at], &rest[at + word.len()..]);
        let inside = before.chars().next_back().is_some_and(part)
            || (before.is_empty() && out.chars().next_back().is_some_and(part))
            || after.chars().next().is_some_and(part);
        out.push_str(before);
        out.push_str(if inside { word } else { by });
        rest = after;
    }
    out + rest
}
