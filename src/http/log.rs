//! Lines for whoever runs the service: one JSON object each, to standard error. What may stand in one
//! is fixed here: routes and ids of requests, nothing of what was sent.

use crate::http::answers::time;
use crate::store::ids::now;
use serde_json::json;
use std::io::Write;

/// An answered request. `why` is the reason of a failure of the service's own.
pub fn request(id: &str, method: &str, route: &str, status: u16, millis: u64, why: Option<&str>) {
    let level = if status >= 500 { "error" } else { "info" };
    let mut line = json!({
        "time": time(now()), "level": level, "request": id, "method": method, "route": route,
        "status": status, "millis": millis,
    });
    if let Some(why) = why {
        line["why"] = why.into();
    }
    write(&line.to_string());
}

/// Something that happened to the service itself.
pub fn event(what: &str) {
    write(&json!({"time": time(now()), "level": "info", "event": what}).to_string());
}

fn write(line: &str) {
    // Nobody is left to tell when standard error is closed.
    let _ = writeln!(std::io::stderr().lock(), "{line}");
}
