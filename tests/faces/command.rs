//! The command as a person or a script calls it: exit codes, what goes where, nothing half done.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

pub fn fairturn(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fairturn"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("the command starts")
}

pub fn out(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).expect("UTF-8 on standard output")
}

pub fn err(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).expect("UTF-8 on standard error")
}

/// A text as one line, however it was wrapped.
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A folder of this test's own.
pub fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::create_dir_all(&path).expect("a folder for the test");
    path
}

pub fn file(name: &str, text: &str) -> String {
    let path = folder("inputs").join(name);
    fs::write(&path, text).expect("a file for the test");
    path.display().to_string()
}

#[test]
fn lists_are_printed_whole_and_end_well() {
    let rules = fairturn(&["rules"]);
    assert_eq!(rules.status.code(), Some(0));
    for rule in fairturn::rules::RULES {
        assert!(out(&rules).contains(rule.slug), "{}", rule.slug);
    }
    let all = fairturn(&["standards"]);
    assert_eq!(all.status.code(), Some(0));
    for standard in fairturn::standards::library() {
        assert!(out(&all).contains(&standard.id), "{}", standard.id);
        let one = fairturn(&["standards", &standard.id]);
        assert_eq!(one.status.code(), Some(0));
        let wide = out(&one).lines().find(|line| line.chars().count() > 100);
        assert_eq!(wide, None, "a line is too wide");
        for source in standard.sources.values() {
            let words: Vec<&str> = out(&one).split_whitespace().collect();
            let named: Vec<&str> = source.document.split_whitespace().collect();
            let found = words.windows(named.len()).any(|w| w == named);
            assert!(found, "{}: {}", standard.id, source.document);
        }
    }
}

#[test]
fn what_is_not_known_is_wrong_input() {
    let standard = fairturn(&["standards", "ontaria"]);
    assert_eq!(standard.status.code(), Some(2));
    assert_eq!(out(&standard), "");
    let said = "standards: there is no standard `ontaria`; did you mean `ontario`?\n";
    assert_eq!(err(&standard), said);
    assert_eq!(fairturn(&["juggle"]).status.code(), Some(2));
    assert_eq!(fairturn(&[]).status.code(), Some(2));
    assert_eq!(fairturn(&["--version"]).status.code(), Some(0));
}

#[test]
fn every_fault_of_both_files_is_told_at_once() {
    let scenario = file("two-faults.json", r#"{ "format": 1, "sight": {}, "days": 3 }"#);
    let chart = file("cut-short.json", r#"{ "format": 1, "date": "2026-04-"#);
    let judged = fairturn(&["audit", &scenario, &chart]);
    assert_eq!(judged.status.code(), Some(2));
    assert_eq!(out(&judged), "", "never half an answer");
    let lines: Vec<&str> = err(&judged).lines().collect();
    assert!(lines.iter().any(|l| l.contains("two-faults.json: line 1") && l.contains("/sight")));
    assert!(lines.iter().any(|l| l.contains("cut-short.json: line 1")), "{lines:?}");
    let missing = fairturn(&["audit", "no-such-file.json", &chart]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(err(&missing).starts_with("no-such-file.json: cannot be read: "), "{}", err(&missing));
}

#[test]
fn a_reader_that_stops_early_is_no_fault() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fairturn"))
        .arg("rules")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    drop(child.stdout.take());
    let done = child.wait_with_output().expect("it ends");
    assert_eq!(err(&done), "");
    assert_eq!(done.status.code(), Some(0));
}

#[test]
fn an_invented_site_is_written_whole_or_not_at_all() {
    let asked = ["invent", "--rooms", "2", "--children", "30", "--adults", "6", "--seed", "7"];
    let (once, again) = (fairturn(&asked), fairturn(&asked));
    assert_eq!(once.status.code(), Some(0));
    assert_eq!(once.stdout, again.stdout, "the same seed, the same bytes");
    let path = folder("out").join("site.json");
    fs::write(&path, "what was there before").expect("a file for the test");
    let name = path.display().to_string();
    let to_file = fairturn(&[&asked[..], &["--out", &name]].concat());
    assert_eq!((to_file.status.code(), out(&to_file)), (Some(0), ""));
    assert_eq!(fs::read(&path).expect("the file"), once.stdout);
    let left: Vec<_> = fs::read_dir(folder("out")).expect("the folder").collect();
    assert_eq!(left.len(), 1, "nothing stays beside it: {left:?}");
    let nowhere = fairturn(&[&asked[..], &["--out", "no-such-folder/site.json"]].concat());
    assert_eq!(nowhere.status.code(), Some(2));
    assert!(err(&nowhere).starts_with("no-such-folder/site.json: cannot be written: "));
}

#[test]
fn a_site_that_cannot_be_is_not_invented() {
    let crowd = fairturn(&["invent", "--rooms", "2", "--children", "49", "--adults", "9"]);
    assert_eq!(crowd.status.code(), Some(2));
    assert_eq!(err(&crowd), "--children: 49 are more than 2 rooms hold; add --rooms 3\n");
    let nobody = fairturn(&["invent", "--children", "0", "--adults", "1"]);
    assert_eq!(nobody.status.code(), Some(2));
}

#[test]
#[cfg(target_os = "linux")]
fn help_that_cannot_be_written_is_told() {
    for asked in ["--help", "--version", "rules"] {
        let full = fs::File::options().write(true).open("/dev/full").expect("a full device");
        let told = Command::new(env!("CARGO_BIN_EXE_fairturn"))
            .arg(asked)
            .stdout(full)
            .output()
            .expect("the command starts");
        assert_eq!(told.status.code(), Some(2), "{asked}");
        assert!(err(&told).starts_with("standard output: cannot be written: "), "{asked}");
    }
}
