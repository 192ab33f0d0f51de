//! The table of foods and materials, as it is compiled in.

use super::spelling::phrase;
use crate::standards::Source;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// Something that somebody may be allergic to: a published allergen, a kind of one, or another food
/// or material.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// What it is called.
    pub name: String,
    /// Where it is published as an allergen; common practice for what is in no such list.
    pub sources: Vec<Source>,
    /// It is eaten.
    pub is_food: bool,
}

/// Position of a group in the table.
pub(super) type GroupAt = usize;

/// What a word stands for.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Food {
    /// Groups that are in it.
    pub has: Vec<GroupAt>,
    /// Groups that are in it by some recipes.
    pub may: Vec<GroupAt>,
    /// Recipes differ so much that anything else may be in it as well.
    pub varies: bool,
    /// Where a label or the name of an activity holds the word, that is in it.
    pub tells: bool,
}

/// What a phrase does in a text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Sense {
    /// A food or material.
    Food(Food),
    /// Says that something is not in it, which comes after it.
    NotBefore,
    /// Says that something is not in it, which comes before it.
    NotAfter,
    /// Says of some groups that they are not in it.
    Without(Vec<GroupAt>),
    /// After it no more is said of what is not in it.
    GoesOn,
    /// Says nothing of what is in it.
    Nothing,
}

/// The table, ready to be looked up.
pub(super) struct Table {
    pub groups: Vec<Group>,
    /// For each group the group itself and every kind of it.
    within: Vec<BTreeSet<GroupAt>>,
    /// By phrase, as it is compared.
    senses: BTreeMap<String, Sense>,
    /// Most words of a phrase.
    pub longest: usize,
    /// Phrases that say that there is nothing to tell.
    none: BTreeSet<String>,
    /// Words in a label that say that what is named is not there.
    pretend: BTreeSet<String>,
    /// Foods and materials as they are written.
    pub spellings: Vec<String>,
}

impl Table {
    pub fn sense(&self, plain: &str) -> Option<&Sense> {
        self.senses.get(plain)
    }

    pub fn is_none(&self, plain: &str) -> bool {
        self.none.contains(plain)
    }

    pub fn is_pretend(&self, plain: &str) -> bool {
        self.pretend.contains(plain)
    }

    /// Whether one of them is the other, or a kind of it.
    pub fn related(&self, one: GroupAt, other: GroupAt) -> bool {
        self.is_within(one, other) || self.is_within(other, one)
    }

    /// Whether one is the other or a kind of it.
    pub fn is_within(&self, one: GroupAt, other: GroupAt) -> bool {
        self.within[other].contains(&one)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    sources: BTreeMap<String, Source>,
    groups: Vec<GroupRow>,
    everyday: Everyday,
    reading: Reading,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GroupRow {
    name: String,
    #[serde(default = "yes")]
    food: bool,
    by: Vec<String>,
    #[serde(default)]
    kinds: Vec<String>,
    words: Vec<String>,
}

fn yes() -> bool {
    true
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Everyday {
    source: Source,
    rows: Vec<Row>,
    made_of: Vec<MadeOf>,
    /// Foods that are only themselves.
    foods: Vec<String>,
    /// Materials that are only themselves.
    materials: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(default)]
    has: Vec<String>,
    #[serde(default)]
    may: Vec<String>,
    #[serde(default)]
    varies: bool,
    /// Where it is not said: what surely has something in it does.
    #[serde(default)]
    tells: Option<bool>,
    words: Vec<String>,
}

/// `rice flour`: no flour but rice.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MadeOf {
    of: Vec<String>,
    form: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Reading {
    none: Vec<String>,
    not_before: Vec<String>,
    not_after: Vec<String>,
    claims: Vec<Claim>,
    goes_on: Vec<String>,
    pretend: Vec<String>,
    says_nothing: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Claim {
    words: Vec<String>,
    without: Vec<String>,
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let file: File =
        serde_json::from_str(include_str!("../data/foods.json")).expect("built-in foods read");
    built(&file)
});

/// The table that is compiled in.
pub(super) fn table() -> &'static Table {
    &TABLE
}

fn built(file: &File) -> Table {
    let mut groups: Vec<Group> = Vec::new();
    for row in &file.groups {
        let source = |id: &String| file.sources.get(id).expect("a source of the file").clone();
        let sources = row.by.iter().map(source).collect();
        groups.push(Group { name: row.name.clone(), sources, is_food: row.food });
    }
    for (names, is_food) in [(&file.everyday.foods, true), (&file.everyday.materials, false)] {
        let sources = vec![file.everyday.source.clone()];
        let own = |name: &String| Group { name: name.clone(), sources: sources.clone(), is_food };
        groups.extend(names.iter().map(own));
    }
    let at = |name: &String| -> GroupAt {
        let found = groups.iter().position(|g| g.name == *name);
        found.unwrap_or_else(|| panic!("foods: there is no group {name}"))
    };
    let mut kinds: Vec<Vec<GroupAt>> = vec![Vec::new(); groups.len()];
    for row in &file.groups {
        kinds[at(&row.name)] = row.kinds.iter().map(at).collect();
    }
    let within: Vec<BTreeSet<GroupAt>> = (0..groups.len()).map(|g| below(&kinds, g)).collect();
    let mut words = Words { senses: BTreeMap::new(), spellings: Vec::new() };
    for (names, tells) in [(&file.everyday.foods, true), (&file.everyday.materials, false)] {
        for name in names {
            words.add(name, &Food { has: vec![at(name)], tells, ..Food::default() });
        }
    }
    for row in &file.everyday.rows {
        let all = |names: &[String]| names.iter().map(at).collect::<Vec<GroupAt>>();
        let tells = row.tells.unwrap_or(!row.has.is_empty());
        let food = Food { has: all(&row.has), may: all(&row.may), varies: row.varies, tells };
        row.words.iter().for_each(|word| words.add(word, &food));
    }
    for row in &file.groups {
        let food = Food { has: vec![at(&row.name)], tells: true, ..Food::default() };
        // What is said of it among the everyday words holds.
        if !words.senses.contains_key(&phrase(&row.name)) {
            words.add(&row.name, &food);
        }
        row.words.iter().for_each(|word| words.add(word, &food));
    }
    for row in &file.everyday.made_of {
        row.of.iter().for_each(|of| words.add_forms(of, &row.form));
    }
    let file = &file.reading;
    let plain = |words: &[String]| words.iter().map(|w| phrase(w)).collect::<BTreeSet<String>>();
    for (list, sense) in [
        (&file.not_before, Sense::NotBefore),
        (&file.not_after, Sense::NotAfter),
        (&file.goes_on, Sense::GoesOn),
        (&file.says_nothing, Sense::Nothing),
        (&file.pretend, Sense::Nothing),
    ] {
        list.iter().for_each(|word| words.add_sense(word, sense.clone()));
    }
    for claim in &file.claims {
        let without = Sense::Without(claim.without.iter().map(at).collect());
        claim.words.iter().for_each(|word| words.add_sense(word, without.clone()));
    }
    let longest = words.senses.keys().map(|p| p.split(' ').count()).max().unwrap_or(1);
    let (none, pretend) = (plain(&file.none), plain(&file.pretend));
    Table {
        within,
        senses: words.senses,
        longest,
        none,
        pretend,
        spellings: words.spellings,
        groups: groups.clone(),
    }
}

/// A group and all kinds of it.
fn below(kinds: &[Vec<GroupAt>], group: GroupAt) -> BTreeSet<GroupAt> {
    let mut found = BTreeSet::from([group]);
    let mut open = vec![group];
    while let Some(next) = open.pop() {
        open.extend(kinds[next].iter().copied().filter(|kind| found.insert(*kind)));
    }
    found
}

struct Words {
    senses: BTreeMap<String, Sense>,
    spellings: Vec<String>,
}

impl Words {
    /// A food; a word that stands in the table twice is a fault of the file.
    fn add(&mut self, word: &str, food: &Food) {
        let before = self.senses.insert(phrase(word), Sense::Food(food.clone()));
        assert!(before.is_none(), "foods: {word} stands there twice");
        self.spellings.push(word.to_owned());
    }

    /// `rice flour` as rice; what the table says of it by name holds.
    fn add_forms(&mut self, of: &str, forms: &[String]) {
        let Some(Sense::Food(food)) = self.senses.get(&phrase(of)).cloned() else {
            panic!("foods: {of} is no food");
        };
        for form in forms {
            let word = format!("{of} {form}");
            if !self.senses.contains_key(&phrase(&word)) {
                self.add(&word, &food);
            }
        }
    }

    /// Another sense; a food stays one.
    fn add_sense(&mut self, word: &str, sense: Sense) {
        self.senses.entry(phrase(word)).or_insert(sense);
    }
}
