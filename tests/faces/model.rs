//! The model behind a chart, written for other solvers.

use super::command::{err, fairturn, folder, out};
use std::fs;

const HALF_DAY: &str = "scenarios/half-day.scenario.json";

#[test]
fn one_pass_is_printed_or_written_by_slug_or_number() {
    let named = fairturn(&["model", HALF_DAY, "--aim", "must-do"]);
    assert_eq!(named.status.code(), Some(0), "{}", err(&named));
    assert!(out(&named).starts_with("NAME must-do\nROWS\n N cost\n"));
    assert!(out(&named).ends_with("\nENDATA\n"));
    let number = (fairturn::rules::RULES.len() + 4).to_string();
    let path = folder("model").join("one.mps");
    let to = path.display().to_string();
    let numbered = fairturn(&["model", HALF_DAY, "--aim", &number, "--out", &to]);
    assert_eq!((numbered.status.code(), out(&numbered)), (Some(0), ""));
    assert_eq!(fs::read(&path).expect("the file"), named.stdout);
}

#[test]
fn all_passes_stand_beside_what_is_claimed_of_them() {
    let folder = folder("model-all");
    let to = folder.join("day.mps").display().to_string();
    let all = fairturn(&["model", HALF_DAY, "--aim", "all", "--out", &to]);
    assert_eq!((all.status.code(), out(&all)), (Some(0), ""), "{}", err(&all));
    let claims = fs::read_to_string(folder.join("day.json")).expect("the claims");
    let claims: serde_json::Value = serde_json::from_str(&claims).expect("JSON");
    let passes = claims["passes"].as_array().expect("passes");
    let (rules, aims) = (fairturn::rules::RULES, fairturn::rules::AIMS);
    let slugs = rules.iter().map(|r| r.slug).chain(aims.iter().map(|a| a.slug));
    assert!(passes.iter().map(|p| &p["slug"]).eq(slugs));
    let mut last = None;
    for pass in passes {
        assert!(pass["bound"].as_i64() <= pass["value"].as_i64(), "{pass}");
        if let Some(file) = pass["file"].as_str() {
            let text = fs::read_to_string(folder.join(file)).expect("the pass");
            assert!(text.starts_with(&format!("NAME {}\n", pass["slug"].as_str().expect("text"))));
            last = Some(text);
        }
    }
    let alone = fairturn(&["model", HALF_DAY]);
    assert_eq!(Some(out(&alone)), last.as_deref(), "the last that takes solving, unless asked");
}

#[test]
fn what_cannot_be_written_is_told() {
    let unknown = fairturn(&["model", HALF_DAY, "--aim", "must-dos"]);
    assert_eq!(unknown.status.code(), Some(2));
    let said = "--aim: there is no rule or aim `must-dos`; did you mean `must-do`?\n";
    assert_eq!(err(&unknown), said);
    for number in ["0", "99"] {
        assert_eq!(fairturn(&["model", HALF_DAY, "--aim", number]).status.code(), Some(2));
    }
    let nowhere = fairturn(&["model", HALF_DAY, "--aim", "all"]);
    assert_eq!(nowhere.status.code(), Some(2));
    let said = "--aim all: this writes several files; add --out and a name like day.mps\n";
    assert_eq!(err(&nowhere), said);
}
