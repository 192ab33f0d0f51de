//! Happenings from a text, each with its place in it.

use crate::day::{Day, ExtraAdult, Happening, Who};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, StationIndex};
use crate::wire::limits;
use crate::wire::scenario::slug;
use crate::wire::{At, Fault, Object, decode};

/// A file of happenings.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ToldFile {
    /// The moment of the repair, if the file says it.
    pub at: Option<Minute>,
    /// What has happened.
    pub list: Vec<Told>,
}

/// A happening and where it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Told {
    /// What.
    pub what: Happening,
    /// A fault at its place, to be filled with what turns out to be wrong.
    pub place: Fault,
}

/// Reads what has happened on a day.
///
/// # Errors
/// Every fault, in the order of the text.
pub fn read_happenings(bytes: &[u8], day: &Day) -> Result<ToldFile, Vec<Fault>> {
    decode(bytes, |root| {
        let file = root.object(&["format", "about", "at", "happenings"])?;
        file.need("format").and_then(|at| at.whole::<u32>(1, 1));
        if let Some(about) = file.get("about") {
            let _ = about.text();
        }
        let at = file.get("at").and_then(|at| at.minute());
        let items = file.need("happenings").and_then(|at| at.list(&limits::HAPPENINGS))?;
        let list: Vec<Option<Told>> = items
            .iter()
            .map(|item| {
                let what = happening(item, day, &[])?;
                Some(Told { what, place: item.fault_here("", "") })
            })
            .collect();
        Some(ToldFile { at, list: list.into_iter().collect::<Option<_>>()? })
    })
}

/// The words for each kind of happening, with the fields that go with it.
const KINDS: &[(&str, &[&str])] = &[
    ("away", &["adult", "child", "from", "to"]),
    ("late", &["adult", "child", "at"]),
    ("leaving", &["adult", "child", "at"]),
    ("staying", &["adult", "child", "until"]),
    ("back", &["adult", "child", "at", "until"]),
    ("held_up", &["adult", "from", "to"]),
    (
        "extra_adult",
        &[
            "id",
            "label",
            "from",
            "to",
            "counts",
            "may_be_alone",
            "lead",
            "first_aid",
            "qualifications",
        ],
    ),
    ("closed", &["station", "from", "to"]),
    ("open", &["station", "from", "to"]),
    ("indoors", &[]),
    ("outdoors", &[]),
    ("missed_break", &["adult", "break"]),
    ("break_at", &["adult", "at", "break"]),
];

/// One happening; `besides` are fields that the place adds to it.
pub(super) fn happening(at: &At<'_>, day: &Day, besides: &[&'static str]) -> Option<Happening> {
    let kinds: Vec<(&'static str, usize)> =
        KINDS.iter().enumerate().map(|(n, (word, _))| (*word, n)).collect();
    let Some(what) = at.peek("what") else {
        // Tells that it is missing, or that this is no object.
        let known: Vec<&'static str> = vec!["what"];
        let _ = at.object(&known).and_then(|object| object.need("what"));
        return None;
    };
    let (word, fields) = KINDS[what.one_of(&kinds)?];
    let known: Vec<&'static str> =
        ["what"].into_iter().chain(besides.iter().copied()).chain(fields.iter().copied()).collect();
    let object = at.object(&known)?;
    let minute = |name: &str| object.need(name).and_then(|at| at.end_minute());
    Some(match word {
        "away" => {
            let (who, span) = (who(&object, day), span(&object));
            Happening::Away { who: who?, span: span? }
        }
        "late" => {
            let (who, at) = (who(&object, day), minute("at"));
            Happening::Late { who: who?, at: at? }
        }
        "leaving" => {
            let (who, at) = (who(&object, day), maybe(&object, "at"));
            match at? {
                Some(at) => Happening::Leaving { who: who?, at },
                None => Happening::Away { who: who?, span: None },
            }
        }
        "staying" => {
            let (who, until) = (who(&object, day), minute("until"));
            Happening::Staying { who: who?, until: until? }
        }
        "back" => {
            let (who, at, until) =
                (who(&object, day), maybe(&object, "at"), maybe(&object, "until"));
            Happening::Back { who: who?, at: at?, until: until? }
        }
        "held_up" => {
            let (adult, span) = (adult(&object, day), object.from_to());
            Happening::HeldUp { adult: adult?, span: span? }
        }
        "extra_adult" => Happening::ExtraAdult(extra(&object)?),
        "closed" => {
            let (station, span) = (station(&object, day), span(&object));
            Happening::Closed { station: station?, span: span? }
        }
        "open" => {
            let (station, span) = (station(&object, day), span(&object));
            Happening::Open { station: station?, span: span? }
        }
        "indoors" => Happening::Indoors,
        "outdoors" => Happening::Outdoors,
        "missed_break" => {
            let (adult, due) = (adult(&object, day), due(&object));
            Happening::MissedBreak { adult: adult?, due: due? }
        }
        _ => {
            let (adult, due, from) = (adult(&object, day), due(&object), minute("at"));
            Happening::BreakAt { adult: adult?, due: due?, from: from? }
        }
    })
}

/// Which staff break is meant, counted from 1; `None` when it is wrong.
fn due(object: &Object<'_>) -> Option<Option<usize>> {
    match object.get("break") {
        Some(at) => at.whole::<usize>(1, 50).map(|n| Some(n - 1)),
        None => Some(None),
    }
}

/// A time that may be left out; `None` when it is wrong.
fn maybe(object: &Object<'_>, name: &str) -> Option<Option<Minute>> {
    match object.get(name) {
        Some(at) => at.end_minute().map(Some),
        None => Some(None),
    }
}

/// `from` and `to`, both or neither; `None` when wrong.
fn span(object: &Object<'_>) -> Option<Option<Span>> {
    if object.get("from").is_none() && object.get("to").is_none() {
        return Some(None);
    }
    object.from_to().map(Some)
}

fn find<'a>(
    at: &At<'_>,
    kind: &str,
    known: impl Iterator<Item = &'a String> + Clone,
) -> Option<usize> {
    let id = at.text()?;
    let found = known.clone().position(|k| k == id);
    if found.is_none() {
        at.unknown_as(kind, id, known.map(String::as_str));
    }
    found
}

fn who(object: &Object<'_>, day: &Day) -> Option<Who> {
    match (object.get("child"), object.get("adult")) {
        (Some(at), None) => {
            let mine = day.site.children.iter().map(|c| &c.id);
            find(&at, "child", mine).map(|c| Who::Child(ChildIndex(c)))
        }
        (None, Some(_)) => adult(object, day).map(Who::Adult),
        _ => {
            object.at.fault("it is not said who", "give either `child` or `adult`");
            None
        }
    }
}

fn adult(object: &Object<'_>, day: &Day) -> Option<AdultIndex> {
    let at = object.need("adult")?;
    find(&at, "adult", day.site.adults.iter().map(|a| &a.id)).map(AdultIndex)
}

fn station(object: &Object<'_>, day: &Day) -> Option<StationIndex> {
    let at = object.need("station")?;
    find(&at, "station", day.site.stations.iter().map(|s| &s.id)).map(StationIndex)
}

fn extra(object: &Object<'_>) -> Option<ExtraAdult> {
    let label = object.need("label").and_then(|at| at.label());
    let span = span(object);
    let id = object.get("id").and_then(|at| at.label());
    let words = object.list(&limits::EXTRA_QUALIFICATIONS);
    let words: Vec<Option<String>> =
        words.iter().map(|at| at.label().map(str::to_lowercase)).collect();
    let truth = |name: &str, or: bool| object.or(name, or, At::truth);
    Some(ExtraAdult {
        id: id.or(label).map(slug)?,
        label: label?.to_owned(),
        span: span?,
        counts: truth("counts", true),
        may_be_alone: truth("may_be_alone", false),
        lead: truth("lead", false),
        first_aid: truth("first_aid", false),
        qualifications: words.into_iter().collect::<Option<_>>()?,
    })
}
