//! A block as it would run, and what breaks in it, by the audits of a chart.

use super::lay::{self, Edits, Laid};
use super::pieces::{Piece, pieces_of};
use super::{BlockQuestion, Change, Reason, bare, draw};
use crate::chart::{AdultDay, Chart, Place, Post};
use crate::day::Day;
use crate::planner::list;
use crate::rules::{self, About, Problem, Reads, Rule, named};
use crate::site::{Adult, AdultIndex, Mess, SpaceIndex, Span, StationIndex};
use std::sync::Arc;

/// A block as it would run.
#[derive(Clone)]
pub(super) struct Trial {
    /// The day with what the edits make of it.
    pub day: Day,
    pub question: BlockQuestion,
    pub edits: Edits,
    pub bare: bool,
    pub laid: Laid,
    /// What the posted chart breaks over the day without the block.
    before: Vec<Problem>,
    /// What breaks, by rule and then by time.
    pub reasons: Vec<Reason>,
}

impl Trial {
    /// Lays the block and judges it.
    pub fn run(day: &Day, chart: Option<&Chart>, question: &BlockQuestion, edits: Edits) -> Trial {
        let day = edited(day, &edits);
        let base = match chart {
            Some(chart) => with_extra(&day, chart, question, &edits),
            None => bare::bare(&day, question),
        };
        let bare = chart.is_none();
        let laid = lay::lay(&day, &base, question, bare, &edits);
        let of_the_day = rules::RULES.iter().filter(|r| r.reads == Reads::Day && !bare);
        let before = of_the_day.flat_map(|r| (r.audit)(&day, &base)).collect();
        let (question, reasons) = (question.clone(), Vec::new());
        let mut trial = Trial { day, question, edits, bare, laid, before, reasons };
        trial.reasons = trial.judged(trial.question.span);
        trial
    }

    /// The changes against the posted chart and against what was asked, but for those in the edits.
    pub fn moves(&self) -> Vec<Change> {
        self.laid.moves.clone()
    }

    /// The spaces that the block is about: those of its stations and of the sinks after them, and
    /// those that children or adults leave for it.
    pub fn spaces(&self) -> Vec<SpaceIndex> {
        let of_stations = self.question.stations.iter().map(|s| self.day.station(*s).space);
        // Whoever does not come stays behind in a space that has to hold as well.
        let home = self.bare.then(|| bare::main_space(&self.day, &self.question));
        // So does the space in which the others sleep meanwhile.
        let inside = if self.bare { self.pieces() } else { Vec::new() };
        let others = inside.iter().flat_map(|p| &p.children).map(|(_, s)| s.space);
        let room = &self.day.site[self.day.room];
        let all = room.spaces.iter().copied().filter(|_| self.edits.bring);
        let of_the_sinks = self.laid.washing.iter().map(|w| w.space);
        let mut spaces: Vec<SpaceIndex> =
            of_stations.chain(of_the_sinks).chain(home).chain(all).chain(others).collect();
        spaces.sort_unstable();
        spaces.dedup();
        spaces
    }

    /// The block in pieces.
    pub fn pieces(&self) -> Vec<Piece> {
        pieces_of(&self.laid.chart, self.question.span)
    }

    /// A part of the block in pieces.
    pub fn pieces_in(&self, part: Span) -> Vec<Piece> {
        pieces_of(&self.laid.chart, part)
    }

    /// What breaks in a part of the block, by rule and then by time; what has to be asked about
    /// children with an allergy stands in [`super::allergic`].
    pub fn judged(&self, block: Span) -> Vec<Reason> {
        let spaces = self.spaces();
        let inside = clipped(&self.laid.chart, block);
        let mut reasons = Vec::new();
        for rule in rules::RULES {
            let chart = match rule.reads {
                Reads::Around => &self.laid.chart,
                Reads::Minute => &inside,
                Reads::Day if !self.bare => &self.laid.chart,
                // A block by itself is no day.
                Reads::Day => continue,
            };
            let found = (rule.audit)(&self.day, chart);
            let found = found.into_iter().filter(|p| !p.is_a_question());
            for problem in found.filter(|p| self.is_of_the_block(p, &spaces)) {
                let Some(span) = problem.span.meet(block) else { continue };
                let problem = Problem { span, ..problem };
                reasons.push(Reason {
                    rule: rule.slug,
                    words: self.words(rule, &problem),
                    standard: problem.standard,
                    span,
                    children: problem.children,
                    needed: problem.needed,
                    present: problem.present,
                });
            }
        }
        reasons.extend(self.dry());
        reasons.extend(self.nobody_free(block));
        reasons.extend(self.meals_without_time());
        reasons.extend(self.meals_too_near());
        reasons
    }

    /// A problem in words; of wet stations in use together, all of them.
    fn words(&self, rule: &Rule, problem: &Problem) -> String {
        if problem.case != "wet" {
            return (rule.words)(&self.day, problem);
        }
        let wet = self.wet_in_use(problem);
        let labels: Vec<&str> = wet.iter().map(|s| self.day.station(*s).label.as_str()).collect();
        let (span, number) = (problem.span, problem.present);
        format!("{span}: {number} wet stations in use at once, {}", list(&labels))
    }

    /// Wet stations of a problem's space that are in use in its time.
    fn wet_in_use(&self, problem: &Problem) -> Vec<StationIndex> {
        let inside = pieces_of(&self.laid.chart, problem.span);
        let used = |s: &StationIndex| {
            let station = self.day.station(*s);
            let here = problem.space == Some(station.space) && station.mess == Mess::Wet;
            here && inside.iter().any(|p| !p.at_station(&self.laid.chart, *s).is_empty())
        };
        (0..self.day.stations.len()).map(StationIndex).filter(used).collect()
    }

    fn is_of_the_block(&self, problem: &Problem, spaces: &[SpaceIndex]) -> bool {
        let asked = |s: StationIndex| self.question.stations.contains(&s);
        let rule = rules::rule_of(problem);
        match (rule.about, problem.at) {
            // What the day lacks only with the block in it.
            _ if rule.reads == Reads::Day => !self.before.contains(problem),
            // Whichever of them came first, both are wet.
            _ if problem.case == "wet" => self.wet_in_use(problem).into_iter().any(asked),
            // Of the rest only what is too loud beside it.
            (About::Day, Some(Place::Station(s))) => problem.case == "loud" && asked(s),
            (About::Day, _) => false,
            // What other stations break on their own account is the chart's matter, not the block's.
            (About::Stations, Some(Place::Station(s))) => asked(s),
            (About::Stations | About::Ways, _) if self.bare => true,
            _ => problem.space.is_none_or(|s| spaces.contains(&s)),
        }
    }

    /// Wet hands and no sink to wash them at.
    fn dry(&self) -> Vec<Reason> {
        let wet =
            self.laid.washing.iter().filter(|w| w.sinks == 0 || w.from <= self.question.span.from);
        let told = wet.filter(|w| self.laid.drawn.iter().any(|(s, _)| *s == w.station));
        told.map(|w| {
            let station = self.day.station(w.station);
            debug_assert_eq!(station.mess, Mess::Wet);
            let block = self.question.span;
            let words = if w.sinks == 0 {
                format!("{}, {}: no sink to wash hands at afterwards", block, station.label)
            } else {
                format!(
                    "{block}, {}: washing {} children at {} takes {} minutes, as long as the block",
                    station.label,
                    w.children,
                    sinks(w.sinks),
                    w.minutes
                )
            };
            let (needed, present) = (u32::from(w.minutes), u32::from(block.minutes()));
            let children = Vec::new();
            Reason {
                rule: named::SINKS.slug,
                standard: None,
                span: block,
                children,
                needed,
                present,
                words,
            }
        })
        .collect()
    }

    /// Stations to which nobody can come, all the block or a part of it.
    fn nobody_free(&self, block: Span) -> Vec<Reason> {
        let pieces = pieces_of(&self.laid.chart, block);
        let asked = self.question.stations.iter();
        asked
            .flat_map(|at| self.idle(*at, &pieces))
            .map(|(at, span)| self.idle_reason(at, span))
            .collect()
    }

    /// The longest stretches of the block in which nobody is at a station, nor at the sinks after it.
    fn idle(&self, at: StationIndex, pieces: &[Piece]) -> Vec<(StationIndex, Span)> {
        let washing = self.laid.washing.iter().find(|w| w.station == at).map(|w| w.from);
        let mut idle: Vec<(StationIndex, Span)> = Vec::new();
        for piece in pieces {
            let used = !piece.at_station(&self.laid.chart, at).is_empty()
                || washing.is_some_and(|from| from <= piece.span.from);
            match idle.last_mut() {
                _ if used => {}
                Some((_, span)) if span.to == piece.span.from => span.to = piece.span.to,
                _ => idle.push((at, piece.span)),
            }
        }
        idle
    }

    fn idle_reason(&self, at: StationIndex, span: Span) -> Reason {
        let label = &self.day.station(at).label;
        let drawn = self.laid.drawn.iter().find(|(s, _)| *s == at).map(|(_, come)| come);
        let words = match drawn {
            None => format!("{span}, {label}: the chart has nobody at it then"),
            Some(come) if come.is_empty() => {
                let elsewhere = draw::elsewhere(&self.day, &self.laid.chart, at, span);
                format!("{span}, {label}: no child who may use it is free then{elsewhere}")
            }
            Some(_) => format!("{span}, {label}: none of the children who come to it is free then"),
        };
        let children = Vec::new();
        Reason {
            rule: super::NOBODY_FREE,
            standard: None,
            span,
            children,
            needed: 1,
            present: 0,
            words,
        }
    }
}

fn sinks(n: u32) -> String {
    if n == 1 { "1 sink".to_owned() } else { format!("{n} sinks") }
}

/// What of a chart lies in a span.
pub(super) fn clipped(chart: &Chart, span: Span) -> Chart {
    let mut inside = chart.clone();
    for day in &mut inside.children {
        day.stays.retain_mut(|s| s.span.meet(span).map(|m| s.span = m).is_some());
    }
    for day in &mut inside.adults {
        day.posts.retain_mut(|p| p.span.meet(span).map(|m| p.span = m).is_some());
    }
    inside.children.retain(|c| !c.stays.is_empty());
    inside.adults.retain(|a| !a.posts.is_empty());
    inside
}

/// The day with what the edits make of its stations and of the team.
fn edited(day: &Day, edits: &Edits) -> Day {
    let mut day = day.clone();
    if let Some((at, most)) = edits.fewer {
        day.stations[at.0].seats = day.stations[at.0].seats.min(most);
    }
    if let Some((at, months)) = edits.older {
        day.stations[at.0].from_months = day.stations[at.0].from_months.max(months);
    }
    for at in &edits.reach {
        day.stations[at.0].out_of_reach = true;
    }
    if let Some((adults, span, leads)) = edits.extra {
        let mut site = (*day.site).clone();
        for n in 0..adults {
            day.adults.push((AdultIndex(site.adults.len()), vec![span]));
            site.adults.push(newcomer(&day, leads && n == 0));
        }
        day.site = Arc::new(site);
    }
    day
}

/// Somebody who counts and may be alone, without qualifications; who leads is trained in first aid too.
fn newcomer(day: &Day, leads: bool) -> Adult {
    Adult {
        id: super::NEWCOMER.into(),
        label: "another adult".into(),
        shifts: Default::default(),
        counts: true,
        may_be_alone: true,
        lead: leads,
        first_aid: leads,
        qualifications: Vec::new(),
        rooms: vec![day.room],
        floater: false,
        in_rooms: Vec::new(),
        breaks: Vec::new(),
        posts_not_taken: Vec::new(),
    }
}

/// The posted chart with the adults who come, watching the space of the first station.
fn with_extra(day: &Day, chart: &Chart, question: &BlockQuestion, edits: &Edits) -> Chart {
    let mut chart = chart.clone();
    let Some((_, span, _)) = edits.extra else { return chart };
    let space =
        question.stations.first().map_or(day.site[day.room].home, |s| day.station(*s).space);
    let at = day.site.zones_of(space).next().map_or(Place::WholeGroup, Place::Zone);
    for (adult, _) in &day.adults {
        if chart.adult(*adult).is_none() && day.site[*adult].id == super::NEWCOMER {
            let post = Post { span, space, at, zone: None, for_child: None, covers: None };
            chart.adults.push(AdultDay { adult: *adult, posts: vec![post] });
        }
    }
    chart
}
