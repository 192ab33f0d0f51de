//! The scenarios that are shipped can be read, and opened on each of their days.

use fairturn::site::RoomIndex;
use fairturn::wire::scenario::{Scenario, read};

/// Every shipped scenario with its file name.
pub fn scenarios() -> Vec<(String, Vec<u8>)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .expect("the scenarios are there")
        .map(|entry| entry.expect("a file of the folder").path())
        .filter(|path| path.to_string_lossy().ends_with(".scenario.json"))
        .collect();
    found.sort();
    let name = |path: &std::path::Path| path.file_name().expect("a name").to_string_lossy().into();
    found.iter().map(|path| (name(path), std::fs::read(path).expect("it can be read"))).collect()
}

fn shipped(name: &str) -> Scenario {
    let text = scenarios().into_iter().find(|(file, _)| file.starts_with(name)).expect(name).1;
    let told = |faults: Vec<fairturn::wire::Fault>| {
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    read(&text).map_err(told).unwrap_or_else(|faults| panic!("{name}:\n{faults}"))
}

#[test]
fn every_shipped_scenario_is_read_and_opened() {
    for (name, _) in scenarios() {
        let scenario = shipped(&name);
        assert!(scenario.about.starts_with("Invented"), "{name} says that it is invented");
        assert!(!scenario.days.is_empty(), "{name} has a day to show");
        for facts in &scenario.days {
            for room in (0..scenario.site.rooms.len()).map(RoomIndex) {
                let day = scenario.open(room, facts.date);
                let day = day.unwrap_or_else(|faults| panic!("{name} {}: {faults:?}", facts.date));
                assert!(!day.children.is_empty() && !day.adults.is_empty(), "{name}");
            }
        }
    }
}
