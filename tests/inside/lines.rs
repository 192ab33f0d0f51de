//! Words in lines of a printed page.

use fairturn::page::text::lines::{pad, width, wrap};

#[test]
fn words_stay_whole_and_lines_keep_to_the_width() {
    let lines = wrap("blocks station by the window", 10);
    assert_eq!(lines, ["blocks", "station by", "the window"]);
    assert_eq!(wrap("grasshopperhouse", 6), ["grassh", "opperh", "ouse"]);
    assert_eq!(wrap("", 6), [""]);
}

#[test]
fn wide_and_combining_letters_are_measured_as_they_are_shown() {
    assert_eq!(width("Zoë"), 3);
    assert_eq!(width("Zoe\u{308}"), 3);
    assert_eq!(width("港の日"), 6);
    assert_eq!(pad("港", 4), "港  ");
}
