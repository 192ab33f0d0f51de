//! Ids that the user chose, and the references to them.

use crate::wire::limits::{ID, Limit};
use crate::wire::{At, Object, tree::Value};
use std::collections::BTreeMap;

/// The ids of one kind of thing, by position.
pub(super) struct Ids<'t> {
    /// What one of them is called.
    kind: &'static str,
    ids: Vec<String>,
    /// The first position of each id.
    positions: BTreeMap<String, usize>,
    /// Where each stands in the text; nothing for what was taken by default.
    items: Vec<At<'t>>,
}

impl<'t> Ids<'t> {
    /// Collects the ids of a list before its items are read, so that references can point forward.
    /// An item without an `id` gets one made of its label, or of its preset.
    pub fn collect(root: &Object<'t>, list: &Limit, kind: &'static str) -> Ids<'t> {
        let items = root.list(list);
        let mut ids: Vec<String> = Vec::new();
        let mut positions: BTreeMap<String, usize> = BTreeMap::new();
        for (i, item) in items.iter().enumerate() {
            let given = item.peek("id").filter(|at| matches!(at.value(), Value::Text(_)));
            let named = ["label", "preset"].iter().find_map(|name| text(item.peek(name)?.value()));
            let id = match &given {
                Some(at) => text(at.value()).filter(|id| plain(at, id)).map(str::to_string),
                None => named.map(slug).filter(|id| !id.is_empty()),
            };
            if let Some(id) = &id
                && let Some(first) = positions.get(id)
            {
                let list = list.field;
                given.as_ref().unwrap_or(item).fault(
                    format!("a {kind} with the id `{id}` stands already at /{list}/{first}"),
                    "give each its own `id`",
                );
            }
            let id = id.unwrap_or_else(|| format!("{kind}-{}", i + 1));
            positions.entry(id.clone()).or_insert(i);
            ids.push(id);
        }
        Ids { kind, ids, positions, items }
    }

    /// Adds one that stands nowhere in the text, and answers its position.
    pub fn push(&mut self, id: &str) -> usize {
        let mut free = id.to_string();
        while self.has(&free) {
            free.push('-');
        }
        self.positions.insert(free.clone(), self.ids.len());
        self.ids.push(free);
        self.ids.len() - 1
    }

    /// Whether one of them has an id.
    pub fn has(&self, id: &str) -> bool {
        self.positions.contains_key(id)
    }

    /// How many there are, defaults included.
    pub fn len(&self) -> usize {
        self.ids.len()
    }

    /// The id at a position.
    pub fn id(&self, at: usize) -> String {
        self.ids[at].clone()
    }

    /// What stands in the text, in order.
    pub fn items(&self) -> &[At<'t>] {
        &self.items
    }

    /// The item at a position, if it stands in the text.
    pub fn item(&self, at: usize) -> Option<&At<'t>> {
        self.items.get(at)
    }

    /// The position of the id that is written here.
    pub fn find(&self, at: &At<'_>) -> Option<usize> {
        self.named(at.text()?, at)
    }

    /// The position of an id that stands here, if only as the name of a member.
    pub fn named(&self, id: &str, at: &At<'_>) -> Option<usize> {
        let found = self.positions.get(id).copied();
        if found.is_none() {
            at.unknown_as(self.kind, id, self.ids.iter().map(String::as_str));
        }
        found
    }

    /// The position of the id in a field; `None` where the field is left out or wrong.
    pub fn field(&self, object: &Object<'_>, name: &str) -> Option<usize> {
        object.get(name).and_then(|at| self.find(&at))
    }

    /// The positions of a list of ids, each once.
    pub fn list(&self, object: &Object<'_>, limit: &Limit) -> Vec<usize> {
        let (mut found, mut known) = (Vec::new(), vec![false; self.ids.len()]);
        for at in object.list(limit) {
            match self.find(&at) {
                Some(i) if std::mem::replace(&mut known[i], true) => {
                    at.fault("this is listed twice", "name it once");
                }
                Some(i) => found.push(i),
                None => {}
            }
        }
        found
    }
}

/// Refuses an id that could not be typed on a command line or stand in a table.
fn plain(at: &At<'_>, id: &str) -> bool {
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let good = (1..=ID).contains(&id.chars().count()) && id.chars().all(fits);
    if !good {
        at.fault(
            "this id is empty, too long, or holds a space or sign",
            format!("give 1 to {ID} letters, digits, hyphens, underscores or dots"),
        );
    }
    good
}

/// The id of a thing that nothing refers to before it is read: as given, else made of its label.
pub(super) fn own_id(object: &Object<'_>, label: &str) -> String {
    let given = object.get("id").and_then(|at| at.text().filter(|id| plain(&at, id)));
    given.map_or_else(|| slug(label), str::to_string)
}

/// An id made of a label: `Water table` gives `water-table`.
pub(crate) fn slug(label: &str) -> String {
    let mut slug = String::new();
    for c in label.chars() {
        if c.is_alphanumeric() {
            slug.extend(c.to_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.chars().take(ID).collect::<String>().trim_end_matches('-').to_string()
}

fn text(value: &Value) -> Option<&str> {
    if let Value::Text(text) = value { Some(text) } else { None }
}
