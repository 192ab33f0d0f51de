//! Slips of the pen.

use fairturn::wire::nearest;

#[test]
fn a_typing_slip_finds_its_name() {
    let known = ["keep_apart", "keep_with", "label", "born"];
    assert_eq!(nearest("keep-apart", known), Some("keep_apart"));
    assert_eq!(nearest("keep_wiht", known), Some("keep_with"));
    assert_eq!(nearest("bron", known), Some("born"));
    assert_eq!(nearest("wheels", known), None);
    assert_eq!(nearest("", known), None);
}
