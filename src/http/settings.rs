//! The settings of the service: one table that makes the flags, their help and the README's list.

use std::net::SocketAddr;
use std::time::Duration;

/// One setting.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Setting {
    /// The flag without its dashes; the environment has it as `FAIRTURN_` and capitals.
    pub flag: &'static str,
    /// What holds when nothing is given.
    pub default: &'static str,
    /// What it is.
    pub says: &'static str,
}

impl Setting {
    /// Its name in the environment.
    #[must_use]
    pub fn variable(&self) -> String {
        format!("FAIRTURN_{}", self.flag.to_uppercase().replace('-', "_"))
    }
}

const fn setting(flag: &'static str, default: &'static str, says: &'static str) -> Setting {
    Setting { flag, default, says }
}

/// Where the store is; the other commands that open it have this setting alone.
pub const DATABASE: Setting = setting(
    "database",
    "sqlite://fairturn.sqlite",
    "Where everything is kept: sqlite://FILE or postgres://...",
);

/// Every setting, in the order in which they are listed.
pub const SETTINGS: &[Setting] = &[
    setting(
        "listen",
        "127.0.0.1:7117",
        "Address and port; beyond this machine only once there is a token",
    ),
    DATABASE,
    setting("workers", "0", "Solves at the same time; 0: one for each core"),
    setting("queue", "32", "Solves that may wait, and jobs that may wait"),
    setting("solve-seconds", "60", "Longest that a request waits for its solve"),
    setting("job-seconds", "600", "Longest that a job may be worked on"),
    setting("search-percent", "100", "How far a search goes, of the usual steps (1 to 100)"),
    setting("body-kib", "2048", "Longest body of a request, in KiB"),
    setting("body-seconds", "20", "Longest that a body may take to arrive"),
    setting("clients", "1024", "Requests at the same time"),
    setting("rate", "100", "Requests a second for each token; four times as many at once"),
];

/// The settings, read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Settings {
    /// Address and port.
    pub listen: SocketAddr,
    /// URL of the store.
    pub database: String,
    /// Solves at the same time, at least 1.
    pub workers: usize,
    /// Solves that may wait.
    pub queue: usize,
    /// Longest that a request waits for its solve.
    pub solve: Duration,
    /// Longest that a job may be worked on.
    pub job: Duration,
    /// Of the usual steps, 1 to 100.
    pub search_percent: u64,
    /// Longest body, in bytes.
    pub body: usize,
    /// Longest that a body may take.
    pub body_time: Duration,
    /// Requests at the same time.
    pub clients: usize,
    /// Requests a second for each token.
    pub rate: u32,
}

impl Settings {
    /// Reads what `given` has of each setting; the default where it has nothing.
    ///
    /// # Errors
    /// A line for each setting that is wrong.
    pub fn read(given: impl Fn(&Setting) -> Option<String>) -> Result<Settings, Vec<String>> {
        let mut faults = Vec::new();
        let text = |flag: &str| {
            let setting = SETTINGS.iter().find(|s| s.flag == flag).expect("a setting of the table");
            given(setting).unwrap_or_else(|| setting.default.to_owned())
        };
        let mut number = |flag: &str, least: u64, most: u64| {
            let told = text(flag);
            let read = told.parse::<u64>().ok().filter(|n| (least..=most).contains(n));
            if read.is_none() {
                faults.push(format!("--{flag}: give a whole number from {least} to {most}"));
            }
            read.unwrap_or(least)
        };
        let workers = number("workers", 0, 1024);
        let queue = number("queue", 1, 100_000);
        let solve = number("solve-seconds", 1, 3600);
        let job = number("job-seconds", 1, 24 * 3600);
        let search_percent = number("search-percent", 1, 100);
        let body = number("body-kib", 1, 16 * 1024);
        let body_time = number("body-seconds", 1, 600);
        let clients = number("clients", 1, 100_000);
        let rate = number("rate", 1, 1_000_000);
        let listen = text("listen").parse::<SocketAddr>();
        if listen.is_err() {
            faults.push("--listen: give an address and a port, like 127.0.0.1:7117".into());
        }
        let cores = || std::thread::available_parallelism().map_or(1, usize::from);
        match listen {
            Ok(listen) if faults.is_empty() => Ok(Settings {
                listen,
                database: text("database"),
                workers: if workers == 0 { cores() } else { size(workers) },
                queue: size(queue),
                solve: Duration::from_secs(solve),
                job: Duration::from_secs(job),
                search_percent,
                body: size(body) * 1024,
                body_time: Duration::from_secs(body_time),
                clients: size(clients),
                rate: u32::try_from(rate).unwrap_or(u32::MAX),
            }),
            _ => Err(faults),
        }
    }
}

fn size(number: u64) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}
