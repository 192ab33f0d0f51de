//! The site itself: its clock, the standards that bind it, its settings.

use super::reader::{Reader, label_or};
use crate::site::Settings;
use crate::standards::breaks::{self, BreakRule};
use crate::standards::{Standard, find, library, look_up};
use crate::wire::fault::shorten;
use crate::wire::limits;
use crate::wire::{At, Object, tree::Value};
use std::sync::Arc;

const SITE: [&str; 8] = [
    "id",
    "label",
    "time_zone",
    "standards",
    "local_limits",
    "break_rule",
    "usual_times",
    "settings",
];

const SETTINGS: [&str; 10] = [
    "young_under_months",
    "wash_minutes",
    "care_minutes",
    "care_interval",
    "minutes_to_reach_children",
    "minutes_to_come_in",
    "choice_seats_percent",
    "meal_interval",
    "two_wet_stations",
    "most_in_percent",
];

/// Reads the site, and answers every standard that binds it.
pub(super) fn site(reader: &mut Reader<'_>) -> Vec<Arc<Standard>> {
    let Some(object) = reader.root.need("site").and_then(|at| at.object(&SITE)) else {
        return Vec::new();
    };
    object.need("label");
    reader.site.label = label_or(&object, "Site");
    reader.site.id = super::ids::own_id(&object, &reader.site.label);
    if let Some(at) = object.need("time_zone")
        && let Some(zone) = time_zone(&at)
    {
        reader.site.time_zone = zone;
    }
    let standards = standards(reader, &object);
    let said = object.get("break_rule").and_then(|at| break_rule(&at));
    reader.break_rule = said.unwrap_or_else(|| breaks::rule_for(&standards));
    if let Some(at) = object.get("usual_times") {
        for (_, times) in at.members(&limits::USUAL_TIMES).unwrap_or_default() {
            let _ = times.spans();
        }
    }
    if let Some(at) = object.get("settings") {
        reader.site.settings = settings(&at).unwrap_or_default();
    }
    standards
}

fn time_zone(at: &At<'_>) -> Option<chrono_tz::Tz> {
    let name = at.text()?;
    let zone = name.parse().ok();
    if zone.is_none() {
        let known = chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
        let near = crate::wire::nearest(name, known);
        let mend = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write a name of the IANA list, like Europe/Dublin".into(),
        };
        at.fault("this is not a time zone", mend);
    }
    zone
}

fn break_rule(at: &At<'_>) -> Option<&'static BreakRule> {
    let id = at.text()?;
    let rule = breaks::find(id);
    if rule.is_none() {
        at.unknown_as("rule for staff breaks", id, breaks::library().iter().map(|r| r.id.as_str()));
    }
    rule
}

fn standards(reader: &mut Reader<'_>, object: &Object<'_>) -> Vec<Arc<Standard>> {
    let mut binding: Vec<Arc<Standard>> = Vec::new();
    for at in object.list(&limits::STANDARDS) {
        let Some(id) = at.text() else { continue };
        match find(id) {
            Some(standard) if binding.iter().any(|b| b.id == standard.id) => {
                at.fault("this is listed twice", "name it once");
            }
            Some(standard) => binding.push(standard),
            None => match &look_up(id)[..] {
                [one] => {
                    let cause = format!("no standard has the id `{}`", shorten(id, 40));
                    at.fault(cause, format!("did you mean `{}`?", one.id));
                }
                _ => at.unknown_as("standard", id, library().iter().map(|s| s.id.as_str())),
            },
        }
    }
    reader.site.standards = binding.iter().map(|standard| standard.id.clone()).collect();
    match object.get("local_limits") {
        Some(at) => binding.extend(local_limits(&at)),
        None if object.get("standards").is_none() => {
            let known: Vec<&str> = library().iter().map(|s| s.id.as_str()).collect();
            let mend = format!("add `standards`: one or more of {}", known.join(", "));
            object.at.fault("no standard binds this site", mend);
        }
        None if object.list(&limits::STANDARDS).is_empty() => {
            object.at.fault("no standard binds this site", "name one in `standards`");
        }
        None => {}
    }
    binding
}

fn local_limits(at: &At<'_>) -> Option<Arc<Standard>> {
    if !matches!(at.value(), Value::Object(_)) {
        return at.wrong_kind("an object in the form of a standard's file");
    }
    let count = longest(at.value(), 0);
    if count > limits::LOCAL_LIMITS.most {
        at.fault(limits::LOCAL_LIMITS.cause(count), limits::LOCAL_LIMITS.mend);
        return None;
    }
    match Standard::from_json(&at.value().to_json()) {
        Ok(standard) if find(&standard.id).is_some() => {
            let cause = format!("`{}` is the id of a built-in standard", standard.id);
            at.fault(cause, "give the local limits an id of their own");
            None
        }
        Ok(standard) => Some(Arc::new(standard)),
        Err(faults) => {
            for fault in faults {
                at.fault(format!("these limits cannot be read: {fault}"), "mend that place");
            }
            None
        }
    }
}

/// How many entries the longest list or object in a value has.
fn longest(value: &Value, so_far: usize) -> usize {
    let own = match value {
        Value::List(items) => items.len(),
        Value::Object(members) => members.len(),
        _ => 0,
    };
    let so_far = so_far.max(own);
    match value {
        Value::List(items) => items.iter().fold(so_far, |most, n| longest(&n.value, most)),
        Value::Object(members) => {
            members.iter().fold(so_far, |most, m| longest(&m.node.value, most))
        }
        _ => so_far,
    }
}

fn settings(at: &At<'_>) -> Option<Settings> {
    let object = at.object(&SETTINGS)?;
    let usual = Settings::default();
    let interval = object.get("meal_interval").and_then(|at| {
        let object = at.object(&["least", "most"])?;
        let least = object.or("least", usual.meal_interval.0, |at| at.whole(0, 720));
        let most = object.or("most", usual.meal_interval.1, |at| at.whole(1, 1440));
        if least > most {
            at.fault(format!("at least {least} is more than at most {most}"), "raise `most`");
        }
        Some((least, most))
    });
    Some(Settings {
        young_under_months: object
            .or("young_under_months", usual.young_under_months, |at| at.whole(0, 72)),
        wash_minutes: object.or("wash_minutes", usual.wash_minutes, |at| at.whole(0, 10)),
        care_minutes: object.or("care_minutes", usual.care_minutes, |at| at.whole(1, 30)),
        care_interval: object.or("care_interval", usual.care_interval, |at| at.whole(30, 720)),
        minutes_to_reach_children: object.or(
            "minutes_to_reach_children",
            usual.minutes_to_reach_children,
            |at| at.whole(0, 60),
        ),
        minutes_to_come_in: object
            .or("minutes_to_come_in", usual.minutes_to_come_in, |at| at.whole(0, 240)),
        choice_seats_percent: object
            .or("choice_seats_percent", usual.choice_seats_percent, |at| at.whole(100, 400)),
        meal_interval: interval.unwrap_or(usual.meal_interval),
        two_wet_stations: object.or("two_wet_stations", usual.two_wet_stations, At::truth),
        most_in_percent: object.or("most_in_percent", usual.most_in_percent, |at| at.whole(0, 100)),
    })
}
