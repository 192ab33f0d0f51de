//! The shapes of a scenario and of a chart that is sent, for the description. The reading itself is
//! in another room; a test holds both against each other.

use crate::wire::limits::{ID, LABEL, SPANS, TEXT, limit_of};
use serde_json::{Map, Value, json};

/// An object of facts: its name, what it is, and its fields as `name:type`, `!` where needed.
/// Types: `label text id ids words date time minutes whole degrees number truth days span spans when`, a list of
/// words `a|b`, another object `@Name`, a list `[@Name]`, or an object whose names are ids `{...}`.
pub const FACTS: &[(&str, &str, &str)] = &[
    (
        "Scenario",
        "Everything that a chart is made from.",
        "format!:one about:text site!:@SiteFacts rooms:[@Room] spaces:[@Space] zones:[@Zone] \
         tables:[@Table] stations!:[@Station] children!:[@Child] adults!:[@Adult] \
         schedules!:[@Schedule] days:[@DayOfScenario] visits:[@Visit]",
    ),
    (
        "SiteFacts",
        "The site and what binds it.",
        "id:id label!:label time_zone!:text standards:ids local_limits:any break_rule:text \
         usual_times:{spans} settings:@SiteSettings",
    ),
    (
        "SiteSettings",
        "Figures that are the site's own.",
        "young_under_months:whole wash_minutes:minutes care_minutes:minutes \
         care_interval:minutes minutes_to_reach_children:minutes minutes_to_come_in:minutes \
         choice_seats_percent:whole meal_interval:@LeastMost \
         two_wet_stations:truth most_in_percent:whole",
    ),
    ("LeastMost", "Two whole numbers.", "least!:whole most!:whole"),
    (
        "Room",
        "A class and its home.",
        "id:id label:label home:id spaces:ids group_size:@LeastMost group_ages:alike|mixed \
         groups:[@StandingGroup] governing_age_months:whole schedule:id days:days by_weekday:{id}",
    ),
    ("StandingGroup", "A small group.", "id!:id label:label picture:label children!:ids"),
    (
        "Space",
        "A floor area.",
        "id!:id label:label shared:truth outdoors:truth room_to_move:truth class_size:whole \
         floor_square_metres:number sinks:whole care_place:@CarePlace walking:{minutes}",
    ),
    ("CarePlace", "Where children are changed.", "seen_from:ids"),
    ("Zone", "What one adult can see from one spot.", "id!:id label:label space:id"),
    ("Table", "A table that is eaten at.", "id:id label:label space:id zone:id seats!:whole"),
    (
        "Station",
        "A learning centre.",
        "preset:text id:id label:label picture:label space:id zone:id stands_on:id under_cots:truth \
         seats:whole from_months:whole below_months:whole supervision:staffed|in_sight|general \
         children_per_adult:whole energy:still|moving|vigorous noise:quiet|normal|loud \
         mess:none|dry|wet hazards:words allergens:words out_of_reach:truth open:spans \
         reset_minutes:minutes",
    ),
    (
        "Child",
        "A child: a label, never a full name.",
        "id:id label!:label born!:date room:id days:days times:when attendance:{when} \
         breakfast_here:truth toileting:nappies|learning|alone sleep:when quiet_rest_minutes:minutes \
         one_to_one:@OneToOne settling_in:@SettlingIn allergies:words not_for:ids often_chosen:ids \
         keep_with:ids keep_apart:ids key_adult:id",
    ),
    ("OneToOne", "The child's own adult.", "adult!:id stand_ins:ids"),
    ("SettlingIn", "A child who is new.", "until!:date with!:id"),
    (
        "Adult",
        "An adult of the team.",
        "id:id label!:label shift:spans days:days shifts:{spans} counts:truth may_be_alone:truth \
         lead:truth first_aid:truth qualifications:words rooms:ids floater:truth in_rooms:{spans} \
         breaks:[@StaffBreak] posts_not_taken:words",
    ),
    ("StaffBreak", "A staff break.", "minutes!:minutes window!:span paid:truth may_leave:truth"),
    (
        "Schedule",
        "A room's day before anyone is placed.",
        "id:id room:id preset:full-day|family-home|half-day times:{time} open:span parts:[@Part] \
         stretches:[@Stretch] meals:[@Meal] rest:@Rest care_rounds:spans tasks:[@Task] \
         movement:@Movement turn_minutes:[@MinutesByAge] whole_group_minutes:[@MinutesByAge] \
         transition_minutes:minutes dressing:@Dressing",
    ),
    (
        "Dressing",
        "Getting dressed to go out.",
        "minutes:[@MinutesByAge] more_when_cold_or_wet:minutes less_when_warm:minutes \
         cold_below_celsius:degrees warm_from_celsius:degrees",
    ),
    ("Part", "A fixed part.", "kind!:arrival|circle|outdoors|going_home when!:span space:id"),
    ("Stretch", "A stretch of turns or of choice.", "kind!:assigned|choice when!:span"),
    (
        "Meal",
        "A meal.",
        "kind!:breakfast|morning_snack|lunch|afternoon_snack window!:span minutes:minutes tables:ids",
    ),
    (
        "Rest",
        "The rest.",
        "window!:span minutes:minutes space:id settling_minutes:minutes awake_longest:minutes",
    ),
    (
        "Task",
        "Work beside the children.",
        "id:id label!:label minutes!:minutes window!:span space:id watching:truth",
    ),
    (
        "Movement",
        "Movement breaks.",
        "outdoor_day:whole indoor_day:whole minutes:minutes longest_still:minutes space:id",
    ),
    ("MinutesByAge", "Minutes up to an age.", "below_months:whole minutes!:minutes"),
    (
        "DayOfScenario",
        "What is said about a date.",
        "date!:date about:text schedule:id children:{when} adults:{when} closed:any kept:[@Kept] \
         indoor:truth weather:@Weather offers:[@Offer] in_rooms:{any}",
    ),
    (
        "DayEntry",
        "What is said about the date of the path.",
        "date:date about:text schedule:id children:{when} adults:{when} closed:any kept:[@Kept] \
         indoor:truth weather:@Weather offers:[@Offer] in_rooms:{any}",
    ),
    ("Kept", "A cell that the teacher keeps.", "child:id group:id station!:id when!:span"),
    (
        "Weather",
        "What is measured or forecast.",
        "celsius:number fahrenheit:number wind_kilometres_per_hour:number \
         wind_miles_per_hour:number humidity_percent:number air_quality:number lightning:truth \
         wet:truth rule_set:text",
    ),
    (
        "Offer",
        "What stands at a station on a day.",
        "station!:id activity!:label hazards:words allergens:words from_months:whole must_do:any",
    ),
    ("Visit", "Who was at a station.", "date!:date station!:id children:ids all_but:ids"),
    (
        "Happening",
        "One thing that has happened; which fields go with which word is in the form of a repair.",
        "what!:away|late|leaving|staying|back|held_up|extra_adult|closed|open|indoors|outdoors|missed_break|break_at \
         adult:id child:id station:id at:time from:time to:any until:any id:id label:label \
         counts:truth may_be_alone:truth lead:truth first_aid:truth qualifications:words break:whole",
    ),
    (
        "ChartGiven",
        "A chart as it was answered, or edited by hand; what can be read off it is read again.",
        "format!:one site:id date!:date safe_to_run:any caution:any indoor_day:any problems:any \
         aims:any choice:any repair:any rooms!:[any] groups:[any] children!:[any] adults!:[any] day:any ratio:any \
         head_counts:any minutes:any room_for:any notes:any assumed:any changes:any fixes:any made:any",
    ),
];

/// The fields of an object of facts.
#[must_use]
pub fn fields(facts: &str) -> Vec<&str> {
    facts
        .split_whitespace()
        .map(|field| field.split(':').next().unwrap_or(field).trim_end_matches('!'))
        .collect()
}

/// Every object of facts as a JSON Schema.
#[must_use]
pub fn schemas() -> Map<String, Value> {
    let object =
        |(name, says, facts): &(&str, &str, &str)| ((*name).to_owned(), object(name, says, facts));
    FACTS.iter().map(object).collect()
}

fn object(object: &str, says: &str, facts: &str) -> Value {
    let (mut properties, mut needed) = (Map::new(), Vec::new());
    for field in facts.split_whitespace() {
        let (name, kind) = field.split_once(':').unwrap_or((field, "any"));
        let bare = name.trim_end_matches('!');
        let mut schema = schema(kind);
        if let Some(limit) = limit_of(object, bare) {
            let most = if kind.starts_with('{') { "maxProperties" } else { "maxItems" };
            schema[most] = limit.most.into();
        }
        if bare.len() < name.len() {
            needed.push(bare);
        } else if kind != "any" {
            // `null` is the same as leaving a field out.
            schema = json!({"anyOf": [schema, {"type": "null"}]});
        }
        properties.insert(bare.to_owned(), schema);
    }
    json!({
        "type": "object", "description": says, "properties": properties, "required": needed,
        "additionalProperties": false,
    })
}

fn schema(kind: &str) -> Value {
    let span =
        json!({"type": "string", "pattern": "^[0-2][0-9]:[0-5][0-9]-[0-2][0-9]:[0-5][0-9]$"});
    let id = json!({"type": "string", "pattern": "^[A-Za-z0-9._-]{1,40}$", "maxLength": ID});
    let label = json!({"type": "string", "minLength": 1, "maxLength": LABEL});
    let spans = json!({"type": "array", "maxItems": SPANS.most, "items": span});
    match kind {
        "any" => json!({}),
        "one" => json!({"type": "integer", "minimum": 1, "maximum": 1}),
        "text" => json!({"type": "string", "maxLength": TEXT}),
        "when" => {
            json!({"anyOf": [{"type": "string", "maxLength": TEXT}, {"type": "integer"}, spans]})
        }
        "label" => label,
        "id" => id,
        "ids" => json!({"type": "array", "items": id}),
        "words" => json!({"type": "array", "items": label}),
        "date" => json!({"type": "string", "format": "date"}),
        "time" => json!({"type": "string", "pattern": "^([01][0-9]|2[0-3]):[0-5][0-9]$"}),
        "minutes" => json!({"type": "integer", "minimum": 0, "maximum": 1440}),
        "whole" => json!({"type": "integer", "minimum": 0}),
        "degrees" => json!({"type": "integer"}),
        "number" => json!({"type": "number"}),
        "truth" => json!({"type": "boolean"}),
        "days" => {
            let days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
            json!({"type": "array", "items": {"type": "string", "enum": days}})
        }
        "span" => span,
        "spans" => json!({"anyOf": [span, spans]}),
        _ => match kind.as_bytes() {
            [b'@', ..] => json!({"$ref": format!("#/components/schemas/{}", &kind[1..])}),
            [b'[', .., b']'] => {
                json!({"type": "array", "items": schema(&kind[1..kind.len() - 1])})
            }
            [b'{', .., b'}'] => {
                let inner = schema(&kind[1..kind.len() - 1]);
                json!({"type": "object", "additionalProperties": inner})
            }
            _ => json!({"type": "string", "enum": kind.split('|').collect::<Vec<_>>()}),
        },
    }
}
