//! What is built in: standards, rules and aims.

use crate::http::answers::{
    RuleLine, RulesList, SourceLine, StandardAnswer, StandardLine, StandardsList,
};
use crate::http::call::{Answer, Call, Reply};
use crate::http::media::Media;
use crate::http::problem::{MISSING, Problem};
use crate::page::text::{print_rules, print_standard, print_standards};
use crate::rules::{AIMS, RULES};
use crate::standards::{find, library};

/// The built-in standards.
///
/// # Errors
/// None.
pub async fn standards(call: Call) -> Answer {
    if call.media == Media::Text {
        return Ok(Reply::new(200, Media::Text, print_standards()));
    }
    let line = |standard: &std::sync::Arc<crate::standards::Standard>| StandardLine {
        id: standard.id.clone(),
        label: standard.label.clone(),
        edition: standard.edition.clone(),
    };
    Ok(Reply::json(200, &StandardsList { standards: library().iter().map(line).collect() }))
}

/// One standard.
///
/// # Errors
/// When it is not built in.
pub async fn standard(call: Call) -> Answer {
    let found = find(call.step("standard")).ok_or_else(|| Problem::plain(MISSING))?;
    let words = print_standard(&found);
    if call.media == Media::Text {
        return Ok(Reply::new(200, Media::Text, words));
    }
    let source = |(key, source): (&String, &crate::standards::Source)| SourceLine {
        key: key.clone(),
        document: source.document.clone(),
        tag: source.tag.to_string(),
    };
    Ok(Reply::json(
        200,
        &StandardAnswer {
            id: found.id.clone(),
            label: found.label.clone(),
            edition: found.edition.clone(),
            sources: found.sources.iter().map(source).collect(),
            words,
        },
    ))
}

/// The rules and the aims.
///
/// # Errors
/// None.
pub async fn rules(call: Call) -> Answer {
    if call.media == Media::Text {
        return Ok(Reply::new(200, Media::Text, print_rules()));
    }
    let line = |slug: &str, says: &str| RuleLine { slug: slug.into(), says: says.into() };
    let rules = RULES.iter().map(|rule| line(rule.slug, rule.says)).collect();
    let aims = AIMS.iter().map(|aim| line(aim.slug, aim.says)).collect();
    Ok(Reply::json(200, &RulesList { rules, aims }))
}
