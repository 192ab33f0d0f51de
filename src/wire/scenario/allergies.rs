//! Whether words for allergies, foods and materials are what somebody meant: a slip in one of them
//! would have to be asked about all day.

use super::reader::Reader;
use crate::day::materials::{BY_ITS_NAME, materials, with_groups};
use crate::day::{DayFacts, Offer};
use crate::site::{Site, Station};
use crate::standards::foods::{Meeting, is_known, meeting, spellings, unknown_in};
use crate::wire::fault::nearest_within;
use crate::wire::{At, tree::Value};

/// Shorter words are taken for a slip of another only where a letter is too many or too few, or two
/// have changed places: so many real words differ in one letter.
const SHORT: usize = 5;

/// Shorter words are never taken for a slip of a word that differs in two letters.
const LONG: usize = 8;

/// Reports each word that nothing else in the text bears out and that looks like a slip of another,
/// and notes the allergies that nothing here is said to cause, and the foods that labels tell of.
pub(super) fn check(reader: &Reader<'_>) {
    let allergies = of_list(&reader.root.at, "children", "allergies");
    let mut named = of_list(&reader.root.at, "stations", "allergens");
    for day in listed(&reader.root.at, "days") {
        named.extend(of_list(&day, "offers", "allergens"));
    }
    for (at, word) in &named {
        slip(at, word, &allergies);
    }
    for (at, word) in &allergies {
        let caused = |material: &str| meeting(material, word) == Meeting::Yes;
        let here = reader.site.stations.iter().flat_map(|station| &station.allergens);
        if !slip(at, word, &named)
            && !here.clone().any(|material| caused(material))
            && !named.iter().any(|(_, material)| caused(material))
            && !is_known(word)
        {
            let words = format!("nothing here is said to have `{word}` in it");
            reader.assume(at, words);
        }
    }
    let stations = reader.stations.items().iter().zip(&reader.site.stations);
    for (at, station) in stations {
        by_names(reader, at, station, None, &[]);
    }
}

/// Notes the foods that the activities of a date tell of.
pub(super) fn offers(reader: &Reader<'_>, site: &Site, facts: &DayFacts, item: &At<'_>) {
    let items = item.peek("offers").map(|at| at.items()).unwrap_or_default();
    if items.len() != facts.offers.len() {
        return;
    }
    for (offer, at) in facts.offers.iter().zip(items) {
        let station = &site[offer.station];
        by_names(reader, &at, station, Some(offer), &materials(station, None));
    }
}

/// Notes the foods that nobody named and that a label or the name of an activity tells of.
fn by_names(
    reader: &Reader<'_>,
    at: &At<'_>,
    station: &Station,
    offer: Option<&Offer>,
    noted: &[String],
) {
    let words = materials(station, offer);
    let name = offer.map_or(&station.label, |offer| &offer.activity);
    for word in words.iter().filter(|word| !noted.contains(word)) {
        if let Some(food) = word.strip_suffix(BY_ITS_NAME) {
            let what = with_groups(food);
            let words = "until `allergens` say what is in it";
            reader.assume(at, format!("{name} has in it what its name says ({what}), {words}"));
        }
    }
}

/// Whether a word is a slip of another, which is then reported.
fn slip(at: &At<'_>, word: &str, others: &[(At<'_>, String)]) -> bool {
    let borne_out =
        |other: &str| meeting(other, word) == Meeting::Yes || meeting(word, other) == Meeting::Yes;
    if is_known(word) || others.iter().any(|(_, other)| borne_out(other)) {
        return false;
    }
    let others: Vec<&str> = others.iter().map(|(_, other)| other.as_str()).collect();
    let mut words: Vec<&str> = spellings().collect();
    words.extend(&others);
    let whole = near(word, &others).map(str::to_owned);
    let in_part = || {
        unknown_in(word).into_iter().find_map(|part| {
            let meant = near(&part, &words)?;
            Some(word.to_lowercase().replace(&part, meant))
        })
    };
    let Some(meant) = whole.or_else(in_part) else { return false };
    at.fault(
        format!("`{word}` is not known as a cause of allergy, and nothing else here has it"),
        format!("did you mean `{meant}`? If not, write it in more words"),
    );
    true
}

/// The word that another one is a slip of, most likely.
fn near<'w>(word: &str, known: &[&'w str]) -> Option<&'w str> {
    let letters = |text: &str| text.chars().count();
    let sorted = |text: &str| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.sort_unstable();
        letters
    };
    let alike = |other: &&str| {
        let apart = letters(word).abs_diff(letters(other));
        let first = word.chars().next() == other.chars().next();
        first && (letters(word) >= SHORT || apart == 1 || sorted(word) == sorted(other))
    };
    let most = if letters(word) >= LONG { 2 } else { 1 };
    nearest_within(word, most, known.iter().copied().filter(|other| alike(other)))
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
