//! What the people of a site were ever called, remembered at each change of its document.

use super::sites::read_document;
use crate::store::{Called, Kept, Kind, Site, Writing};
use crate::wire::scenario::Scenario;
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// Somebody of a scenario.
type Person = (Called, Option<NaiveDate>);

fn people(scenario: &Scenario) -> Vec<Person> {
    let called = |kind, id: &String, label: &String| {
        let (id, was) = (id.clone(), id.clone());
        Called { kind, id, was, label: label.clone() }
    };
    let children = scenario.site.children.iter();
    let children = children.map(|c| (called(Kind::Child, &c.id, &c.label), Some(c.born)));
    let adults = scenario.site.adults.iter();
    children.chain(adults.map(|a| (called(Kind::Adult, &a.id, &a.label), None))).collect()
}

/// Remembers what everybody is called now and was before, so that an erasure finds them in old charts.
///
/// An id that is made of a label changes with it: a child that is gone and one that came in the same
/// change with the same birthday are the same child.
///
/// # Errors
/// When the store does not answer.
pub async fn remember(writing: &mut Writing, before: Option<&Site>, now: &Scenario) -> Kept<()> {
    let site = &now.site.id;
    let known = writing.names(site).await?;
    let after = people(now);
    let before = before.and_then(|site| read_document(site.document.as_bytes()).ok());
    let before = before.map(|scenario| people(&scenario)).unwrap_or_default();
    let mut names: BTreeSet<Called> = known.clone();
    names.extend(before.iter().chain(&after).map(|(name, _)| name.clone()));
    for (from, to) in renamed(&before, &after) {
        let moved: Vec<Called> = names
            .iter()
            .filter(|name| name.kind == Kind::Child && name.id == from)
            .cloned()
            .collect();
        for name in moved {
            names.remove(&name);
            names.insert(Called { id: to.clone(), ..name });
        }
    }
    for name in known.difference(&names) {
        writing.drop_name(site, name).await?;
    }
    for name in names.difference(&known) {
        writing.keep_name(site, name).await?;
    }
    Ok(())
}

/// The old and the new id of each child that has another one now.
fn renamed(before: &[Person], after: &[Person]) -> Vec<(String, String)> {
    let missing = |person: &&Person, list: &[Person]| {
        person.1.is_some() && list.iter().all(|(other, _)| other.id != person.0.id)
    };
    let mut came: Vec<&Person> = after.iter().filter(|person| missing(person, before)).collect();
    let gone = before.iter().filter(|person| missing(person, after));
    let pair = |(name, born): &Person| {
        let at = came.iter().position(|(_, other)| other == born)?;
        Some((name.id.clone(), came.remove(at).0.id.clone()))
    };
    gone.filter_map(pair).collect()
}
