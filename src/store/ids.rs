//! Chance and the clock, in the one place where the store reads them.

use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// Seconds since 1970.
#[must_use]
pub fn now() -> i64 {
    i64::try_from(since_1970().as_secs()).unwrap_or(i64::MAX)
}

fn since_1970() -> Duration {
    #[expect(clippy::disallowed_methods, reason = "who changed what is told with its time")]
    let clock = SystemTime::now();
    clock.duration_since(UNIX_EPOCH).unwrap_or_default()
}

/// The microsecond of the newest id of this process.
static NEWEST: AtomicU64 = AtomicU64::new(0);

/// A new id: 14 hex digits of the time, so that ids sort by age, and 18 of chance.
///
/// # Panics
/// When the system has no randomness to give: nothing could be kept apart then.
#[must_use]
pub fn new_id() -> String {
    let clock = u64::try_from(since_1970().as_micros()).unwrap_or(u64::MAX);
    let next = |newest: u64| Some(clock.max(newest + 1));
    let newest = NEWEST.fetch_update(Ordering::SeqCst, Ordering::SeqCst, next).unwrap_or(0);
    format!("{:014x}{}", clock.max(newest + 1) & 0xff_ffff_ffff_ffff, chance(9))
}

/// Makes every later id of this process sort after this one, although the clock may have been set
/// back, or another machine's be ahead.
pub fn after(id: &str) {
    if let Some(time) = id.get(..14).and_then(|time| u64::from_str_radix(time, 16).ok()) {
        NEWEST.fetch_max(time, Ordering::SeqCst);
    }
}

/// So many bytes of chance from the system, in hex.
///
/// # Panics
/// When the system has no randomness to give.
#[must_use]
pub fn chance(bytes: usize) -> String {
    let mut buffer = vec![0u8; bytes];
    getrandom::fill(&mut buffer).expect("the system gives randomness");
    hex(&buffer)
}

/// SHA-256 of a text, in hex.
#[must_use]
pub fn digest(text: &[u8]) -> String {
    hex(&Sha256::digest(text))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut out, byte| {
        let _ = write!(out, "{byte:02x}");
        out
    })
}
