//! The invented bad mornings that are shipped, and the answers beside them.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Each file of happenings with its scenario and the chart on the wall.
fn mornings() -> Vec<(PathBuf, PathBuf, PathBuf)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let entries = std::fs::read_dir(&folder).expect("the scenarios");
    let names = entries.map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned());
    let mut names: Vec<String> = names.filter(|n| n.ends_with(".happenings.json")).collect();
    names.sort();
    let of = |name: String| {
        let room = name.split('.').next().expect("a name").to_owned();
        let beside = |end: &str| folder.join(format!("{room}.{end}"));
        (folder.join(&name), beside("scenario.json"), beside("posted.json"))
    };
    names.into_iter().map(of).collect()
}

fn fairturn(args: &[&Path]) -> (String, Option<i32>) {
    let run = Command::new(env!("CARGO_BIN_EXE_fairturn")).args(args).output();
    let run = run.expect("the command runs");
    (String::from_utf8(run.stdout).expect("text"), run.status.code())
}

#[test]
fn every_bad_morning_is_answered_as_it_stands_beside_it() {
    let all = mornings();
    assert!(all.len() >= 2, "{all:?}");
    for (happenings, scenario, posted) in all {
        let args =
            [Path::new("repair"), &scenario, &posted, Path::new("--happenings"), &happenings];
        let (text, exit) = fairturn(&args);
        let beside = happenings.to_string_lossy().replace(".happenings.json", ".repair.txt");
        let golden = std::fs::read_to_string(&beside).unwrap_or_default();
        assert_eq!(text, golden, "{beside}");
        assert_eq!(exit, Some(i32::from(!text.starts_with("Safe to run"))), "{beside}");
    }
}

#[test]
fn a_posted_chart_that_is_shipped_has_no_fault() {
    for (_, scenario, posted) in mornings() {
        let (text, exit) = fairturn(&[Path::new("audit"), &scenario, &posted]);
        assert_eq!(exit, Some(0), "{}: {text}", posted.display());
    }
}
