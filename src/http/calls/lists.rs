//! What is built in: standards, rules and aims.

use crate::http::call::{Answer, Call, Reply};
use crate::http::media::Media;
use crate::http::problem::{MISSING, Problem};
use crate::page::text::{print_found, print_rules, print_standard, print_standards};
use crate::standards::{find, look_up};
use crate::wire::lists;

/// In the form that is asked for.
fn told(call: &Call, text: impl Fn() -> String, json: impl Fn() -> String) -> Answer {
    let body = if call.media == Media::Text { text() } else { json() };
    Ok(Reply::new(200, call.media, body))
}

/// The built-in standards, or those that fit a place or other words.
///
/// # Errors
/// None.
pub async fn standards(call: Call) -> Answer {
    let Some(words) = call.parameter("place") else {
        return told(&call, print_standards, lists::standards);
    };
    let fitting = look_up(words);
    told(&call, || print_found(words, &fitting), || lists::found(&fitting))
}

/// One standard.
///
/// # Errors
/// When it is not built in.
pub async fn standard(call: Call) -> Answer {
    let found = find(call.step("standard")).ok_or_else(|| Problem::plain(MISSING))?;
    told(&call, || print_standard(&found), || lists::standard(&found))
}

/// The rules and the aims.
///
/// # Errors
/// None.
pub async fn rules(call: Call) -> Answer {
    told(&call, print_rules, lists::rules)
}
