//! Stations: a preset, and what differs from it.

use super::place::stand;
use super::presets::{STATIONS, StationPreset, Watch};
use super::reader::{Reader, check_id, label_or, words};
use crate::site::{
    Energy, Hazard, Mess, Noise, SpaceIndex, Station, StationIndex, Supervision, TableIndex,
};
use crate::standards::hazards::{HAZARDS, slug};
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Object};

const STATION: [&str; 21] = [
    "preset",
    "id",
    "label",
    "picture",
    "space",
    "zone",
    "stands_on",
    "under_cots",
    "seats",
    "from_months",
    "below_months",
    "supervision",
    "children_per_adult",
    "energy",
    "noise",
    "mess",
    "hazards",
    "allergens",
    "out_of_reach",
    "open",
    "reset_minutes",
];

/// Reads the stations, once spaces, zones and tables are known.
pub(super) fn stations(reader: &mut Reader<'_>, homes: &[SpaceIndex]) {
    let items = reader.stations.items().to_vec();
    if items.is_empty() {
        reader.needs_one("stations", "station", "a `preset` each is enough");
    }
    for (i, item) in items.iter().enumerate() {
        let id = reader.stations.id(i);
        let read = item.object(&STATION).map(|object| station(reader, &object, &id, homes));
        reader.site.stations.push(read.unwrap_or_else(|| {
            let space = homes.first().copied().unwrap_or(SpaceIndex(0));
            from_preset(&STATIONS[0], reader, id, space)
        }));
    }
}

fn from_preset(
    preset: &StationPreset,
    reader: &Reader<'_>,
    id: String,
    space: SpaceIndex,
) -> Station {
    Station {
        id,
        label: preset.label.to_string(),
        picture: preset.name.to_string(),
        space,
        zone: reader.first_zone(space),
        stands_on: None,
        under_cots: false,
        seats: preset.seats,
        from_months: preset.from_months,
        below_months: None,
        supervision: match preset.watch {
            Watch::Staffed(children_per_adult) => Supervision::Staffed { children_per_adult },
            Watch::InSight => Supervision::InSight,
            Watch::General => Supervision::General,
        },
        energy: preset.energy,
        noise: preset.noise,
        mess: preset.mess,
        hazards: preset.hazards.to_vec(),
        allergens: preset.allergens.iter().map(|a| a.to_string()).collect(),
        out_of_reach: false,
        open: Vec::new(),
        reset_minutes: preset.reset,
    }
}

fn station(reader: &Reader<'_>, object: &Object<'_>, id: &str, homes: &[SpaceIndex]) -> Station {
    check_id(object);
    let names: Vec<(&'static str, usize)> = STATIONS.iter().map(|p| p.name).zip(0..).collect();
    let preset = object.get("preset").and_then(|at| at.one_of(&names)).map(|i| &STATIONS[i]);
    let mut base = from_preset(preset.unwrap_or(&STATIONS[0]), reader, id.into(), SpaceIndex(0));
    if preset.is_none() {
        base = Station { label: id.into(), picture: id.into(), ..base };
        if object.get("preset").is_none() {
            missing_without_preset(reader, object);
        }
    }
    let open_air = preset.is_some_and(|p| p.outdoors);
    let (space, zone) = if open_air && object.get("space").is_none() && object.get("zone").is_none()
    {
        let yard = reader.site.spaces.iter().position(|s| s.outdoors);
        if yard.is_none() {
            let mend = "add a space with `outdoors`, or give the station a `space`";
            object.at.fault("there is no outdoor space for this station", mend);
        }
        let space = SpaceIndex(yard.unwrap_or(0));
        (space, reader.first_zone(space))
    } else {
        stand(reader, object, homes)
    };
    let read = Station {
        label: label_or(object, &base.label),
        picture: object.or("picture", base.picture, |at| at.label().map(str::to_string)),
        space,
        zone,
        stands_on: reader.tables.field(object, "stands_on").map(TableIndex),
        under_cots: object.or("under_cots", false, At::truth),
        seats: object.or("seats", base.seats, |at| at.whole(1, 100)),
        from_months: object.or("from_months", base.from_months, |at| at.whole(0, 216)),
        below_months: object.get("below_months").and_then(|at| at.whole(1, 216)),
        supervision: supervision(object, base.supervision),
        energy: object.or("energy", base.energy, |at| at.one_of(&ENERGY)),
        noise: object.or("noise", base.noise, |at| at.one_of(&NOISE)),
        mess: object.or("mess", base.mess, |at| at.one_of(&MESS)),
        hazards: hazards(object, &limits::HAZARDS).unwrap_or(base.hazards),
        allergens: match object.get("allergens") {
            Some(_) => words(object, &limits::ALLERGENS),
            None => base.allergens,
        },
        out_of_reach: object.or("out_of_reach", false, At::truth),
        open: object.or("open", Vec::new(), At::spans),
        reset_minutes: object.or("reset_minutes", base.reset_minutes, |at| at.whole(0, 120)),
        id: base.id,
    };
    check(reader, object, &read);
    read
}

fn missing_without_preset(reader: &Reader<'_>, object: &Object<'_>) {
    object.need("label");
    let fields = ["seats", "energy", "noise", "mess"];
    let taken: Vec<&str> = fields.into_iter().filter(|f| object.get(f).is_none()).collect();
    if !taken.is_empty() {
        let words = format!("{} as at a blocks station", taken.join(", "));
        reader.assume(&object.at, words);
    }
}

fn supervision(object: &Object<'_>, base: Supervision) -> Supervision {
    let before = match base {
        Supervision::Staffed { children_per_adult } => children_per_adult,
        Supervision::InSight | Supervision::General => 4,
    };
    let each = object.get("children_per_adult").and_then(|at| at.whole(1, 100));
    let staffed = Supervision::Staffed { children_per_adult: each.unwrap_or(before) };
    let said = object.get("supervision").and_then(|at| {
        at.one_of(&[
            ("staffed", staffed),
            ("in_sight", Supervision::InSight),
            ("general", Supervision::General),
        ])
    });
    let made = match (said, base) {
        (Some(said), _) => said,
        (None, Supervision::Staffed { .. }) => staffed,
        (None, _) => base,
    };
    if let Some(at) = object.get("children_per_adult")
        && made.adults_for(1) == 0
    {
        at.fault("only a staffed station has this", "write `supervision`: \"staffed\" as well");
    }
    made
}

/// Materials with a published caution; `None` where nothing is said.
pub(super) fn hazards(object: &Object<'_>, limit: &Limit) -> Option<Vec<Hazard>> {
    object.get(limit.field)?;
    let words = HAZARDS.map(|hazard| (slug(hazard), hazard));
    let mut hazards = Vec::new();
    for at in object.list(limit) {
        match at.one_of(&words) {
            Some(hazard) if hazards.contains(&hazard) => {
                at.fault("this is listed twice", "name it once");
            }
            Some(hazard) => hazards.push(hazard),
            None => {}
        }
    }
    Some(hazards)
}

fn check(reader: &Reader<'_>, object: &Object<'_>, station: &Station) {
    if let (Some(at), Some(table)) = (object.get("stands_on"), station.stands_on)
        && reader.site[table].space != station.space
    {
        let there = &reader.site[reader.site[table].space].label;
        at.fault(format!("that table is in {there}"), "name a table of the station's space");
    }
    if let (Some(at), Some(below)) = (object.get("below_months"), station.below_months)
        && below <= station.from_months
    {
        let from = station.from_months;
        at.fault(format!("nobody is at least {from} and below {below} months old"), "raise it");
    }
}

/// The stations named in a list.
pub(super) fn listed(reader: &Reader<'_>, object: &Object<'_>, limit: &Limit) -> Vec<StationIndex> {
    reader.stations.list(object, limit).into_iter().map(StationIndex).collect()
}

const ENERGY: [(&str, Energy); 3] =
    [("still", Energy::Still), ("moving", Energy::Moving), ("vigorous", Energy::Vigorous)];
const NOISE: [(&str, Noise); 3] =
    [("quiet", Noise::Quiet), ("normal", Noise::Normal), ("loud", Noise::Loud)];
const MESS: [(&str, Mess); 3] = [("none", Mess::None), ("dry", Mess::Dry), ("wet", Mess::Wet)];
