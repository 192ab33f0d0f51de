//! Digests that tell whether two plans stand on the same facts.
//!
//! The facts are digested as they were read, so that the order of keys or the spacing of a file
//! makes no difference. They are comparable between plans of the same version.

use super::StandardUsed;
use crate::day::Day;
use sha2::{Digest, Sha256};
use std::fmt::{self, Debug, Write};

/// Digest of the facts of a day, standing ones included, as 64 hex digits.
#[must_use]
pub fn facts_digest(day: &Day) -> String {
    digest_of(day)
}

/// The standards that bind, each with the digest of its figures.
#[must_use]
pub fn standards_used(day: &Day) -> Vec<StandardUsed> {
    day.standards
        .iter()
        .map(|s| StandardUsed {
            id: s.id.clone(),
            edition: s.edition_words(),
            digest: digest_of(s.as_ref()),
        })
        .collect()
}

/// Digest of everything that a value shows of itself.
pub(super) fn digest_of(value: &impl Debug) -> String {
    let mut sink = Sink(Sha256::new());
    write!(sink, "{value:?}").expect("the sink takes everything");
    let mut hex = String::with_capacity(64);
    for byte in sink.0.finalize() {
        write!(hex, "{byte:02x}").expect("a string takes everything");
    }
    hex
}

/// Feeds a hash with text, without holding all of it.
struct Sink(Sha256);

impl Write for Sink {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.update(text.as_bytes());
        Ok(())
    }
}
