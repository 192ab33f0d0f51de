//! Names and pictures for small groups: things seen from a quay.

use crate::site::StandingGroup;

/// Picture names with what the children call the group.
const PICTURES: [(&str, &str); 24] = [
    ("boat", "Boats"),
    ("gull", "Gulls"),
    ("shell", "Shells"),
    ("lantern", "Lanterns"),
    ("anchor", "Anchors"),
    ("kite", "Kites"),
    ("crab", "Crabs"),
    ("sail", "Sails"),
    ("bell", "Bells"),
    ("fish", "Fish"),
    ("bucket", "Buckets"),
    ("pebble", "Pebbles"),
    ("star", "Stars"),
    ("wave", "Waves"),
    ("oar", "Oars"),
    ("net", "Nets"),
    ("umbrella", "Umbrellas"),
    ("cloud", "Clouds"),
    ("barrel", "Barrels"),
    ("seal", "Seals"),
    ("buoy", "Buoys"),
    ("rope", "Ropes"),
    ("boot", "Boots"),
    ("drum", "Drums"),
];

/// An empty group with the first picture that no group has; past the last picture they are counted.
pub(super) fn free(taken: &[StandingGroup]) -> StandingGroup {
    for round in 1.. {
        for (picture, label) in PICTURES {
            let id = if round == 1 { picture.to_string() } else { format!("{picture}-{round}") };
            let label = if round == 1 { label.to_string() } else { format!("{label} {round}") };
            let used = taken
                .iter()
                .any(|g| g.id == id || g.label == label || (round == 1 && g.picture == picture));
            if !used {
                let picture = picture.to_string();
                return StandingGroup { id, label, picture, children: Vec::new() };
            }
        }
    }
    unreachable!("the rounds never end and the groups do")
}
