//! What is in the foods and materials of a station on a date, and whom it is not for.

use super::Offer;
use crate::site::{Child, Station, list};
use crate::standards::foods::{
    Meeting, accounts_for, groups_in, is_known, is_none, is_same, meeting, told_in,
};

/// What stands behind a food that nobody named and that the label of a station, or the name of its
/// activity, tells of.
pub const BY_ITS_NAME: &str = " (by its name)";

/// The words for what is at a station on a date: those that are named, at the station and for what is
/// on offer there, and the foods that its label and the name of the activity tell of and that nothing
/// named accounts for. Each of those ends in [`BY_ITS_NAME`].
#[must_use]
pub fn materials(station: &Station, offer: Option<&Offer>) -> Vec<String> {
    let mut words = station.allergens.clone();
    for word in offer.iter().flat_map(|offer| &offer.allergens) {
        if !words.contains(word) {
            words.push(word.clone());
        }
    }
    let told = told_by_names(station, offer);
    let told = told.into_iter().filter(|food| !words.iter().any(|w| accounts_for(w, food)));
    let told: Vec<String> = told.map(|food| food + BY_ITS_NAME).collect();
    if !told.is_empty() {
        words.retain(|word| !is_none(word));
        words.extend(told);
    }
    words
}

/// The foods that the label of a station and the name of its activity tell of, each once.
fn told_by_names(station: &Station, offer: Option<&Offer>) -> Vec<String> {
    let names = [Some(&station.label), offer.map(|offer| &offer.activity)];
    let mut told: Vec<String> = Vec::new();
    for food in names.into_iter().flatten().flat_map(|name| told_in(name)) {
        if !told.contains(&food) {
            told.push(food);
        }
    }
    told
}

/// What the materials of a station, as it stands that day, mean to a child by its allergies: the
/// worst of all its words.
#[must_use]
pub fn allergy_at(station: &Station, child: &Child) -> Meeting {
    let words = station.allergens.iter();
    words.map(|word| allergy_to(word, child)).max().unwrap_or(Meeting::No)
}

/// What a word for a material means to a child by its allergies.
#[must_use]
pub fn allergy_to(word: &str, child: &Child) -> Meeting {
    child.allergies.iter().map(|a| meeting(word, a)).max().unwrap_or(Meeting::No)
}

/// What has to be asked about a station, as it stands that day, before some children may be at it, a
/// clause each: what its words are that are not known here, what is in recipes that differ, and
/// whether allergies that are not known here have to do with it.
#[must_use]
pub fn questions(station: &Station, children: &[&Child]) -> Vec<String> {
    let it = |many: usize| if many == 1 { "it" } else { "them" };
    let (known, unknown): (Vec<&str>, Vec<&str>) =
        station.allergens.iter().map(String::as_str).partition(|word| is_known(word));
    let mut asked = Vec::new();
    if !unknown.is_empty() {
        let is = if unknown.len() == 1 { "is" } else { "are" };
        let it = it(unknown.len());
        asked.push(format!("{} {is} not known here: ask what is in {it}", list(&unknown)));
    }
    let differs = |child: &&&Child| allergy_at(station, child) == Meeting::MayBe;
    let who: Vec<&Child> = children.iter().filter(differs).copied().collect();
    let maybe = |word: &&&str| who.iter().any(|c| allergy_to(word, c) == Meeting::MayBe);
    let maybe: Vec<&str> = known.iter().filter(maybe).copied().collect();
    if !maybe.is_empty() {
        let labels: Vec<&str> = who.iter().map(|c| c.label.as_str()).collect();
        let is = if who.len() == 1 { "is" } else { "are" };
        let (what, it) = (list(&maybe), it(maybe.len()));
        let who = list(&labels);
        asked.push(format!(
            "{what} may have in {it} what {who} {is} allergic to: ask what is in {it}"
        ));
    }
    for child in children {
        let strange = child.allergies.iter().map(String::as_str).filter(|a| !is_known(a));
        let strange: Vec<&str> = strange.collect();
        if !strange.is_empty() && !known.is_empty() {
            let is = if strange.len() == 1 { "is" } else { "are" };
            asked.push(format!(
                "{} is allergic to {}, which {is} not known here: ask whether {} has to do with it",
                child.label,
                list(&strange),
                list(&known)
            ));
        }
    }
    asked
}

/// A word for a material with what it stands for, where that is another word: `hummus: sesame and
/// chickpea`.
#[must_use]
pub fn with_groups(word: &str) -> String {
    let names: Vec<&str> = groups_in(word).iter().map(|group| group.name.as_str()).collect();
    match &names[..] {
        [] => word.to_owned(),
        [only] if is_same(only, word) => word.to_owned(),
        names => format!("{word}: {}", list(names)),
    }
}
