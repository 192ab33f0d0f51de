//! The same facts give the same bytes, whatever surrounds the command.

use super::command::{file, folder};
use fairturn::day::Day;
use fairturn::planner::{Options, make};
use fairturn::site::RoomIndex;
use fairturn::solve::Effort;
use fairturn::wire::chart::write_chart;
use fairturn::wire::scenario::read;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The chart of a scenario in JSON, made in some folder under some settings of the system.
fn made(scenario: &Path, from: &Path, system: &[(&str, &str)]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_fairturn"))
        .args(["make", "--format", "json"])
        .arg(scenario)
        .current_dir(from)
        .envs(system.iter().copied())
        .output()
        .expect("the command starts");
    assert!(matches!(output.status.code(), Some(0 | 1)), "{output:?}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The members of every JSON object in the opposite order; lists keep theirs.
fn turned_round(value: &Value) -> Value {
    match value {
        Value::Object(members) => {
            members.iter().rev().map(|(key, value)| (key.clone(), turned_round(value))).collect()
        }
        Value::Array(items) => items.iter().map(turned_round).collect(),
        other => other.clone(),
    }
}

#[test]
fn clock_language_folder_and_order_of_keys_change_no_byte() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for name in ["half-day", "preschool-room"] {
        let scenario: PathBuf = root.join(format!("scenarios/{name}.scenario.json"));
        let here = made(&scenario, root, &[("TZ", "UTC"), ("LANG", "C")]);
        let settings = [
            ("TZ", "Pacific/Kiritimati"),
            ("LANG", "tr_TR.UTF-8"),
            ("LC_ALL", "de_DE.UTF-8"),
            ("COLUMNS", "40"),
        ];
        let elsewhere = made(&scenario, &folder("another folder"), &settings);
        assert_eq!(here, elsewhere, "{name}: other settings, another folder");
        let text = std::fs::read_to_string(&scenario).expect("a shipped scenario");
        let read: Value = serde_json::from_str(&text).expect("JSON");
        let turned = turned_round(&read);
        assert_ne!(turned.to_string(), read.to_string());
        let turned = file(&format!("{name}.turned.json"), &turned.to_string());
        let again = made(Path::new(&turned), root, &[]);
        assert_eq!(here, again, "{name}: keys in the opposite order");
    }
}

#[test]
fn however_many_solve_at_once_each_gets_the_same_bytes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let days: Vec<Day> = ["half-day", "mixed-age-room", "short-staffed"]
        .iter()
        .map(|name| {
            let path = folder.join(format!("{name}.scenario.json"));
            let scenario = read(&std::fs::read(path).expect("a shipped scenario")).expect("fine");
            scenario.open(RoomIndex(0), scenario.date).expect("the room is open")
        })
        .collect();
    let effort = Effort { layouts: 3, short: 2_000, finalists: 2, long: 4_000, nodes: 500 };
    let options = Options { seed: 5, effort };
    let all = |days: &[Day]| -> Vec<String> {
        days.iter().map(|day| write_chart(day, &make(day, &options))).collect()
    };
    let alone = all(&days);
    for threads in [1, 2, 7] {
        let together: Vec<Vec<String>> = std::thread::scope(|scope| {
            let solving: Vec<_> = (0..threads).map(|_| scope.spawn(|| all(&days))).collect();
            solving.into_iter().map(|one| one.join().expect("no panic")).collect()
        });
        for each in together {
            assert!(each == alone, "{threads} at once");
        }
    }
}
