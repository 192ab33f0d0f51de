//! The description of the API, OpenAPI 3.1, made from the table of calls and the types.

use super::answers;
use super::facts;
use super::form::Form;
use super::media::Media;
use super::operation::{Operation, Takes};
use super::operations::OPERATIONS;
use super::problem::{KINDS, ProblemBody};
use crate::store::Role;
use crate::wire::chart::shape::ChartFile;
use crate::wire::pretty::pretty;
use schemars::generate::{SchemaGenerator, SchemaSettings};
use serde_json::{Map, Value, json};

/// The description as text.
#[must_use]
pub fn text() -> String {
    pretty(&document())
}

/// The description.
#[must_use]
pub fn document() -> Value {
    let mut paths = Map::new();
    for operation in OPERATIONS {
        let path = paths.entry(operation.path).or_insert_with(|| json!({}));
        path[operation.method.to_lowercase()] = call(operation);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "fairturn",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "Plans the day of an early-childhood room. Local licensing rules and the \
                licensed person in the room decide; a plan is not a head count.",
            "license": {"name": "MIT OR Apache-2.0", "identifier": "MIT OR Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "security": [{"token": []}],
        "paths": paths,
        "components": {
            "schemas": schemas(),
            "securitySchemes": {"token": {
                "type": "http", "scheme": "bearer",
                "description": "A token from `fairturn token add`. A service that has none answers \
                    only this machine, without one.",
            }},
        },
    })
}

fn schemas() -> Map<String, Value> {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with(|s| s.definitions_path = "/components/schemas".into());
    let mut types: SchemaGenerator = settings.into_generator();
    macro_rules! roots {
        ($($name:ident)*) => {$(
            let _ = types.subschema_for::<answers::$name>();
        )*};
    }
    roots!(SitesPage ChartsPage RevisionLine RatioRecord VisitsAnswer TrailPage Erased JobAnswer
        Health);
    let _ = types.subschema_for::<ProblemBody>();
    let chart = types.subschema_for::<ChartFile>();
    let mut all: Map<String, Value> = types.take_definitions(true);
    all.insert("Chart".into(), chart.to_value());
    all.extend(facts::schemas());
    for operation in OPERATIONS {
        if let Takes::Form(form) = operation.takes {
            all.insert(form.name.to_owned(), Form::schema(form));
        }
    }
    all.insert("Standards".into(), json!({"type": "array", "items": {"type": "object"}}));
    all.insert("Any".into(), json!({"type": "object"}));
    all.insert("BlockCheck".into(), block_check());
    all
}

/// The answer of a block check; its parts are described where it is written.
fn block_check() -> Value {
    let list = || json!({"type": "array", "items": {"type": "object"}});
    let text = || json!({"type": "string"});
    json!({
        "type": "object",
        "required": ["format", "site", "room", "date", "caution", "verdict", "reasons", "offers", "slices"],
        "properties": {
            "format": {"type": "integer"}, "site": text(), "room": text(),
            "date": {"type": "string", "format": "date"}, "caution": text(),
            "verdict": {"type": "string", "enum": ["go", "go_with_changes", "no_go"]},
            "from": text(), "to": text(), "with_chart": {"type": "boolean"},
            "stations": list(), "reasons": list(), "offers": list(), "slices": list(),
        },
    })
}

fn call(operation: &Operation) -> Value {
    let mut told = json!({
        "operationId": operation.id,
        "summary": operation.says,
        "parameters": parameters(operation),
        "responses": responses(operation),
    });
    match operation.role {
        None => told["security"] = json!([]),
        Some(role) => {
            told["description"] = format!("Needs a token for `{}`.", role.word()).into();
        }
    }
    let body = match operation.takes {
        Takes::Nothing => None,
        Takes::Form(form) => Some(form.name),
        Takes::Text(name) => Some(name),
    };
    if let Some(name) = body {
        let schema = json!({"$ref": format!("#/components/schemas/{name}")});
        told["requestBody"] = json!({
            "required": true, "content": {"application/json": {"schema": schema}}
        });
    }
    told
}

fn parameters(operation: &Operation) -> Vec<Value> {
    let mut all = Vec::new();
    for step in operation.path.split('/') {
        let Some(name) = step.strip_prefix('{').and_then(|name| name.strip_suffix('}')) else {
            continue;
        };
        let schema = match name {
            "date" => json!({"type": "string", "format": "date"}),
            _ => json!({"type": "string", "pattern": "^[A-Za-z0-9._-]{1,80}$"}),
        };
        all.push(json!({"name": name, "in": "path", "required": true, "schema": schema}));
    }
    for parameter in operation.query {
        let schema: Value = serde_json::from_str(parameter.schema).unwrap_or_default();
        all.push(json!({
            "name": parameter.name, "in": "query", "description": parameter.says, "schema": schema
        }));
    }
    let header = |name: &str, schema: Value, says: &str| json!({"name": name, "in": "header", "description": says, "schema": schema});
    if operation.keyed || operation.job {
        let schema = json!({"type": "string", "pattern": "^[!-~]{1,200}$"});
        let says = match operation.keyed {
            true => "The same key gives the same answer for a day.",
            false => "With `Prefer: respond-async`: the same key gives the same job for a day.",
        };
        all.push(header("Idempotency-Key", schema, says));
    }
    if operation.job {
        let schema = json!({"type": "string", "enum": ["respond-async"]});
        all.push(header("Prefer", schema, "Answers at once with a job."));
    }
    if operation.versioned {
        let tag = json!({"type": "string", "pattern": "^(\\*|(W/)?\"[!#-+\\-.-~]*\")$"});
        all.push(header("If-Match", tag, "The ETag of the version that is changed."));
        let any = json!({"type": "string", "enum": ["*"]});
        all.push(header("If-None-Match", any, "For something new."));
    }
    all
}

/// Calls whose answers have a version: whoever has it already is told so.
const UNCHANGED: [&str; 3] = ["readSite", "readDay", "readSiteChart"];

/// The statuses of the problems that a call may answer.
fn problems(operation: &Operation) -> Vec<u16> {
    let steps = operation.path.contains('{');
    let body = !matches!(operation.takes, Takes::Nothing);
    let site = operation.path.starts_with("/v1/sites/");
    let solves = operation.job;
    let may = |kind: u16| match kind {
        401 | 421 => operation.role.is_some(),
        403 => operation.role.is_some(),
        404 => steps,
        400 | 406 | 429 | 503 => true,
        408 | 413 | 415 | 422 => body,
        409 => solves || operation.keyed || site,
        410 => operation.keyed || solves,
        412 | 428 => operation.versioned,
        _ => false,
    };
    let mut all: Vec<u16> = KINDS.iter().map(|kind| kind.status).filter(|s| may(*s)).collect();
    all.dedup();
    all
}

fn responses(operation: &Operation) -> Value {
    let mut all = Map::new();
    for status in operation.status {
        let says = if *status == 201 { "It is kept." } else { "It is done." };
        let mut told = json!({"description": says});
        if *status != 204 {
            let content = operation
                .media
                .iter()
                .map(|media| (media.name().to_owned(), form(operation, *media)));
            told["content"] = content.collect::<Map<String, Value>>().into();
        }
        if operation.versioned && *status != 204 || UNCHANGED.contains(&operation.id) {
            told["headers"] = json!({"ETag": {"schema": {"type": "string"}}});
        }
        if *status == 201 && operation.id != "putDay" {
            told["headers"]["Location"] = json!({"schema": {"type": "string"}});
        }
        all.insert(status.to_string(), told);
    }
    if operation.job {
        all.insert(
            "202".into(),
            json!({
                "description": "A job was put into the queue.",
                "headers": {"Location": {"schema": {"type": "string"}}},
                "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Job"}}},
            }),
        );
    }
    if UNCHANGED.contains(&operation.id) {
        all.insert("304".into(), json!({"description": "Not changed."}));
    }
    for status in problems(operation) {
        let titles = KINDS.iter().filter(|kind| kind.status == status).map(|kind| kind.title);
        let mut told = json!({
            "description": titles.collect::<Vec<_>>().join("; ") + ".",
            "content": {"application/problem+json": {
                "schema": {"$ref": "#/components/schemas/Problem"}
            }},
        });
        if matches!(status, 429 | 503) {
            told["headers"] = json!({"Retry-After": {"schema": {"type": "integer"}}});
        }
        all.insert(status.to_string(), told);
    }
    all.into()
}

fn form(operation: &Operation, media: Media) -> Value {
    match media {
        Media::Json => {
            json!({"schema": {"$ref": format!("#/components/schemas/{}", operation.answers)}})
        }
        Media::Events => {
            let fields = json!({"event": {"type": "string"}, "data": {"type": "string"}});
            json!({"schema": {"type": "object", "properties": fields}})
        }
        _ => json!({"schema": {"type": "string"}}),
    }
}

/// What each role may do, for the reference.
#[must_use]
pub fn roles() -> Vec<(&'static str, Vec<&'static str>)> {
    let calls = |role: Role| {
        OPERATIONS.iter().filter(|op| op.role == Some(role)).map(|op| op.id).collect::<Vec<_>>()
    };
    Role::ALL.iter().map(|(role, word)| (*word, calls(*role))).collect()
}
