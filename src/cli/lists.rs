//! Standards: the list, or one of them.

use super::{Answer, Wrong, input};
use crate::page::text::{print_standard, print_standards};
use crate::standards::{find, library};

pub(super) fn standards(id: Option<&str>) -> Result<Answer, Wrong> {
    let Some(id) = id else { return Ok(Answer::plain(print_standards())) };
    match find(id) {
        Some(standard) => Ok(Answer::plain(print_standard(&standard))),
        None => {
            let known = library().iter().map(|s| s.id.as_str());
            Err(input::unknown("standards", "standard", id, known))
        }
    }
}
