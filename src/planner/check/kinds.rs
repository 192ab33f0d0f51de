//! Every change of a kind that may mend a block, on top of those that are made already.

use super::changes::{One, Seeking};
use super::judge::Trial;
use super::{Change, NEWCOMER, around};
use crate::day::ExtraAdult;
use crate::planner::edit::{Edit, StationEdit};
use crate::rules::Mend;
use crate::site::{Minute, Span, StationIndex, merged};
use crate::solve::GRID;
use crate::standards::hazards::caution;

/// Most adults who are asked to come.
const MOST_MORE: u32 = 3;

/// A station is not closed in between for longer: that is another block.
const LONGEST_PAUSE: u16 = 15;

/// Ages in months at which an offer sets the youngest for a station: whole and half years.
const AGES: [u32; 6] = [18, 24, 30, 36, 48, 60];

impl Seeking<'_> {
    /// Every change of a kind on top of one that is made already, by what breaks with that one.
    pub(super) fn of_kind(&self, kind: Kind, made: &One, with: &Trial) -> Vec<(StationIndex, One)> {
        let more = |edits: Vec<Edit>, told: Change| {
            let mut one = made.clone();
            one.edits.extend(edits);
            one.told.push(told);
            one
        };
        let edit = |station: StationIndex, how: StationEdit, told: Change| {
            (station, more(vec![Edit::Station { station, how }], told))
        };
        let stations = made.question.stations.iter().copied();
        match kind {
            Kind::OutOfReach => {
                let barred = with.reasons.iter().any(|r| r.is_mended_by(Mend::OutOfReach));
                let closes = |at: &StationIndex| {
                    let station = with.day.station(*at);
                    let closed =
                        |h: &crate::site::Hazard| caution(*h).closed_while_awake_under.is_some();
                    barred && !station.out_of_reach && station.hazards.iter().any(closed)
                };
                let one = |station| {
                    edit(station, StationEdit::OutOfReach, Change::OutOfReach { station })
                };
                stations.filter(closes).map(one).collect()
            }
            Kind::Pause => {
                let pauses = pauses(with);
                let one = |station| {
                    let pause = move |span: &Span| {
                        let how = StationEdit::Closed(*span);
                        edit(station, how, Change::Pause { station, span: *span })
                    };
                    pauses.iter().map(pause).collect::<Vec<_>>()
                };
                stations.flat_map(one).collect()
            }
            Kind::Fewer => {
                let one = |station| {
                    let there = self.most_there(with, station).min(with.day.station(station).seats);
                    (1..there).rev().map(move |children| (station, children))
                };
                let few = |(station, children)| {
                    edit(
                        station,
                        StationEdit::AtMost(children),
                        Change::Fewer { station, children },
                    )
                };
                stations.flat_map(one).map(few).collect()
            }
            Kind::Older => {
                let one = |station| {
                    let ages = self.ages(with, station).into_iter();
                    ages.map(move |months| (station, months))
                };
                let older = |(station, from_months)| {
                    let how = StationEdit::From(from_months);
                    edit(station, how, Change::Older { station, from_months })
                };
                stations.flat_map(one).map(older).collect()
            }
            Kind::LeaveOut if made.question.stations.len() < 2 => Vec::new(),
            Kind::LeaveOut => {
                let one = |station| {
                    let mut one = more(Vec::new(), Change::LeaveOut { station });
                    one.question.stations.retain(|s| *s != station);
                    (station, one)
                };
                stations.map(one).collect()
            }
            Kind::MoreAdults => {
                let asks = more_adults(with);
                let one = |(adults, span, leads)| {
                    let told = Change::MoreAdults { adults, span, leads };
                    (StationIndex(0), more(comers(adults, span, leads), told))
                };
                asks.into_iter().map(one).collect()
            }
        }
    }

    /// The youngest ages from which a station may be, the lowest first, that leave somebody out.
    fn ages(&self, with: &Trial, at: StationIndex) -> Vec<u32> {
        let here = around::present(with, with.day.station(at).space, |_| true);
        let months: Vec<u32> = here.iter().map(|c| self.day.months(*c)).collect();
        let splits = |age: &u32| months.iter().any(|m| m < age) && months.iter().any(|m| m >= age);
        let above = |age: &u32| *age > with.day.station(at).from_months;
        AGES.into_iter().filter(above).filter(splits).collect()
    }

    /// Most children at a station at any time of the block.
    fn most_there(&self, with: &Trial, at: StationIndex) -> u32 {
        let pieces = with.pieces();
        let there = pieces.iter().map(|p| p.at_station(&with.chart, at).len() as u32);
        there.max().unwrap_or(0)
    }
}

/// Kinds of changes to the stations of a block, the least disturbing first; and more adults.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    OutOfReach,
    Pause,
    Fewer,
    Older,
    LeaveOut,
    MoreAdults,
}

/// Those that are tried by themselves here.
pub(super) const KINDS: [Kind; 5] =
    [Kind::OutOfReach, Kind::Pause, Kind::Fewer, Kind::Older, Kind::LeaveOut];

/// Short stretches in which somebody is missing: one of several stations may be closed meanwhile.
fn pauses(with: &Trial) -> Vec<Span> {
    if with.question.stations.len() < 2 {
        return Vec::new();
    }
    let block = with.question.span;
    let of_adults = with.reasons.iter().filter(|r| r.is_of_adults()).map(|r| r.span);
    let mut whole = merged(of_adults.filter_map(|s| on_grid(s).meet(block)).collect());
    whole.retain(|s| s.minutes() <= LONGEST_PAUSE && 2 * s.minutes() <= block.minutes());
    whole
}

/// A span with both ends on the grid: nobody comes, and nothing is closed, by the minute.
fn on_grid(span: Span) -> Span {
    let (from, to) = (Minute(span.from.0 / GRID * GRID), Minute(span.to.0.div_ceil(GRID) * GRID));
    Span { from, to }
}

/// How many more adults are asked for, the fewest first, for as long as anything breaks, and whether one
/// of them leads: only where that is what is missing.
fn more_adults(with: &Trial) -> Vec<(u32, Span, bool)> {
    let spans = || with.reasons.iter().map(|r| r.span);
    let (Some(from), Some(to)) = (spans().map(|s| s.from).min(), spans().map(|s| s.to).max())
    else {
        return Vec::new();
    };
    let Span { from, to } = on_grid(Span { from, to });
    let lead = with.reasons.iter().any(|r| r.is_mended_by(Mend::Qualified));
    let each = |n: u32| {
        let leads = [false, true].into_iter().filter(move |leads| lead || !leads);
        leads.map(move |leads| (n, Span { from, to }, leads))
    };
    (1..=MOST_MORE).flat_map(each).collect()
}

/// Somebody, or several, who count and may be alone, without qualifications; who leads is trained in
/// first aid too.
fn comers(adults: u32, span: Span, leads: bool) -> Vec<Edit> {
    let one = |n: u32| {
        let (id, label) = match n {
            0 => (NEWCOMER.to_owned(), "another adult".to_owned()),
            n => (format!("{NEWCOMER}-{}", n + 1), format!("another adult ({})", n + 1)),
        };
        let leads = leads && n == 0;
        Edit::ExtraAdult(ExtraAdult {
            id,
            label,
            span: Some(span),
            counts: true,
            may_be_alone: true,
            lead: leads,
            first_aid: leads,
            qualifications: Vec::new(),
        })
    };
    (0..adults).map(one).collect()
}
