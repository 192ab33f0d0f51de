//! Invented names from a coast that does not exist.

use super::chance::Chance;

const CHILDREN: [&str; 48] = [
    "Ola", "Pim", "Runa", "Sefa", "Tove", "Ulli", "Vesna", "Wim", "Yara", "Zeno", "Aske", "Bela",
    "Cato", "Dina", "Eske", "Fenna", "Gil", "Hedda", "Iben", "Jory", "Kaj", "Lume", "Mio", "Nuri",
    "Odin", "Perle", "Quin", "Rafe", "Silja", "Tam", "Una", "Vito", "Wilka", "Ysolde", "Zia",
    "Amari", "Bo", "Coralie", "Dax", "Enna", "Fitz", "Gwen", "Hale", "Isla", "Juna", "Kes",
    "Linnet", "Marlo",
];
const ADULTS: [&str; 24] = [
    "Ingrid", "Joss", "Kamila", "Leto", "Maren", "Nadir", "Oona", "Pavel", "Rosalind", "Stellan",
    "Thea", "Ubaldo", "Viveka", "Wanda", "Xenia", "Yusuf", "Zdenka", "Anselm", "Birgit", "Corin",
    "Delphine", "Evander", "Freya", "Goran",
];
const ROOMS: [&str; 12] = [
    "Gull room",
    "Lantern room",
    "Tide room",
    "Anchor room",
    "Pebble room",
    "Sail room",
    "Heron room",
    "Buoy room",
    "Driftwood room",
    "Kelp room",
    "Barnacle room",
    "Estuary room",
];
const SITES: [&str; 8] = [
    "Slipway House",
    "Saltmarsh Steps",
    "Capstan Lane",
    "The Mooring",
    "Ropewalk House",
    "Windlass Yard",
    "Tern Terrace",
    "Ferry Stairs",
];
const HARBOURS: [&str; 6] = [
    "the harbour of Skarrow",
    "the quays of Ormsey",
    "the boatyards of Pellwick",
    "the fish market of Trevane",
    "the ferry landing of Holmstrand",
    "the breakwater of Carrick Ness",
];

/// The name of a child by position; past the list they are counted.
pub(super) fn child(at: usize) -> String {
    counted(&CHILDREN, at)
}

/// The name of an adult by position.
pub(super) fn adult(at: usize) -> String {
    counted(&ADULTS, at)
}

/// The name of a room by position.
pub(super) fn room(at: usize) -> String {
    counted(&ROOMS, at)
}

pub(super) fn site(chance: &mut Chance) -> &'static str {
    chance.one_of::<&str>(&SITES)
}

pub(super) fn harbour(chance: &mut Chance) -> &'static str {
    chance.one_of::<&str>(&HARBOURS)
}

fn counted(names: &[&str], at: usize) -> String {
    let (round, name) = (at / names.len(), names[at % names.len()]);
    if round == 0 { name.to_string() } else { format!("{name} {}", round + 1) }
}

/// An id from a name.
pub(super) fn id(label: &str) -> String {
    label.to_lowercase().replace(' ', "-")
}
