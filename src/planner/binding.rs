//! What a person should know of the standards that bind: whether they are for children who stay so long,
//! of which edition they are, and what of them is from memory.

use super::counting::pieces;
use super::list;
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::say;
use crate::site::{ChildIndex, Span};
use crate::standards::{Force, Session, Standard};

/// For each binding standard that is for sessions: who stays longer than one today; where nobody here
/// knows how long one is, who stays longest. Sentences without the word that begins a note.
#[must_use]
pub fn longer_than_a_session(day: &Day) -> Vec<String> {
    let mut said = Vec::new();
    for standard in &day.standards {
        let Some(session) = &standard.session else { continue };
        let stays = day.children.iter().map(|(child, here)| (longest_stay(day, here), *child));
        let stays: Vec<(u32, ChildIndex)> = stays.collect();
        let of = |wanted: &dyn Fn(u32) -> bool| -> Vec<String> {
            let longer = stays.iter().filter(|(minutes, _)| wanted(*minutes));
            longer.map(|(_, child)| day.site[*child].label.clone()).collect()
        };
        let Some((words, more)) = session.length.words().zip(session.length.more_words()) else {
            let longest = stays.iter().map(|(minutes, _)| *minutes).max().unwrap_or(0);
            let who = list(&of(&|minutes| minutes == longest));
            if longest > 0 {
                said.push(length_not_known(standard, session, longest, &who));
            }
            continue;
        };
        let who = of(&|minutes| session.length.is_exceeded_by(minutes) == Some(true));
        if !who.is_empty() {
            let source = cited(standard, &session.source);
            let longer = match &session.longer {
                Some(id) => format!("bind `{id}`, which has the figures of longer days"),
                None => "its figures are not for them".to_owned(),
            };
            let stay = if who.len() == 1 { "stays" } else { "stay" };
            said.push(format!(
                "`{}` is for children who stay {words} [{}], and {} {stay} {more} today: {longer}.",
                standard.id,
                source,
                list(&who),
            ));
        }
    }
    said
}

fn length_not_known(standard: &Standard, session: &Session, longest: u32, who: &str) -> String {
    let document = standard.source(&session.source).map_or("", |source| &source.document);
    let longer = match &session.longer {
        Some(id) => format!("bind `{id}` where that is longer than a session"),
        None => "where that is longer than a session, its figures are not for them".to_owned(),
    };
    format!(
        "`{}` is for children who stay for one session alone; session length not known here: look it up \
         in {document}. Longest here today, {longest} minutes: {who}; {longer}.",
        standard.id
    )
}

/// A source of a standard by its key, as it is cited.
fn cited(standard: &Standard, key: &str) -> String {
    standard.source(key).map(ToString::to_string).unwrap_or_default()
}

/// Minutes of the longest stretch in which a child is here; spans that touch are one.
fn longest_stay(day: &Day, here: &[Span]) -> u32 {
    let mut longest = 0;
    let mut stay: Option<Span> = None;
    for span in here {
        stay = match stay {
            Some(before) if before.to >= span.from => {
                Some(Span { to: before.to.max(span.to), ..before })
            }
            _ => Some(*span),
        };
        longest = stay.map_or(longest, |stay| longest.max(day.minutes_in(stay)));
    }
    longest
}

/// What each binding standard asks of the children who come today and nothing here judges.
#[must_use]
pub fn not_judged(day: &Day) -> Vec<String> {
    let bears = |standard: &Standard, band: &Option<String>| {
        day.children.iter().any(|(child, _)| {
            let own = standard.band_of(&day.head(*child, false), day.date);
            band.as_ref().is_none_or(|band| standard.bands[own].id == *band)
        })
    };
    let mut said = Vec::new();
    for standard in &day.standards {
        for more in standard.not_judged.iter().filter(|more| bears(standard, &more.band)) {
            let (id, words, source) = (&standard.id, &more.words, cited(standard, &more.source));
            let note = format!("`{id}` asks for more than is judged here: {words} [{source}].");
            // What bears on two ages is said once.
            if !said.contains(&note) {
                said.push(note);
            }
        }
    }
    said
}

/// When one adult works alone and a binding standard wants another one who can be called: whether somebody
/// can is nothing that a site's facts say.
#[must_use]
pub fn to_be_called(day: &Day, chart: &Chart) -> Vec<String> {
    let mut alone: Vec<Span> = Vec::new();
    for now in pieces(chart).iter().filter(|now| !now.children.is_empty()) {
        let at_work = now.adults.iter().filter(|(_, p)| !matches!(p.at, Place::StaffBreak(_)));
        if at_work.count() != 1 {
            continue;
        }
        match alone.last_mut() {
            Some(before) if before.to == now.span.from => before.to = now.span.to,
            _ => alone.push(now.span),
        }
    }
    let asking = day.standards.iter().filter(|_| !alone.is_empty());
    let said = asking.filter_map(|standard| {
        let backup = standard.backup.as_ref()?;
        let source = cited(standard, &backup.source);
        Some(say::note::to_be_called(&standard.id, backup.minutes_away, &source, &alone))
    });
    said.collect()
}

/// What each binding standard says from memory alone, of which edition it is, and what has replaced that.
#[must_use]
pub fn from_memory(day: &Day) -> Vec<String> {
    let sentence = |standard: &Standard| {
        let (id, edition) = (&standard.id, standard.edition_words());
        let parts = standard.from_memory();
        if parts.is_empty() {
            let dated = standard.edition.is_some() || standard.force == Force::Local;
            return (!dated).then(|| {
                format!("of `{id}`, {edition} here: compare its figures with the text in force.")
            });
        }
        Some(format!(
            "of `{id}` ({edition}), what it says of {} is from memory and was not compared with the \
             text.",
            list(&parts)
        ))
    };
    let replaced = |standard: &Standard| {
        let (id, by) = (&standard.id, &standard.replaced_by);
        let text = "is of a text in whose place another one stands";
        (!by.is_empty()).then(|| format!("`{id}` {text}: {by}."))
    };
    day.standards.iter().flat_map(|s| sentence(s).into_iter().chain(replaced(s))).collect()
}
