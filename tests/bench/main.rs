//! `cargo bench`: how long a day takes, and with `--features highs` how long the same passes take
//! HiGHS in the same run.
//!
//! ```text
//! cargo bench -- [--days N] [--cap SECONDS] [--each] [--repairs]
//! ```
//!
//! Invented room-days, a third of them short-staffed, half of them as awkward as the worst of sites.
//! One thread; times are the thread's processor time where the system tells it, so that a busy
//! machine changes little. HiGHS gets each pass that takes solving, with the same holds, and may stop
//! where the gap counts as certified; its time is that of solving alone. Then something happens on the
//! same days: what repairing takes and what twenty what-ifs for what would mend it take, each beside
//! making the day (`--repairs`: only that). Nothing here passes or fails.

#[cfg(feature = "highs")]
mod highs;
mod measure;
mod ours;
mod repairs;
mod table;

use measure::Stopwatch;
use ours::Day;
use repairs::Repair;

/// What is asked for on the command line.
struct Asked {
    days: u64,
    #[cfg_attr(not(feature = "highs"), allow(dead_code))]
    cap_seconds: f64,
    each: bool,
    repairs: bool,
}

impl Asked {
    fn read() -> Asked {
        let mut asked = Asked { days: 100, cap_seconds: 10.0, each: false, repairs: false };
        let mut words = std::env::args().skip(1);
        while let Some(word) = words.next() {
            match word.as_str() {
                "--days" => asked.days = number(words.next()) as u64,
                "--cap" => asked.cap_seconds = number(words.next()),
                "--each" => asked.each = true,
                "--repairs" => asked.repairs = true,
                // Cargo adds this one.
                "--bench" => {}
                _ => panic!("{word} is not known here: --days N, --cap SECONDS, --each, --repairs"),
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
    if !asked.repairs {
        solved(&asked);
    }
    let mut repaired: Vec<Repair> = Vec::new();
    for seed in 1..=asked.days {
        let one = repairs::repair(seed);
        if asked.each {
            println!("{}", table::each_repair(&one));
        }
        repaired.push(one);
    }
    print!("{}", table::repairs(&repaired));
}

/// The days made and certified.
fn solved(asked: &Asked) {
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
