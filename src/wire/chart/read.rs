//! From the file to a chart, with every fault at once.

use super::name::{BLOCKS, Named};
use super::place;
use crate::chart::{
    AdultDay, Block, BlockKind, Cell, Chart, ChildDay, Group, OpenChoice, Post, State, Stay,
};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, MealKind, Site, SpaceIndex, StationIndex, ZoneIndex};
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Fault, Object, decode};
use chrono::NaiveDate;

/// The fields of the whole file; those that are read off the others are known and passed over.
pub(in crate::wire) const TOP: &[&str] = &[
    "format",
    "site",
    "date",
    "safe_to_run",
    "caution",
    "indoor_day",
    "problems",
    "aims",
    "rooms",
    "groups",
    "children",
    "adults",
    "day",
    "ratio",
    "head_counts",
    "minutes",
    "choice",
    "room_for",
    "notes",
    "assumed",
    "repair",
    "changes",
    "fixes",
    "made",
];

/// Which day a chart file is for, to open that day before the chart is read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChartDay {
    /// Id of the room, as the file has it.
    pub room: String,
    /// The date.
    pub date: NaiveDate,
}

/// Reads only which room and date a chart file is for.
///
/// # Errors
/// The faults that keep these two from being read.
pub fn read_chart_day(bytes: &[u8]) -> Result<ChartDay, Vec<Fault>> {
    decode(bytes, |root| {
        let file = root.object(TOP)?;
        format(&file)?;
        let date = file.need("date").and_then(|at| at.date());
        let room = room(&file).and_then(|room| room.need("id")?.text());
        Some(ChartDay { room: room?.to_owned(), date: date? })
    })
}

/// Reads a chart of this day, also one that a person edited by hand.
///
/// What the file says about problems, aims, ratio and the like is passed over: it is read off the
/// chart again when the chart is judged.
///
/// # Errors
/// Every fault of the file, in its order.
pub fn read_chart(bytes: &[u8], day: &Day) -> Result<Chart, Vec<Fault>> {
    decode(bytes, |root| chart(root, day))
}

/// The chart of a file for this day; what is wrong is reported.
pub(in crate::wire) fn chart(root: &At<'_>, day: &Day) -> Option<Chart> {
    let site: &Site = &day.site;
    let file = root.object(TOP)?;
    format(&file);
    if let Some(at) = file.get("site") {
        at.text().filter(|id| *id != site.id).inspect(|id| at.unknown(id, [site.id.as_str()]));
    }
    let date = file.need("date").and_then(|at| at.date().map(|date| (at, date)));
    if let Some((at, date)) = &date
        && *date != day.date
    {
        at.fault(format!("the day is {}", day.date), "audit the chart on its own date");
    }
    let room = room(&file);
    let room_id = room.as_ref().and_then(|r| r.need("id"));
    let of = room_id.and_then(|at| find(&at, site.rooms.iter().map(|r| &r.id)));
    let blocks = room.as_ref().map_or_else(Vec::new, |r| r.list(&limits::CHART_BLOCKS));
    let blocks: Vec<Option<Block>> = blocks.iter().map(block).collect();
    let choices = room.as_ref().map_or_else(Vec::new, |r| r.list(&limits::CHART_CHOICES));
    let choices: Vec<(Option<String>, Option<OpenChoice>)> =
        choices.iter().map(|at| choice(at, site)).collect();
    let ids = Ids {
        day,
        blocks: blocks.iter().map(|b| b.as_ref().map_or("", |b| b.id.as_str())).collect(),
        choices: choices.iter().map(|(id, _)| id.as_deref().unwrap_or("")).collect(),
    };
    once(&blocks_ids(room.as_ref()));
    once(&ids_of(&file, &limits::CHART_GROUPS));
    once(&ids_of(&file, &limits::CHART_CHILDREN));
    once(&ids_of(&file, &limits::CHART_ADULTS));
    let groups: Vec<Option<Group>> =
        file.list(&limits::CHART_GROUPS).iter().map(|at| group(at, &ids)).collect();
    let children: Vec<Option<ChildDay>> =
        needed(&file, &limits::CHART_CHILDREN).iter().map(|at| child(at, &ids)).collect();
    let adults: Vec<Option<AdultDay>> =
        needed(&file, &limits::CHART_ADULTS).iter().map(|at| adult(at, &ids)).collect();
    Some(Chart {
        room: crate::site::RoomIndex(of?),
        date: date?.1,
        groups: groups.into_iter().collect::<Option<_>>()?,
        blocks: blocks.into_iter().collect::<Option<_>>()?,
        choices: choices.into_iter().map(|(_, choice)| choice).collect::<Option<_>>()?,
        children: children.into_iter().collect::<Option<_>>()?,
        adults: adults.into_iter().collect::<Option<_>>()?,
    })
}

fn format(file: &Object<'_>) -> Option<()> {
    let number: u32 = file.need("format")?.whole(super::FORMAT.into(), super::FORMAT.into())?;
    debug_assert_eq!(number, super::FORMAT);
    Some(())
}

/// The one room of the file.
fn room<'t>(file: &Object<'t>) -> Option<Object<'t>> {
    let at = file.need("rooms")?;
    let rooms = at.list(&limits::CHART_ROOMS)?;
    let Some(only) = rooms.first() else {
        at.fault("this holds no room", "give the room of the chart");
        return None;
    };
    only.object(&["id", "blocks", "choices"])
}

/// What ids in the file may point at.
pub(super) struct Ids<'a> {
    pub day: &'a Day,
    blocks: Vec<&'a str>,
    pub choices: Vec<&'a str>,
}

/// The position of the id at `at` among `known`; a fault if it is not there.
pub(super) fn find<'a>(
    at: &At<'_>,
    known: impl Iterator<Item = &'a String> + Clone,
) -> Option<usize> {
    let id = at.text()?;
    let found = known.clone().position(|k| k == id);
    if found.is_none() {
        at.unknown(id, known.map(String::as_str));
    }
    found
}

/// Reports every id that stands a second time.
fn once(ids: &[(At<'_>, &str)]) {
    for (place, (at, id)) in ids.iter().enumerate() {
        if ids[..place].iter().any(|(_, before)| before == id) {
            at.fault("this id stands a second time", "let each have its own");
        }
    }
}

fn ids_of<'t>(file: &Object<'t>, list: &Limit) -> Vec<(At<'t>, &'t str)> {
    let items = file.list(list);
    items.iter().filter_map(id_of).collect()
}

fn blocks_ids<'t>(room: Option<&Object<'t>>) -> Vec<(At<'t>, &'t str)> {
    room.map_or_else(Vec::new, |room| ids_of(room, &limits::CHART_BLOCKS))
}

/// The id of an object, read without a word about its other fields.
fn id_of<'t>(item: &At<'t>) -> Option<(At<'t>, &'t str)> {
    let at = item.peek("id")?;
    let crate::wire::tree::Value::Text(id) = at.value() else { return None };
    Some((at, id))
}

fn block(at: &At<'_>) -> Option<Block> {
    let line = at.object(&["id", "kind", "meal", "from", "to"])?;
    let id = line.need("id").and_then(|at| at.label().map(str::to_owned));
    let kind = line.need("kind").and_then(|at| at.one_of(BLOCKS));
    let meal = match kind {
        Some(None) => line.need("meal").and_then(|at| at.one_of(&words::<MealKind>())),
        _ => None,
    };
    let span = line.from_to();
    let kind = match kind? {
        Some(kind) => kind,
        None => BlockKind::Meal(meal?),
    };
    Some(Block { id: id?, kind, span: span? })
}

fn meal(line: &Object<'_>) -> Option<MealKind> {
    line.get("meal").and_then(|at| at.one_of(&words::<MealKind>()))
}

/// The items of a list that may not be left out.
fn needed<'t>(line: &Object<'t>, list: &Limit) -> Vec<At<'t>> {
    line.need(list.field).and_then(|at| at.list(list)).unwrap_or_default()
}

/// The words of a kind as a reader wants them.
fn words<T: Named>() -> Vec<(&'static str, T)> {
    T::ALL.iter().map(|(value, word)| (*word, *value)).collect()
}

fn choice(at: &At<'_>, site: &Site) -> (Option<String>, Option<OpenChoice>) {
    let Some(line) = at.object(&["id", "from", "to", "space", "open"]) else {
        return (None, None);
    };
    let id = line.need("id").and_then(|at| at.label().map(str::to_owned));
    let span = line.from_to();
    let space = space(&line, site);
    let open: Vec<Option<StationIndex>> = needed(&line, &limits::CHOICE_OPEN)
        .iter()
        .map(|at| {
            let station = at.object(&["station", "seats"])?.need("station")?;
            find(&station, site.stations.iter().map(|s| &s.id)).map(StationIndex)
        })
        .collect();
    let open: Option<Vec<StationIndex>> = open.into_iter().collect();
    let choice =
        span.zip(space).zip(open).map(|((span, space), open)| OpenChoice { span, space, open });
    (id, choice)
}

fn space(line: &Object<'_>, site: &Site) -> Option<SpaceIndex> {
    let at = line.need("space")?;
    find(&at, site.spaces.iter().map(|s| &s.id)).map(SpaceIndex)
}

fn zone(line: &Object<'_>, site: &Site) -> Option<Option<ZoneIndex>> {
    let Some(at) = line.get("zone") else { return Some(None) };
    find(&at, site.zones.iter().map(|z| &z.id)).map(|z| Some(ZoneIndex(z)))
}

fn one_child(at: &At<'_>, site: &Site) -> Option<ChildIndex> {
    find(at, site.children.iter().map(|c| &c.id)).map(ChildIndex)
}

fn one_adult(at: &At<'_>, site: &Site) -> Option<AdultIndex> {
    find(at, site.adults.iter().map(|a| &a.id)).map(AdultIndex)
}

fn group(at: &At<'_>, ids: &Ids<'_>) -> Option<Group> {
    let line = at.object(&["id", "label", "picture", "children", "cells"])?;
    let id = line.need("id").and_then(|at| at.label().map(str::to_owned));
    let label = line.need("label").and_then(|at| at.label().map(str::to_owned));
    let picture = line.need("picture").and_then(|at| at.label().map(str::to_owned));
    let children: Vec<Option<ChildIndex>> = line
        .list(&limits::CHART_GROUP_CHILDREN)
        .iter()
        .map(|at| one_child(at, &ids.day.site))
        .collect();
    let cells: Vec<Option<Cell>> =
        line.list(&limits::CELLS).iter().map(|at| cell(at, ids)).collect();
    let mut cells: Vec<Cell> = cells.into_iter().collect::<Option<_>>()?;
    cells.sort_by_key(|c| c.span);
    let children = children.into_iter().collect::<Option<_>>()?;
    Some(Group { id: id?, label: label?, picture: picture?, children, cells })
}

fn cell(at: &At<'_>, ids: &Ids<'_>) -> Option<Cell> {
    let line = at.object(&["block", "from", "to", "space", "at", "by"])?;
    let block = line.need("block").and_then(|at| {
        let id = at.text()?;
        let found = ids.blocks.iter().position(|b| *b == id);
        if found.is_none() {
            at.unknown(id, ids.blocks.iter().copied());
        }
        found
    });
    let span = line.from_to();
    let space = space(&line, &ids.day.site);
    let place = line.need("at").and_then(|at| place::read(&at, ids, None));
    Some(Cell { block: block?, span: span?, space: space?, at: place? })
}

fn child(at: &At<'_>, ids: &Ids<'_>) -> Option<ChildDay> {
    let line = at.object(&["id", "stays"])?;
    let child = line.need("id").and_then(|at| one_child(&at, &ids.day.site));
    let stays: Vec<Option<Stay>> =
        needed(&line, &limits::STAYS).iter().map(|at| stay(at, ids)).collect();
    let mut stays: Vec<Stay> = stays.into_iter().collect::<Option<_>>()?;
    stays.sort_by_key(|s| s.span);
    Some(ChildDay { child: child?, stays })
}

fn stay(at: &At<'_>, ids: &Ids<'_>) -> Option<Stay> {
    let line =
        at.object(&["from", "to", "space", "at", "zone", "state", "meal", "visit", "exception"])?;
    let span = line.from_to();
    let space = space(&line, &ids.day.site);
    let place = line.need("at").and_then(|at| place::read(&at, ids, None));
    let zone = zone(&line, &ids.day.site);
    let state = line.or("state", State::Awake, |at| at.one_of(&words::<State>()));
    let meal = meal(&line);
    let apart = line.get("exception").and_then(|at| at.one_of(&words()));
    Some(Stay { span: span?, space: space?, at: place?, zone: zone?, state, meal, apart })
}

fn adult(at: &At<'_>, ids: &Ids<'_>) -> Option<AdultDay> {
    let line = at.object(&["id", "posts"])?;
    let adult = line.need("id").and_then(|at| one_adult(&at, &ids.day.site));
    let posts: Vec<Option<Post>> =
        needed(&line, &limits::POSTS).iter().map(|at| post(at, ids, adult)).collect();
    let mut posts: Vec<Post> = posts.into_iter().collect::<Option<_>>()?;
    posts.sort_by_key(|p| p.span);
    Some(AdultDay { adult: adult?, posts })
}

fn post(at: &At<'_>, ids: &Ids<'_>, adult: Option<AdultIndex>) -> Option<Post> {
    let site = &ids.day.site;
    let line = at.object(&[
        "from",
        "to",
        "space",
        "at",
        "zone",
        "counts",
        "as",
        "for_child",
        "covers",
        "staff_break",
        "on_premises",
    ])?;
    let span = line.from_to();
    let space = space(&line, site);
    let place = line.need("at").and_then(|at| place::read(&at, ids, adult));
    let zone = zone(&line, site);
    let for_child = line.get("for_child").and_then(|at| one_child(&at, site));
    let covers = line.get("covers").and_then(|at| one_adult(&at, site));
    Some(Post { span: span?, space: space?, at: place?, zone: zone?, for_child, covers })
}
