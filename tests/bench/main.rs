//! `cargo bench`: how long a day takes, and with `--features highs` how long the same passes take
//! HiGHS in the same run.
//!
//! ```text
//! cargo bench -- [--days N] [--cap SECONDS] [--each]
//! ```
//!
//! Invented room-days, a third of them short-staffed, half of them as awkward as the worst of sites.
//! One thread; times are the thread's processor time where the system tells it, so that a busy
//! machine changes little. HiGHS gets each pass that takes solving, with the same holds, and may stop
//! where the gap counts as certified; its time is that of solving alone. Nothing here passes or
//! fails.

#[cfg(feature = "highs")]
mod highs;
mod measure;
mod ours;
mod table;

use measure::Stopwatch;
use ours::Day;

/// What is asked for on the command line.
struct Asked {
    days: u64,
    #[cfg_attr(not(feature = "highs"), allow(dead_code))]
    cap_seconds: f64,
    each: bool,
}

impl Asked {
    fn read() -> Asked {
        let mut asked = Asked { days: 100, cap_seconds: 10.0, each: false };
        let mut words = std::env::args().skip(1);
        while let Some(word) = words.next() {
            match word.as_str() {
                "--days" => asked.days = number(words.next()) as u64,
                "--cap" => asked.cap_seconds = number(words.next()),
                "--each" => asked.each = true,
                // Cargo adds this one.
                "--bench" => {}
                _ => panic!("{word} is not known here: --days N, --cap SECONDS, --each"),
            }
        }
        asked
    }
}

fn number(word: Option<String>) -> f64 {
    word.and_then(|w| w.parse().ok()).expect("a number follows")
}

fn main() {
    let asked = Asked::read();
    let mut days: Vec<Day> = Vec::new();
    for seed in 1..=asked.days {
        #[cfg_attr(not(feature = "highs"), allow(unused_mut))]
        let (mut day, certified) = ours::day(seed);
        #[cfg(feature = "highs")]
        {
            day.highs = Some(highs::solve(&certified, asked.cap_seconds));
        }
        #[cfg(not(feature = "highs"))]
        drop(certified);
        if asked.each {
            println!("{}", table::each(&day));
        }
        days.push(day);
    }
    print!("{}", table::whole(&days));
}
