//! Standards and rules: the lists, or one of them; sites that are invented.

use super::args::{Format, InventArgs, RulesArgs, StandardsArgs};
use super::{Answer, Wrong, input};
use crate::page::text::{
    none_found, print_found, print_rules, print_standard, print_standards, print_template,
};
use crate::standards::{Standard, find, left_out, library, local_limits_example, look_up};
use crate::wire::{invent, lists, nearest};
use std::path::Path;

pub(super) fn standards(args: &StandardsArgs) -> Result<Answer, Wrong> {
    if let Some(file) = &args.template {
        return template(file.as_deref(), args.format);
    }
    let (words, format) = (args.words.join(" "), args.format);
    if args.words.is_empty() {
        let list = if format == Format::Text { print_standards() } else { lists::standards() };
        return Ok(Answer::plain(list));
    }
    let found = find(&words).map_or_else(|| look_up(&words), |standard| vec![standard]);
    Ok(Answer::plain(match (&found[..], format) {
        ([], _) => return Err(not_found(&words)),
        ([one], Format::Text) => print_standard(one),
        ([one], Format::Json) => lists::standard(one),
        (_, Format::Text) => print_found(&words, &found),
        (_, Format::Json) => lists::found(&found),
    }))
}

/// What was meant, where it is near to an id; else why there is none and what to do.
fn not_found(words: &str) -> Wrong {
    let known = || library().iter().map(|s| s.id.as_str());
    if left_out(words).is_none() && nearest(words, known()).is_some() {
        return input::unknown("standards", "standard", words, known());
    }
    Wrong::one(format!("standards: {}", none_found(words)))
}

fn template(file: Option<&Path>, format: Format) -> Result<Answer, Wrong> {
    let Some(file) = file else {
        return Ok(Answer::plain(match format {
            Format::Text => print_template(None),
            Format::Json => local_limits_example().to_owned(),
        }));
    };
    let read = input::read(file)?;
    let limits = Standard::from_json(&String::from_utf8_lossy(&read.bytes));
    let limits = limits.map_err(|faults| {
        let line = |fault: &String| format!("{}: these limits cannot be read: {fault}", read.name);
        Wrong(faults.iter().map(line).collect())
    })?;
    Ok(Answer::plain(match format {
        Format::Text => print_template(Some(&limits)),
        Format::Json => lists::limits(&limits),
    }))
}

pub(super) fn rules(args: &RulesArgs) -> Answer {
    Answer::plain(match args.format {
        Format::Text => print_rules(),
        Format::Json => lists::rules(),
    })
}

/// Most children in one invented room.
const MOST_IN_A_ROOM: usize = 24;

pub(super) fn invent(args: &InventArgs) -> Result<Answer, Wrong> {
    let (rooms, children) = (usize::from(args.rooms), usize::from(args.children));
    if children > rooms * MOST_IN_A_ROOM {
        let cause = format!("--children: {children} are more than {rooms} rooms hold");
        let enough = children.div_ceil(MOST_IN_A_ROOM);
        return Err(Wrong::one(format!("{cause}; add --rooms {enough}")));
    }
    let invent = if args.awkward { invent::awkward } else { invent::invent };
    let text = invent(rooms, children, usize::from(args.adults), args.seed);
    Ok(Answer { to: args.out.clone(), ..Answer::plain(text) })
}
