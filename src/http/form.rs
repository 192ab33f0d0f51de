//! The bodies that calls take: one table of fields that reads them and that describes them.

use crate::wire::limits::Limit;
use crate::wire::{At, Fault, decode};
use chrono::NaiveDate;
use serde_json::{Map, Value, json};

/// What a field holds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Holds {
    /// A whole scenario.
    Scenario,
    /// A chart, as `POST /v1/charts` answers it.
    Chart,
    /// Any object; the call reads it.
    Object(&'static str),
    /// A list of objects, at most so many; the call reads them.
    Objects(&'static str, Limit),
    /// A date, `YYYY-MM-DD`.
    Date,
    /// A clock time, `HH:MM`.
    Time,
    /// A clock time that ends something, up to `24:00`.
    End,
    /// An id, 1 to 80 characters.
    Id,
    /// Several ids, at most so many.
    Ids(Limit),
    /// A whole number.
    Whole(i64, i64),
}

/// One field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Field {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether it may not be left out.
    pub needed: bool,
    /// What it means.
    pub says: &'static str,
}

/// A field that may not be left out.
#[must_use]
pub const fn needed(name: &'static str, holds: Holds, says: &'static str) -> Field {
    Field { name, holds, needed: true, says }
}

/// A field that may be left out.
#[must_use]
pub const fn maybe(name: &'static str, holds: Holds, says: &'static str) -> Field {
    Field { name, holds, needed: false, says }
}

/// A body: its name in the description and its fields.
#[derive(PartialEq, Eq, Debug)]
pub struct Form {
    /// Its name.
    pub name: &'static str,
    /// Its fields.
    pub fields: &'static [Field],
}

/// A body as it was read; every field in it has been checked against its table.
#[derive(Clone, Debug, Default)]
pub struct Given(Map<String, Value>);

impl Given {
    /// A text, a date, a time or an id.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name).and_then(Value::as_str)
    }

    /// A date.
    #[must_use]
    pub fn date(&self, name: &str) -> Option<NaiveDate> {
        self.text(name).and_then(|text| text.parse().ok())
    }

    /// A number.
    #[must_use]
    pub fn number(&self, name: &str) -> Option<u64> {
        self.0.get(name).and_then(Value::as_u64)
    }

    /// Ids.
    #[must_use]
    pub fn ids(&self, name: &str) -> Option<Vec<&str>> {
        let list = self.0.get(name)?.as_array()?;
        Some(list.iter().filter_map(Value::as_str).collect())
    }

    /// Whatever stands in a field, as JSON text.
    #[must_use]
    pub fn json(&self, name: &str) -> Option<String> {
        self.0.get(name).map(Value::to_string)
    }

    /// Whether a field is given.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }
}

impl Form {
    /// Reads a body.
    ///
    /// # Errors
    /// Every fault, in the order of the text.
    pub fn read(&self, bytes: &[u8]) -> Result<Given, Vec<Fault>> {
        decode(bytes, |root| {
            let names: Vec<&'static str> = self.fields.iter().map(|f| f.name).collect();
            let object = root.object(&names)?;
            let mut given = Map::new();
            for field in self.fields {
                let at =
                    if field.needed { object.need(field.name) } else { object.get(field.name) };
                if let Some(value) = at.and_then(|at| held(&at, field.holds)) {
                    given.insert(field.name.to_owned(), value);
                }
            }
            Some(Given(given))
        })
    }

    /// The JSON Schema of the body.
    #[must_use]
    pub fn schema(&self) -> Value {
        let field = |field: &Field| {
            let mut schema = described(field.holds);
            if !field.needed {
                // `null` is the same as leaving a field out.
                schema = json!({"anyOf": [schema, {"type": "null"}]});
            }
            schema["description"] = field.says.into();
            (field.name.to_owned(), schema)
        };
        let properties: Map<String, Value> = self.fields.iter().map(field).collect();
        let needed: Vec<&str> = self.fields.iter().filter(|f| f.needed).map(|f| f.name).collect();
        let mut schema =
            json!({"type": "object", "properties": properties, "additionalProperties": false});
        if !needed.is_empty() {
            schema["required"] = json!(needed);
        }
        schema
    }
}

fn held(at: &At<'_>, holds: Holds) -> Option<Value> {
    let whole = || serde_json::from_str(&at.value().to_json()).ok();
    match holds {
        Holds::Scenario | Holds::Chart | Holds::Object(_) => {
            at.is_object()?;
            whole()
        }
        Holds::Objects(_, limit) => {
            for item in at.list(&limit)? {
                item.is_object()?;
            }
            whole()
        }
        Holds::Date => at.date().map(|date| date.to_string().into()),
        Holds::Time => at.minute().map(|minute| minute.to_string().into()),
        Holds::End => at.end_minute().map(|minute| minute.to_string().into()),
        Holds::Id => id(at).map(Value::from),
        Holds::Ids(limit) => {
            let ids: Vec<Option<&str>> = at.list(&limit)?.iter().map(id).collect();
            ids.into_iter().collect::<Option<Vec<&str>>>().map(|ids| json!(ids))
        }
        Holds::Whole(least, most) => at.whole::<i64>(least, most).map(Value::from),
    }
}

fn id<'t>(at: &At<'t>) -> Option<&'t str> {
    let text = at.text()?;
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    if text.is_empty() || text.len() > 80 || !text.chars().all(plain) {
        at.fault("this is not an id", "give 1 to 80 letters, digits, `-`, `_` or `.`");
        return None;
    }
    Some(text)
}

fn described(holds: Holds) -> Value {
    let id = json!({"type": "string", "pattern": "^[A-Za-z0-9._-]{1,80}$"});
    match holds {
        Holds::Scenario => json!({"$ref": "#/components/schemas/Scenario"}),
        Holds::Chart => json!({"$ref": "#/components/schemas/ChartGiven"}),
        Holds::Object(name) => json!({"$ref": format!("#/components/schemas/{name}")}),
        Holds::Objects(name, limit) => {
            let items = json!({"$ref": format!("#/components/schemas/{name}")});
            json!({"type": "array", "maxItems": limit.most, "items": items})
        }
        Holds::Date => json!({"type": "string", "format": "date"}),
        Holds::Time => json!({"type": "string", "pattern": "^([01][0-9]|2[0-3]):[0-5][0-9]$"}),
        Holds::End => {
            json!({"type": "string", "pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"})
        }
        Holds::Id => id,
        Holds::Ids(limit) => json!({"type": "array", "maxItems": limit.most, "items": id}),
        Holds::Whole(least, most) => json!({"type": "integer", "minimum": least, "maximum": most}),
    }
}
