//! Models as text for other solvers: read back by a reader of their own and searched whole.

use fairturn::model::{Line, Model, mps};
use fairturn::planner::{Options, Watch, make, passes};
use fairturn::site::RoomIndex;
use fairturn::solve::Effort;
use fairturn::wire::invent::invent;
use fairturn::wire::scenario::read;
use std::collections::{BTreeMap, BTreeSet};

/// What a file in free MPS says.
#[derive(Default)]
pub struct Read {
    /// Kind and right-hand side, by name.
    rows: BTreeMap<String, (char, i64)>,
    /// Entries by column.
    columns: BTreeMap<String, Vec<(String, i64)>>,
    /// Columns that are whole and at most 1.
    options: BTreeSet<String>,
}

impl Read {
    pub fn new(text: &str) -> Read {
        let (mut read, mut section, mut whole) = (Read::default(), "", false);
        for line in text.lines() {
            let words: Vec<&str> = line.split(' ').filter(|w| !w.is_empty()).collect();
            if !line.starts_with(' ') {
                section = words[0];
                continue;
            }
            match (section, words.as_slice()) {
                ("ROWS", [kind, row]) => {
                    let kind = kind.chars().next().expect("a kind");
                    let before = read.rows.insert((*row).into(), (kind, 0));
                    assert_eq!(before, None, "{row} is there twice");
                }
                ("COLUMNS", [_, "'MARKER'", marker]) => whole = *marker == "'INTORG'",
                ("COLUMNS", [column, row, times]) => {
                    assert!(read.rows.contains_key(*row), "{line}");
                    let entries = read.columns.entry((*column).into()).or_default();
                    assert!(entries.iter().all(|e| e.0 != *row), "twice: {line}");
                    entries.push(((*row).into(), times.parse().expect("a whole number")));
                    if whole {
                        read.options.insert((*column).into());
                    }
                }
                ("RHS", ["rhs", row, rhs]) => {
                    read.rows.get_mut(*row).expect("a row").1 = rhs.parse().expect("whole");
                }
                ("BOUNDS", ["UP", "bound", column, "1"]) => {
                    assert!(read.options.contains(*column), "{line}");
                }
                _ => panic!("{section}: {line}"),
            }
        }
        assert_eq!(section, "ENDATA");
        assert!(text.is_ascii());
        let names = read.rows.keys().chain(read.columns.keys());
        names
            .for_each(|name| assert!(name.starts_with(|c: char| c.is_ascii_lowercase()), "{name}"));
        read
    }

    /// By how much the rows of a kind miss with these options taken and every quantity as small as
    /// its rows let it be, and what the objective is then.
    fn judged(&self, taken: &BTreeSet<&str>) -> Option<i64> {
        let mut values: BTreeMap<&str, i64> =
            self.columns.keys().map(|c| (c.as_str(), 0)).collect();
        values.extend(taken.iter().map(|column| (*column, 1)));
        let sum = |values: &BTreeMap<&str, i64>, row: &str| -> i64 {
            let of = |(column, entries): (&String, &Vec<(String, i64)>)| {
                let times = entries.iter().find(|e| e.0 == row).map_or(0, |e| e.1);
                times * values[column.as_str()]
            };
            self.columns.iter().map(of).sum()
        };
        // A quantity is read only by later ones, so that as many rounds as there are are enough.
        for _ in 0..self.columns.len() {
            for (row, (kind, rhs)) in self.rows.iter().filter(|(row, _)| row.starts_with("line")) {
                assert_eq!(*kind, 'G');
                let number = row[4..].split('.').next().expect("a number");
                let name = |c: &&str| c[1..].split(':').next() == Some(number);
                let column = values.keys().copied().find(name).expect("the quantity of the row");
                let missing = rhs - sum(&values, row);
                *values.get_mut(column).expect("a column") += missing.max(0);
            }
        }
        let holds = self.rows.iter().all(|(row, (kind, rhs))| match kind {
            'E' => sum(&values, row) == *rhs,
            'G' => sum(&values, row) >= *rhs,
            'L' => sum(&values, row) <= *rhs,
            _ => true,
        });
        holds.then(|| sum(&values, "cost"))
    }

    /// The least objective of all ways to take options.
    fn least(&self) -> Option<i64> {
        let options: Vec<&str> = self.options.iter().map(String::as_str).collect();
        (0..1_u32 << options.len())
            .filter_map(|bits| {
                let taken = (0..options.len()).filter(|at| bits >> at & 1 == 1);
                self.judged(&taken.map(|at| options[at]).collect())
            })
            .min()
    }
}

/// Three groups at two stations, adults short, one level after another.
fn short_of_adults() -> Model {
    let mut model = Model::new(&["short", "nothing", "likes"]);
    let mut clay = Vec::new();
    for group in [
        "owls of \u{e9}tang",
        "$seals",
        "a very long name that nobody would give \
                  to a group of children but that somebody may give all the same",
    ] {
        let options: Vec<_> =
            ["clay", "books"].map(|s| model.option(format!("{group}: {s}"))).to_vec();
        clay.push(options[0]);
        model.cost("likes", options[1], 3);
        model.choice(group, options);
    }
    let both = |from: usize| Line::new(-1).plus(1, clay[from]).plus(1, clay[from + 1]);
    let crowded = model.forced("crowded", vec![both(0), both(1)]);
    let all = clay.iter().fold(Line::new(-1).plus(2, crowded), |line, &var| line.plus(1, var));
    let short = model.forced("short", vec![all]);
    model.cost("short", short, 5);
    model.cost("likes", crowded, 1);
    model
}

#[test]
fn the_text_of_a_level_has_the_least_that_the_model_has() {
    let model = short_of_adults();
    let all: Vec<Vec<i64>> =
        (0..8_usize).map(|bits| model.value(&[bits & 1, bits >> 1 & 1, bits >> 2 & 1])).collect();
    let mut solved = 0;
    for held in all.iter().chain([&vec![0, 0, 0]]) {
        for level in 0..model.levels.len() {
            let fine = all.iter().filter(|v| (0..level).all(|l| v[l] <= held[l]));
            let least = fine.map(|v| v[level]).min();
            assert_eq!(Read::new(&mps::write(&model, level, held)).least(), least, "{held:?}");
            solved += 1;
        }
    }
    assert_eq!(solved, 27);
}

#[test]
fn the_passes_of_a_room_hold_what_the_chart_has_and_count_no_quantity_down() {
    for (seed, adults) in [(3, 3), (4, 4), (9, 2)] {
        let scenario = read(invent(1, 12, adults, seed).as_bytes()).expect("no fault");
        let day = scenario.open(RoomIndex(0), scenario.date).expect("open");
        let effort = Effort { layouts: 2, short: 2_000, finalists: 2, long: 3_000, nodes: 0 };
        let options = Options { seed, effort };
        let passes = passes(&day, &options, &mut Watch::nobody());
        let of_chart: Vec<&str> = make(&day, &options).aims.iter().map(|a| a.slug).collect();
        assert!(passes.passes.iter().map(|p| p.slug).collect::<Vec<_>>().ends_with(&of_chart));
        assert!(passes.open().count() > 0, "seed {seed}: something takes solving");
        for at in passes.open() {
            let pass = &passes.passes[at];
            assert!(pass.bound <= pass.value, "{pass:?}");
            let read = Read::new(&passes.mps(at));
            for earlier in &passes.passes[..at] {
                if let Some(held) = read.rows.get(&format!("held:{}", earlier.slug)) {
                    assert_eq!(*held, ('L', earlier.value), "{}", earlier.slug);
                }
            }
            // A quantity that a level counted down would be lifted to no end by another solver.
            for (column, entries) in read.columns.iter().filter(|c| !read.options.contains(c.0)) {
                let costs = entries.iter().filter(|e| e.0 == "cost" || e.0.starts_with("held"));
                costs.for_each(|(row, times)| assert!(*times >= 0, "{column} in {row}"));
            }
        }
    }
}
