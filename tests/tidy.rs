//! The house rules: who may import whom, how long a file may be, what stands at the top level.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A room of the house: a folder (or file) directly under `src`.
struct Room {
    name: &'static str,
    /// Rooms above it that it must not import from all the same.
    never: &'static [&'static str],
    /// Does no input or output, reads no clock, gets chance as an argument.
    pure: bool,
    /// Reads or writes JSON.
    serialises: bool,
    /// Counts people, and so knows no floating-point number.
    whole_numbers: bool,
}

const fn room(name: &'static str) -> Room {
    Room { name, never: &[], pure: true, serialises: false, whole_numbers: false }
}

/// In import order: a room imports only from rooms above it.
const ROOMS: &[Room] = &[
    room("steps"),
    Room { whole_numbers: true, ..room("site") },
    Room { serialises: true, ..room("standards") },
    Room { whole_numbers: true, ..room("chart") },
    room("day"),
    room("say"),
    room("model"),
    Room { whole_numbers: true, ..room("rules") },
    room("solve"),
    room("planner"),
    Room { never: &["model", "solve"], serialises: true, ..room("wire") },
    Room { never: &["model", "rules", "solve"], pure: false, ..room("store") },
    Room { never: &["model", "solve", "store"], ..room("sheet") },
    Room { never: &["model", "solve", "store"], ..room("page") },
    Room { never: &["model", "solve"], pure: false, serialises: true, ..room("http") },
    Room { never: &["model", "solve"], pure: false, ..room("cli") },
];

const TOP_LEVEL: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "api",
    "scenarios",
    "src",
    "tests",
];

const MOST_LINES: usize = 400;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file under a folder, in order of path.
fn files_under(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.expect("a readable entry").path())
        .collect();
    entries.sort();
    entries
        .into_iter()
        .flat_map(|path| if path.is_dir() { files_under(&path) } else { vec![path] })
        .collect()
}

/// Rust files under `src` or `tests`, with their path from the top level and their text.
fn rust_files(folder: &str) -> Vec<(String, String)> {
    files_under(&root().join(folder))
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .map(|path| (from_top(&path), fs::read_to_string(&path).expect("UTF-8 source")))
        .collect()
}

fn from_top(path: &Path) -> String {
    path.strip_prefix(root()).expect("a path of the project").display().to_string()
}

/// The room that a file belongs to; `None` for `lib.rs` and `main.rs`.
fn room_of(path: &str) -> Option<usize> {
    let first = path.strip_prefix("src/")?.split('/').next()?;
    let name = first.strip_suffix(".rs").unwrap_or(first);
    ROOMS.iter().position(|room| room.name == name)
}

/// The source without its comments, line by line.
fn code(source: &str) -> String {
    let lines = source.lines().map(|line| match line.find("//") {
        Some(at) if line[..at].trim().is_empty() || line[..at].ends_with(' ') => &line[..at],
        _ => line,
    });
    lines.collect::<Vec<_>>().join("\n")
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// What stands first after every `root::`, each name of a brace group included.
fn after(code: &str, root: &str) -> Vec<String> {
    let needle = format!("{root}::");
    let mut found = Vec::new();
    for (at, _) in code.match_indices(&needle) {
        if code[..at].chars().next_back().is_some_and(|c| is_word(c) || c == ':') {
            continue;
        }
        let rest = &code[at + needle.len()..];
        let Some(group) = rest.strip_prefix('{') else {
            found.push(first_word(rest));
            continue;
        };
        let (mut depth, mut start) = (0usize, true);
        for (i, c) in group.char_indices() {
            match c {
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                '{' => depth += 1,
                ',' if depth == 0 => start = true,
                _ if start && !c.is_whitespace() => {
                    found.push(first_word(&group[i..]));
                    start = false;
                }
                _ => {}
            }
        }
    }
    found
}

fn first_word(text: &str) -> String {
    let word: String = text.chars().take_while(|&c| is_word(c)).collect();
    if word.is_empty() { text.chars().take(1).collect() } else { word }
}

/// How many `super::` lead from a file to the crate's root.
fn depth(path: &str) -> usize {
    let steps = path.matches('/').count();
    if path.ends_with("/mod.rs") { steps - 1 } else { steps }
}

/// Names at the crate's root that a file reaches, by `crate::`, `fairturn::` or `super::`.
fn reached(path: &str, code: &str) -> Vec<String> {
    let mut found = after(code, "crate");
    found.extend(after(code, "fairturn"));
    let to_root = vec!["super"; depth(path)].join("::");
    let rooms = after(code, &to_root);
    found.extend(rooms.into_iter().filter(|name| ROOMS.iter().any(|room| room.name == name)));
    found
}

#[track_caller]
fn none(faults: &[String]) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn rooms_import_only_from_rooms_above_them() {
    let mut faults = Vec::new();
    for (path, source) in rust_files("src") {
        let Some(own) = room_of(&path) else { continue };
        for name in reached(&path, &code(&source)) {
            let other = ROOMS.iter().position(|room| room.name == name);
            let allowed =
                other.is_some_and(|o| o <= own && !ROOMS[own].never.contains(&ROOMS[o].name));
            if !allowed {
                faults.push(format!("{path}: {} must not import {name}", ROOMS[own].name));
            }
        }
    }
    none(&faults);
}

#[test]
fn every_folder_and_file_under_src_is_a_room() {
    let strangers: Vec<String> = rust_files("src")
        .into_iter()
        .map(|(path, _)| path)
        .filter(|path| room_of(path).is_none() && path != "src/lib.rs" && path != "src/main.rs")
        .collect();
    none(&strangers);
}

#[test]
fn paths_are_found_however_they_are_written() {
    let text = "use crate::{site::{A, B}, chart::C};\nlet x = crate::day::open(); // crate::http\n";
    assert_eq!(reached("src/rules/mod.rs", &code(text)), ["site", "chart", "day"]);
    let text = "use super::solve::X; use super::other;";
    assert_eq!(reached("src/rules/mod.rs", text), ["solve"]);
    assert_eq!(reached("src/rules/ratio.rs", text), Vec::<String>::new());
    let text = "//! crate::cli\nuse super::super::cli; use supercrate::wire; use crate::*;";
    assert_eq!(reached("src/rules/ratio.rs", &code(text)), ["*", "cli"]);
}

#[test]
fn every_file_says_first_what_it_is() {
    let files = rust_files("src").into_iter().chain(rust_files("tests"));
    let silent: Vec<String> =
        files.filter(|(_, text)| !text.starts_with("//! ")).map(|(path, _)| path).collect();
    none(&silent);
}

#[test]
fn no_file_is_too_long_to_read() {
    let files = rust_files("src").into_iter().chain(rust_files("tests"));
    let long: Vec<String> = files
        .filter(|(_, text)| text.lines().count() > MOST_LINES)
        .map(|(path, text)| format!("{path}: {} lines, at most {MOST_LINES}", text.lines().count()))
        .collect();
    none(&long);
}

#[test]
fn pure_rooms_touch_no_file_no_clock_and_no_chance() {
    const MODULES: &[&str] = &["env", "fs", "io", "net", "process", "time"];
    const WORDS: &[&str] =
        &["println!", "print!", "Local::now", "Utc::now", "rand::rng", "from_os_rng", "async fn"];
    let mut faults = Vec::new();
    for (path, source) in rust_files("src") {
        if !room_of(&path).is_some_and(|room| ROOMS[room].pure) {
            continue;
        }
        let code = code(&source);
        let modules = after(&code, "std").into_iter().filter(|m| MODULES.contains(&m.as_str()));
        faults.extend(modules.map(|module| format!("{path}: std::{module}")));
        let words = WORDS.iter().filter(|word| code.contains(**word));
        faults.extend(words.map(|word| format!("{path}: {word}")));
    }
    none(&faults);
}

#[test]
fn only_the_edge_serialises() {
    let silent = |path: &str| room_of(path).is_some_and(|room| !ROOMS[room].serialises);
    let files = rust_files("src").into_iter();
    let wrong = files.filter(|(path, source)| silent(path) && code(source).contains("serde"));
    let place = "serde has its place in standards, wire and http";
    none(&wrong.map(|(path, _)| format!("{path}: {place}")).collect::<Vec<_>>());
}

#[test]
fn people_are_counted_in_whole_numbers() {
    let mut faults = Vec::new();
    for (path, source) in rust_files("src") {
        let whole = room_of(&path).is_some_and(|room| ROOMS[room].whole_numbers);
        let code = code(&source);
        let mut words = code.split(|c| !is_word(c));
        if whole && words.any(|word| word == "f64" || word == "f32") {
            faults.push(format!("{path}: a floating-point number where people are counted"));
        }
    }
    none(&faults);
}

#[test]
fn solvers_of_others_are_named_by_cross_checks_alone() {
    let all = rust_files("src").into_iter().chain(rust_files("tests"));
    let naming = all.filter(|(_, text)| {
        let code = code(text);
        ["good_lp", "microlp"].iter().any(|name| !after(&code, name).is_empty())
    });
    let naming: Vec<String> = naming.map(|(path, _)| path).collect();
    assert_eq!(naming, ["tests/solve/highs.rs", "tests/solve/milp.rs"]);
}

#[test]
fn secrets_are_compared_in_one_place_and_searched_for_nowhere() {
    let mut faults = Vec::new();
    for (path, source) in rust_files("src") {
        let code = code(&source);
        let own = path == "src/store/secret.rs";
        if ["ConstantTimeEq", "ct_eq", "subtle::"].iter().any(|word| code.contains(word)) != own {
            faults.push(format!("{path}: secrets are compared in src/store/secret.rs"));
        }
        // A database compares byte by byte: a token is found by the id that may be told.
        if source.contains(" digest = ") || source.contains(".digest = ") {
            faults.push(format!("{path}: what is secret is searched for"));
        }
        let reads = source.matches("\"digest\"").count();
        if reads != source.matches("Secret::kept(text(&row, \"digest\")?)").count() {
            faults.push(format!("{path}: a digest is read as a plain text"));
        }
    }
    none(&faults);
}

#[test]
fn every_test_file_is_run() {
    let mut forgotten: Vec<String> = Vec::new();
    for (path, _) in rust_files("tests") {
        let (folder, file) = path.rsplit_once('/').expect("a file under tests");
        let of = match (folder, file.trim_end_matches(".rs")) {
            ("tests", "all") => continue,
            ("tests", name) => ("tests/all.rs".to_owned(), name),
            (folder, "mod") => match folder.rsplit_once('/') {
                Some(("tests", name)) => ("tests/all.rs".to_owned(), name),
                Some((above, name)) => (format!("{above}/mod.rs"), name),
                None => unreachable!("{path} is in a folder"),
            },
            // A benchmark is a program of its own.
            ("tests/bench", _) | ("tests/compare", "main" | "make" | "draw" | "mornings") => {
                continue;
            }
            (folder, name) => (format!("{folder}/mod.rs"), name),
        };
        let declares = |line: &str| line.trim_start_matches("pub ") == format!("mod {};", of.1);
        if !fs::read_to_string(root().join(&of.0)).is_ok_and(|text| text.lines().any(declares)) {
            forgotten.push(format!("{path} is no module of {}", of.0));
        }
    }
    none(&forgotten);
}

#[test]
fn the_top_level_is_what_the_map_says() {
    let there: BTreeSet<String> = fs::read_dir(root())
        .expect("the top level")
        .map(|entry| entry.expect("a readable entry").file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && name != "target")
        .collect();
    assert_eq!(there.iter().map(String::as_str).collect::<Vec<_>>(), TOP_LEVEL);
}

#[test]
fn no_path_of_a_machine_and_no_registry_is_written_down() {
    // Spelled in two halves, or this file would name them.
    let banned =
        [("/wo", "rk/"), ("/ro", "ot/"), ("/tm", "p/"), ("crates", ".io"), ("pypi", ".org")]
            .map(|(a, b)| format!("{a}{b}"));
    let mut faults = Vec::new();
    for top in TOP_LEVEL.iter().chain(&[".ci", ".clippy.toml", ".deny.toml"]) {
        let path = root().join(top);
        // Cargo itself writes the registry into its lock file.
        let files = match *top {
            "Cargo.lock" => continue,
            _ if path.is_dir() => files_under(&path),
            _ => vec![path],
        };
        for file in files {
            let text = String::from_utf8_lossy(&fs::read(&file).expect("a file")).into_owned();
            let found = banned.iter().filter(|word| text.contains(word.as_str()));
            faults.extend(found.map(|word| format!("{}: {word}", from_top(&file))));
        }
    }
    none(&faults);
}

/// Rooms whose code knows rules by what they say of themselves, and never by name.
const KNOW_NO_RULE_BY_NAME: [&str; 6] = ["site", "standards", "day", "model", "solve", "planner"];

#[test]
fn no_rule_and_no_aim_is_known_by_its_slug_outside_its_room() {
    use fairturn::rules::{AIMS, RULES};
    let slugs = RULES.iter().map(|r| r.slug).chain(AIMS.iter().map(|a| a.slug));
    let quoted: Vec<String> = slugs.map(|slug| format!("\"{slug}\"")).collect();
    let mut found = Vec::new();
    for (path, source) in rust_files("src") {
        let room = room_of(&path).map(|room| ROOMS[room].name);
        if !room.is_some_and(|room| KNOW_NO_RULE_BY_NAME.contains(&room)) {
            continue;
        }
        for (line, text) in code(&source).lines().enumerate() {
            let slug = quoted.iter().find(|slug| text.contains(slug.as_str()));
            // Sources of a standard are listed under what they are about.
            let of_a_source =
                path.starts_with("src/standards/") && text.contains("source.as_str()");
            found
                .extend(slug.filter(|_| !of_a_source).map(|s| format!("{path}:{}: {s}", line + 1)));
        }
    }
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn which_of_two_charts_is_better_is_said_by_the_score_alone() {
    let mut found = Vec::new();
    for (path, source) in rust_files("src") {
        let judges = ["src/rules/", "src/wire/", "src/page/", "src/http/"];
        if judges.iter().any(|room| path.starts_with(room)) {
            continue;
        }
        let source = code(&source);
        for word in ["person_minutes(", "rules::shortfall(", ".by as u64"] {
            if source.contains(word) {
                found.push(format!("{path} adds up {word} by itself"));
            }
        }
    }
    assert_eq!(found, Vec::<String>::new());
}
