//! Rule sets by the words that people look for them with: places in English and in their own language, cities,
//! ids and labels; and the places of which none is built in, each with the reason.

use super::foods::spelling::without_accent;
use super::{Standard, library};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::{Arc, LazyLock};

/// A place of which no rule set is built in.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// Its name.
    pub place: String,
    /// Other names of it and of its cities.
    pub names: Vec<String>,
    /// Why, as a clause without its full stop.
    pub why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Place {
    place: String,
    country: String,
    names: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Country {
    country: String,
    names: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Places {
    #[serde(rename = "about")]
    _about: String,
    places: Vec<Place>,
    countries: Vec<Country>,
    left_out: Vec<LeftOut>,
    /// Words of the trade and of sentences, which tell no rule set from another.
    said_of_all: BTreeSet<String>,
}

static PLACES: LazyLock<Places> =
    LazyLock::new(|| match serde_json::from_str(include_str!("data/places.json")) {
        Ok(places) => places,
        Err(fault) => panic!("the built-in places cannot be read: {fault}"),
    });

/// The built-in standards that fit words in any order, whole or begun, without regard to capitals and accents,
/// in the order in which they are listed. Nothing fits no words.
///
/// ```
/// use fairturn::standards::look_up;
/// let ids = |words: &str| look_up(words).iter().map(|s| s.id.clone()).collect::<Vec<_>>();
/// assert_eq!(ids("Norge"), ["norway"]);
/// assert_eq!(ids("new york"), ["new-york", "new-york-city"]);
/// assert!(ids("deutschland").is_empty());
/// ```
#[must_use]
pub fn look_up(words: &str) -> Vec<Arc<Standard>> {
    let asked = asked(words);
    library().iter().filter(|standard| fits(&asked, &known(standard))).cloned().collect()
}

/// The place of which no rule set is built in that fits words as in [`look_up`].
#[must_use]
pub fn left_out(words: &str) -> Option<&'static LeftOut> {
    let asked = asked(words);
    let names = |out: &LeftOut| words_of(out.names.iter().chain([&out.place]));
    PLACES.left_out.iter().find(|out| fits(&asked, &names(out)))
}

/// Every place of which no rule set is built in although some of its figures were at hand.
#[must_use]
pub fn all_left_out() -> &'static [LeftOut] {
    &PLACES.left_out
}

/// The words that have to fit: those of the trade only where there are no others.
fn asked(words: &str) -> Vec<String> {
    let all: Vec<String> = plain(words).split_whitespace().map(str::to_owned).collect();
    let telling: Vec<String> =
        all.iter().filter(|word| !PLACES.said_of_all.contains(*word)).cloned().collect();
    if telling.is_empty() { all } else { telling }
}

/// Two letters are a name by themselves, more may be the beginning of one.
fn fits(asked: &[String], known: &BTreeSet<String>) -> bool {
    let one = |word: &String| {
        let begun =
            |name: &String| name == word || name.starts_with(word) && word.chars().count() > 2;
        known.iter().any(begun)
    };
    !asked.is_empty() && asked.iter().all(one)
}

/// Every word by which a standard is known.
fn known(standard: &Standard) -> BTreeSet<String> {
    let of = |place: &&Place| place.place == standard.place;
    let mut said = vec![&standard.id, &standard.label, &standard.place];
    for place in PLACES.places.iter().filter(of) {
        said.extend(place.names.iter().chain([&place.country]));
        let country = PLACES.countries.iter().filter(|c| c.country == place.country);
        said.extend(country.flat_map(|c| &c.names));
    }
    words_of(said)
}

fn words_of<'a>(texts: impl IntoIterator<Item = &'a String>) -> BTreeSet<String> {
    let plain: Vec<String> = texts.into_iter().map(|text| plain(text)).collect();
    plain.iter().flat_map(|text| text.split_whitespace()).map(str::to_owned).collect()
}

/// Small letters without accents, and blanks for whatever is no letter or digit.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            'ā' => plain.push('a'),
            'č' | 'ć' => plain.push('c'),
            'ē' => plain.push('e'),
            'ī' => plain.push('i'),
            'ō' => plain.push('o'),
            'š' => plain.push('s'),
            'ū' => plain.push('u'),
            'ý' | 'ÿ' => plain.push('y'),
            'ž' => plain.push('z'),
            'æ' => plain.push_str("ae"),
            'œ' => plain.push_str("oe"),
            'ß' => plain.push_str("ss"),
            // Marks that stand after their letter, and an apostrophe inside a word.
            '\u{300}'..='\u{36f}' | '\'' | '’' => {}
            letter if letter.is_alphanumeric() => plain.push(without_accent(letter)),
            _ => plain.push(' '),
        }
    }
    plain
}
