//! JSON that a person reads.

use fairturn::wire::pretty::pretty;
use serde_json::{Value, json};

#[test]
fn what_fits_stands_on_one_line_and_nothing_is_lost() {
    let stay = json!({"from": "09:00", "to": "09:15", "at": {"kind": "station", "id": "sand"}});
    let value = json!({"empty": [], "text": "a \"word\"", "stays": vec![stay; 3]});
    let text = pretty(&value);
    assert_eq!(text.lines().count(), 9, "{text}");
    assert_eq!(serde_json::from_str::<Value>(&text).expect("JSON again"), value);
}
