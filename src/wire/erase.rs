//! A person out of a text: out of a scenario, which stays whole, and out of any other JSON, where a
//! blank token takes the place of id and label so that counts still add up.

use crate::wire::pretty::pretty;
use crate::wire::scenario::Scenario;
use serde_json::{Map, Value, json};

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

    fn position(&self, scenario: &Scenario) -> Option<usize> {
        match self {
            Person::Child(id) => scenario.site.children.iter().position(|child| child.id == *id),
            Person::Adult(id) => scenario.site.adults.iter().position(|adult| adult.id == *id),
        }
    }

    /// The person's label.
    #[must_use]
    pub fn label(&self, scenario: &Scenario) -> Option<String> {
        let at = self.position(scenario)?;
        Some(match self {
            Person::Child(_) => scenario.site.children[at].label.clone(),
            Person::Adult(_) => scenario.site.adults[at].label.clone(),
        })
    }
}

/// Fields that hold ids of people, in lists or alone.
const LISTS: [&str; 9] = [
    "children",
    "adults",
    "keep_with",
    "keep_apart",
    "stand_ins",
    "all_but",
    "must_do",
    "who",
    "people",
];
const ALONE: [&str; 8] =
    ["child", "adult", "for_child", "covers", "key_adult", "with", "own_adult", "person"];

/// A scenario's text without a person and without what refers to the person. What cannot do without
/// (an own adult, a settling-in) keeps its reference, and reading the text reports it.
#[must_use]
pub fn without(
    document: &str,
    person: &Person,
    scenario: &Scenario,
    token: &str,
) -> Option<String> {
    let at = person.position(scenario)?;
    let label = person.label(scenario)?;
    let mut document: Value = serde_json::from_str(document).ok()?;
    let list = document.get_mut(person.list())?.as_array_mut()?;
    if at >= list.len() {
        return None;
    }
    list.remove(at);
    drop_references(&mut document, person.id());
    in_prose(&mut document, person.id(), &label, token, "");
    Some(pretty(&document))
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

/// Any JSON text with a token in place of a person; `None` when the person is not in it.
#[must_use]
pub fn without_in(text: &str, person: &Person, label: &str, token: &str) -> Option<String> {
    let mut value: Value = serde_json::from_str(text).ok()?;
    let before = value.clone();
    put_token(&mut value, person.id(), label, token, "");
    in_prose(&mut value, person.id(), label, token, "");
    (value != before).then(|| value.to_string())
}

/// Replaces ids where ids of people stand; whatever describes the person goes with it.
fn put_token(value: &mut Value, id: &str, label: &str, token: &str, under: &str) {
    let people = LISTS.contains(&under);
    match value {
        Value::Array(items) => {
            for item in items {
                if people && item == id {
                    *item = token.into();
                } else if people && is_person(item, id, label) {
                    blank(item, token);
                }
                put_token(item, id, label, token, under);
            }
        }
        Value::Object(fields) => {
            if people && fields.contains_key(id) {
                let renamed = std::mem::take(fields).into_iter();
                let renamed = renamed.map(|(k, v)| (if k == id { token.to_owned() } else { k }, v));
                *fields = renamed.collect::<Map<String, Value>>();
            }
            for (name, field) in fields.iter_mut() {
                if ALONE.contains(&name.as_str()) && field == id {
                    *field = token.into();
                }
                let name = name.clone();
                put_token(field, id, label, token, &name);
            }
        }
        _ => {}
    }
}

/// Whether an entry of a list of people is this person; a scenario may leave the id to be made of the label.
fn is_person(item: &Value, id: &str, label: &str) -> bool {
    match item.get("id") {
        Some(told) => told == id,
        None => item.get("label").is_some_and(|told| told == label),
    }
}

/// Of a person in a scenario only the token stays; of one in a chart, where the person was.
fn blank(item: &mut Value, token: &str) {
    let in_scenario = ["born", "shift", "shifts"].iter().any(|name| item.get(name).is_some());
    if in_scenario {
        *item = json!({"id": token, "label": token});
    } else if let Some(fields) = item.as_object_mut() {
        fields.insert("id".into(), token.into());
    }
}

/// Fields whose texts are names of things, never prose.
const NAMES: [&str; 16] = [
    "id", "kind", "space", "zone", "station", "room", "standard", "rule", "slug", "unit", "from",
    "to", "date", "site", "block", "picture",
];

/// Replaces label and id where they stand as words in texts.
fn in_prose(value: &mut Value, id: &str, label: &str, token: &str, under: &str) {
    match value {
        Value::String(text) if !NAMES.contains(&under) && !LISTS.contains(&under) => {
            let mut new = words_replaced(text, label, token);
            if text.as_str() != id {
                new = words_replaced(&new, id, token);
            }
            if new != *text {
                *text = new;
            }
        }
        Value::Array(items) => {
            items.iter_mut().for_each(|item| in_prose(item, id, label, token, under));
        }
        Value::Object(fields) => {
            for (name, field) in fields.iter_mut() {
                // Somebody else may have the same label.
                if name != "label" || !LISTS.contains(&under) {
                    let name = name.clone();
                    in_prose(field, id, label, token, &name);
                }
            }
        }
        _ => {}
    }
}

/// A text with every whole-word occurrence of `word` replaced.
fn words_replaced(text: &str, word: &str, by: &str) -> String {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_words_are_replaced_and_others_stay() {
        let text = "Ola's turn: Olaf, Ola-Marie and Ola.";
        assert_eq!(words_replaced(text, "Ola", "-"), "-'s turn: Olaf, Ola-Marie and -.");
    }

    #[test]
    fn only_places_of_people_change() {
        let person = Person::Child("art".into());
        let text = r#"{"children": [{"id": "art", "stays": [{"at": {"kind": "station", "id": "art"}}]}],
            "words": "Arthur is at art."}"#;
        let new = without_in(text, &person, "Arthur", "erased-1").expect("it is in there");
        let new: Value = serde_json::from_str(&new).expect("JSON");
        assert_eq!(new["children"][0]["id"], "erased-1");
        assert_eq!(new["children"][0]["stays"][0]["at"]["id"], "art");
        assert_eq!(new["words"], "erased-1 is at erased-1.");
        assert_eq!(without_in(r#"{"id": "art"}"#, &person, "Arthur", "x"), None);
    }
}
