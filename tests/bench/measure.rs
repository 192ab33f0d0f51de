//! Time and memory, as the system tells them.

use std::fs;
use std::time::{Duration, Instant};

/// Runs from its making on.
pub struct Stopwatch {
    processor: Option<u64>,
    #[allow(clippy::disallowed_types)]
    clock: Instant,
}

impl Stopwatch {
    #[allow(clippy::disallowed_methods, clippy::disallowed_types)]
    pub fn start() -> Stopwatch {
        Stopwatch { processor: processor_nanoseconds(), clock: Instant::now() }
    }

    /// Processor time of this thread since the start, or the clock's where the system keeps no such
    /// account.
    pub fn read(&self) -> Duration {
        match (self.processor, processor_nanoseconds()) {
            (Some(from), Some(to)) => Duration::from_nanos(to.saturating_sub(from)),
            _ => self.clock.elapsed(),
        }
    }
}

fn processor_nanoseconds() -> Option<u64> {
    let account = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    account.split_whitespace().next()?.parse().ok()
}

/// Forgets the most memory that this process has had, where the system lets it.
pub fn forget_peak() {
    // Elsewhere the peak is that of the whole run, which is no less true.
    let _ = fs::write("/proc/self/clear_refs", "5");
}

/// The most memory that this process has had since [`forget_peak`], in KiB.
pub fn peak_kib() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}
