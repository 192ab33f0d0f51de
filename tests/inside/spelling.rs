//! One and many, accents and hyphens.

use fairturn::standards::foods::spelling::{phrase, tokens};

#[test]
fn one_and_many_hyphens_accents_and_capitals_are_alike() {
    for (many, one) in [
        ("Berries", "berry"),
        ("cookies", "COOKIE"),
        ("pies", "pie"),
        ("loaves", "loaf"),
        ("olives", "olive"),
        ("tomatoes", "tomato"),
        ("peaches", "peach"),
        ("quiches", "quiche"),
        ("mousses", "mousse"),
        ("octopuses", "octopus"),
        ("  Egg-Whites ", "egg white"),
        ("hen's eggs", "hens' egg"),
        ("crème fraîche", "creme fraiche"),
    ] {
        assert_eq!(phrase(many), phrase(one), "{many} and {one}");
    }
    for (a, b) in [("hummus", "hum"), ("cress", "cres"), ("oat", "oak")] {
        assert_ne!(phrase(a), phrase(b), "{a} and {b}");
    }
}

#[test]
fn a_comma_ends_what_was_said() {
    let plain: Vec<String> = tokens("egg free, flour").into_iter().map(|t| t.plain).collect();
    assert_eq!(plain, ["egg", "free", "", "flour"]);
}
