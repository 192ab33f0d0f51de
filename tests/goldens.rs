//! The printed chart of every shipped scenario, as a person reads it.
//!
//! A change of the planning changes these files: read them as the teacher would before they are
//! written anew with `fairturn make SCENARIO --out FILE`.

use fairturn::page::text::WIDTH;
use std::path::{Path, PathBuf};
use std::process::Command;

fn scenarios() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let entries = std::fs::read_dir(folder).expect("the scenarios");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut found: Vec<PathBuf> =
        paths.filter(|p| p.to_string_lossy().ends_with(".scenario.json")).collect();
    found.sort();
    found
}

#[test]
fn every_scenario_prints_the_chart_that_stands_beside_it() {
    let all = scenarios();
    assert!(all.len() >= 6, "{all:?}");
    for scenario in all {
        let made = Command::new(env!("CARGO_BIN_EXE_fairturn"))
            .arg("make")
            .arg(&scenario)
            .output()
            .expect("the command runs");
        let text = String::from_utf8(made.stdout).expect("the chart is text");
        let beside = scenario.to_string_lossy().replace(".scenario.json", ".chart.txt");
        let golden = std::fs::read_to_string(&beside).unwrap_or_default();
        assert_eq!(text, golden, "{beside}");
        let safe = text.starts_with("Safe to run");
        assert_eq!(made.status.code(), Some(i32::from(!safe)), "{beside}");
    }
}

/// A side of A4 in print at 10 points, lines 11.5 points apart, margins of a centimetre.
#[test]
fn the_page_for_the_counter_fits_one_side() {
    const LINES: usize = 68;
    for scenario in scenarios() {
        let name = scenario.to_string_lossy().replace(".scenario.json", ".chart.txt");
        let page = std::fs::read_to_string(&name).expect("the chart beside it");
        let wide = page.lines().find(|line| line.chars().count() > WIDTH);
        assert_eq!(wide, None, "{name}: a line is too wide");
        // Where the day is not safe, the page says why, however long that takes.
        let lines = page.lines().count();
        assert!(lines <= LINES || page.starts_with("NOT SAFE"), "{name}: {lines} lines");
    }
}
