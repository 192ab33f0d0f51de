//! Texts that are not JSON, or JSON that no figure can be read from.

use fairturn::wire::{At, Fault, decode};

fn whole(bytes: &[u8]) -> Vec<Fault> {
    decode(bytes, |_| Some(())).expect_err("the text is wrong")
}

fn only(bytes: &[u8]) -> (String, u32, u32, String) {
    let faults = whole(bytes);
    assert_eq!(faults.len(), 1, "{faults:?}");
    let f = faults[0].clone();
    assert!(!f.mend.is_empty() && !f.cause.is_empty());
    (f.pointer, f.line, f.column, f.cause)
}

#[track_caller]
fn check(bytes: &[u8], pointer: &str, line: u32, column: u32, cause: &str) {
    let (p, l, c, said) = only(bytes);
    assert_eq!((p.as_str(), l, c), (pointer, line, column), "{said}");
    assert!(said.contains(cause), "{said}");
}

#[test]
fn an_empty_text_is_said_to_be_empty() {
    check(b"", "", 1, 1, "empty");
    check(b"  \n ", "", 2, 2, "ends too early");
}

#[test]
fn a_text_cut_short_ends_too_early_where_it_ends() {
    check(b"{ \"a\": [1,\n  2", "/a", 2, 4, "ends too early");
    check(b"{ \"a\": \"bo", "/a", 1, 11, "ends too early");
    check(b"{ \"a\"", "", 1, 6, "ends too early");
    check(b"{ \"a\": tr", "/a", 1, 10, "ends too early");
    check(b"{ \"a\": 1e", "/a", 1, 10, "ends too early");
    check(b"[\"\\u00", "/0", 1, 7, "ends too early");
    check(b"[\"\\", "/0", 1, 4, "ends too early");
}

#[test]
fn what_is_not_json_is_said_where_it_stops_being_json() {
    check(b"rooms: 3", "", 1, 1, "not a JSON value");
    check(b"{ 'a': 1 }", "", 1, 3, "name is missing");
    check(b"{ \"a\": 1, }", "", 1, 11, "name is missing");
    check(b"{ \"a\" 1 }", "", 1, 7, "colon");
    check(b"[1 2]", "", 1, 4, "comma");
    check(b"{} {}", "", 1, 4, "follows the end");
    check(b"[007]", "/0", 1, 2, "starts with 0");
    check(b"[-]", "/0", 1, 3, "digit is missing");
    check(b"[+1]", "/0", 1, 2, "not a JSON value");
    check(b"[NaN]", "/0", 1, 2, "not a JSON value");
    check(b"[\"a\tb\"]", "/0", 1, 4, "control character");
    check(b"[\"\\x\"]", "/0", 1, 3, "escape");
    check(b"[\"\\ud800\"]", "/0", 1, 3, "escape");
    check(b"[\"\\ud800\\u0041\"]", "/0", 1, 3, "escape");
}

#[test]
fn columns_count_characters_and_pointers_are_escaped() {
    check("{ \"é~/\": [\"ü\", nix] }".as_bytes(), "/é~0~1/1", 1, 17, "not a JSON value");
}

#[test]
fn bytes_that_are_not_utf8_are_found() {
    check(b"{ \"a\": \"h\xfc\" }", "/a", 1, 10, "not UTF-8");
    check(b"\xff\xfe{", "", 1, 1, "not UTF-8");
}

#[test]
fn a_mark_of_byte_order_at_the_start_is_forgiven() {
    assert_eq!(decode(b"\xEF\xBB\xBF7", |at| at.whole::<u32>(0, 9)), Ok(7));
}

#[test]
fn nesting_is_bounded() {
    let deep = |n: usize| "[".repeat(n) + &"]".repeat(n);
    assert!(decode(deep(64).as_bytes(), |_| Some(())).is_ok());
    check(deep(65).as_bytes(), &"/0".repeat(64), 1, 65, "too deep");
    check("{\"a\":".repeat(100_000).as_bytes(), &"/a".repeat(64), 1, 321, "too deep");
}

#[test]
fn a_text_beyond_all_measure_is_refused() {
    check(&vec![b' '; 16 * 1024 * 1024 + 1], "", 1, 1, "bytes long");
}

#[test]
fn numbers_beyond_all_measure_and_repeated_names_do_not_end_the_reading() {
    let text = b"{ \"a\": 1e999,\n \"b\": 99999999999999999999,\n \"a\": 2, \"c\": { \"d\": 1, \"d\": 1 } }";
    let faults = whole(text);
    let places: Vec<_> = faults.iter().map(|f| (f.pointer.as_str(), f.line, f.column)).collect();
    assert_eq!(places, [("/a", 1, 8), ("/b", 2, 7), ("/a", 3, 2), ("/c/d", 3, 25)]);
    assert!(faults[2].cause.contains("second time"));
}

#[test]
fn escapes_are_resolved() {
    let text = r#""\"\\\/\b\f\n\r\t\u00e9\ud83d\ude00""#;
    let read = decode(text.as_bytes(), |at| at.text().map(str::to_string));
    assert_eq!(read.as_deref(), Ok("\"\\/\u{8}\u{c}\n\r\té😀"));
}

#[test]
fn a_figure_is_refused_outside_its_range_or_kind() {
    let read = |text: &str| decode(text.as_bytes(), |at| at.whole::<u8>(1, 200));
    assert_eq!(read("200"), Ok(200));
    for bad in ["0", "201", "-1", "1.5", "2.0", "1e1", "\"3\"", "null", "true", "[1]", "{}"] {
        assert_eq!(read(bad).expect_err(bad).len(), 1, "{bad}");
    }
    let number = |text: &str| decode(text.as_bytes(), |at| at.number(-60.0, 60.0));
    assert_eq!(number("-12.5"), Ok(-12.5));
    assert!(number("60.01").is_err());
}

#[test]
fn times_spans_and_dates_are_read_strictly() {
    let bad = |text: &str, read: fn(&At<'_>) -> Option<()>| {
        decode(format!("\"{text}\"").as_bytes(), read).expect_err(text)
    };
    for text in ["9:30", "24:01", "24:00", "12:60", "", "noon", "١٢:٣٠"] {
        bad(text, |at| at.minute().map(|_| ()));
    }
    for text in ["09:00-09:00", "10:00-09:00", "09:00", "09:00-", "09:00-25:00", "a-b"] {
        bad(text, |at| at.span().map(|_| ()));
    }
    for text in ["2026-02-29", "2026-13-01", "26-01-01", "2026-1-1", "1899-12-31", "9999-01-01"] {
        bad(text, |at| at.date().map(|_| ()));
    }
    let span = decode(b"\"22:00-24:00\"", |at| at.span()).expect("ends at midnight");
    assert_eq!(span.minutes(), 120);
}

#[test]
fn spans_in_a_list_are_in_order_and_apart() {
    let faults = decode(b"[\"09:00-10:00\", \"09:59-12:00\"]", |at| at.spans())
        .expect_err("the two overlap");
    assert_eq!((faults[0].pointer.as_str(), faults[0].column), ("/1", 17));
    assert!(decode(b"[\"09:00-10:00\", \"10:00-12:00\"]", |at| at.spans()).is_ok());
}

#[test]
fn unknown_fields_are_faults_that_name_the_nearest() {
    let faults = decode(b"{ \"keep-apart\": [], \"zzz\": 1 }", |at| {
        at.object(&["keep_apart", "label"]).map(|_| ())
    })
    .expect_err("neither is known");
    assert_eq!(faults[0].mend, "did you mean `keep_apart`?");
    assert!(faults[1].mend.contains("keep_apart, label"));
    let one = |at: &At<'_>| at.object(&["allergies", "label", "days"]).map(|_| ());
    let faults = decode(b"{ \"allergy\": [\"egg\"], \"day\": 1 }", one).expect_err("as well");
    let mends: Vec<&str> = faults.iter().map(|f| f.mend.as_str()).collect();
    assert_eq!(mends, ["did you mean `allergies`?", "did you mean `days`?"]);
}

#[test]
fn messages_repeat_no_control_characters() {
    let faults = decode(b"{ \"\\u001b[2J\": 1 }", |at| at.object(&["a"]).map(|_| ()))
        .expect_err("the name is unknown");
    assert!(!faults[0].to_string().chars().any(char::is_control));
}
