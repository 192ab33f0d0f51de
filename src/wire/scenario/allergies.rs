//! Whether words for allergies and allergens are what somebody meant: a slip in one of them would
//! send a child to what it must not touch.

use super::reader::Reader;
use crate::site::allergens::{is_known, meets, spellings};
use crate::wire::{At, nearest, tree::Value};

/// Reports each word that nothing else in the text bears out and that looks like a slip of another,
/// and notes the allergies that nothing here is said to cause.
pub(super) fn check(reader: &Reader<'_>) {
    let allergies = of_list(&reader.root.at, "children", "allergies");
    let mut allergens = of_list(&reader.root.at, "stations", "allergens");
    for day in listed(&reader.root.at, "days") {
        allergens.extend(of_list(&day, "offers", "allergens"));
    }
    for (at, word) in &allergens {
        slip(at, word, &allergies);
    }
    for (at, word) in &allergies {
        let caused = |allergen: &str| meets(allergen, word);
        let here = reader.site.stations.iter().flat_map(|station| &station.allergens);
        if !slip(at, word, &allergens)
            && !here.clone().any(|allergen| caused(allergen))
            && !allergens.iter().any(|(_, allergen)| caused(allergen))
            && !is_known(word)
        {
            let words = format!("nothing here is said to have `{word}` in it");
            reader.assume(at, words);
        }
    }
}

/// Whether a word is a slip of another, which is then reported.
fn slip(at: &At<'_>, word: &str, others: &[(At<'_>, String)]) -> bool {
    if is_known(word) || others.iter().any(|(_, other)| meets(other, word)) {
        return false;
    }
    let mut words: Vec<&str> = spellings().collect();
    words.extend(others.iter().map(|(_, other)| other.as_str()));
    let Some(near) = nearest(word, words) else { return false };
    at.fault(
        format!("`{word}` is not known as a cause of allergy, and nothing else here has it"),
        format!("did you mean `{near}`? If not, write it in more words"),
    );
    true
}

/// The texts of a list in each item of a list, with their places, as the reading takes them.
fn of_list<'t>(at: &At<'t>, list: &str, field: &str) -> Vec<(At<'t>, String)> {
    let items = listed(at, list).into_iter().flat_map(|item| listed(&item, field));
    let text = |at: At<'t>| match at.value() {
        Value::Text(text) => Some((at.clone(), text.trim().to_lowercase())),
        _ => None,
    };
    items.filter_map(text).collect()
}

fn listed<'t>(at: &At<'t>, name: &str) -> Vec<At<'t>> {
    match at.peek(name) {
        Some(list) if matches!(list.value(), Value::List(_)) => list.items(),
        _ => Vec::new(),
    }
}
