//! The description as a page for reading. It asks nothing of any other place.

use super::openapi;
use super::operation::Takes;
use super::operations::OPERATIONS;
use super::problem::KINDS;
use crate::store::Role;
use serde_json::Value;
use std::fmt::Write;

const STYLE: &str = "body{font:16px/1.5 system-ui,sans-serif;max-width:60rem;margin:2rem auto;\
    padding:0 1rem;color:#1b1b1b;background:#fff}code,pre{font-family:ui-monospace,monospace}\
    pre{background:#f3f3f3;padding:.8rem;overflow:auto}section{border-top:1px solid #767676;\
    padding-top:.5rem}table{border-collapse:collapse}td,th{border:1px solid #767676;padding:.2rem .5rem;\
    text-align:left;vertical-align:top}a{color:#0b4f8a}";

/// The page.
#[must_use]
pub fn page() -> String {
    let document = openapi::document();
    let mut out = String::from("<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\">");
    let _ = write!(
        out,
        "<meta name=\"viewport\" content=\"width=device-width\"><title>fairturn: the API</title>\
         <style>{STYLE}</style></head><body><main><h1>fairturn: the API</h1><p>{}</p>",
        escaped(document["info"]["description"].as_str().unwrap_or(""))
    );
    out.push_str(
        "<p>For programs: <a href=\"/openapi.json\">openapi.json</a>.</p><h2>Calls</h2><ul>",
    );
    for operation in OPERATIONS {
        let _ = write!(
            out,
            "<li><a href=\"#{0}\"><code>{1} {2}</code></a></li>",
            operation.id, operation.method, operation.path
        );
    }
    out.push_str("</ul>");
    for operation in OPERATIONS {
        let role = operation.role.map_or("No token is needed.".to_owned(), needs);
        let _ = write!(
            out,
            "<section id=\"{}\"><h3><code>{} {}</code></h3><p>{}</p><p>{role}</p>",
            operation.id,
            operation.method,
            operation.path,
            escaped(operation.says)
        );
        let told = &document["paths"][operation.path][operation.method.to_lowercase()];
        parameters(&mut out, told);
        match operation.takes {
            Takes::Nothing => {}
            Takes::Form(form) => shape(&mut out, "Takes", form.name),
            Takes::Text(name) => shape(&mut out, "Takes", name),
        }
        if !operation.answers.is_empty() && operation.answers != "Any" {
            shape(&mut out, "Answers", operation.answers);
        }
        let media: Vec<&str> = operation.media.iter().map(|media| media.name()).collect();
        let statuses = told["responses"].as_object().into_iter().flat_map(|all| all.keys());
        let statuses: Vec<&str> = statuses.map(String::as_str).collect();
        let _ = write!(
            out,
            "<p>Forms: <code>{}</code>. Statuses: {}.</p></section>",
            media.join("</code>, <code>"),
            statuses.join(", ")
        );
    }
    problems(&mut out);
    shapes(&mut out, &document);
    out.push_str("</main></body></html>\n");
    out
}

fn needs(role: Role) -> String {
    format!("Needs a token for <code>{}</code>.", role.word())
}

fn shape(out: &mut String, how: &str, name: &str) {
    let _ = write!(out, "<p>{how} <a href=\"#shape-{name}\"><code>{name}</code></a>.</p>");
}

fn parameters(out: &mut String, told: &Value) {
    let Some(parameters) = told["parameters"].as_array().filter(|list| !list.is_empty()) else {
        return;
    };
    out.push_str("<table><tr><th>Parameter</th><th>Where</th><th>Meaning</th></tr>");
    for parameter in parameters {
        let text = |name: &str| escaped(parameter[name].as_str().unwrap_or(""));
        let _ = write!(
            out,
            "<tr><td><code>{}</code></td><td>{}</td><td>{}</td></tr>",
            text("name"),
            text("in"),
            text("description")
        );
    }
    out.push_str("</table>");
}

fn problems(out: &mut String) {
    out.push_str("<h2>Problems</h2>");
    for kind in KINDS {
        let _ = write!(
            out,
            "<section id=\"problem-{}\"><h3>{} {}</h3><p>{}</p></section>",
            kind.slug,
            kind.status,
            kind.title,
            escaped(kind.says)
        );
    }
}

fn shapes(out: &mut String, document: &Value) {
    out.push_str("<h2>Shapes</h2>");
    for (name, schema) in document["components"]["schemas"].as_object().into_iter().flatten() {
        let _ = write!(
            out,
            "<section id=\"shape-{name}\"><h3><code>{name}</code></h3><pre>{}</pre></section>",
            escaped(&crate::wire::pretty::pretty(schema))
        );
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
