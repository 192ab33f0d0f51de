//! A block as it would run, and what breaks in it, by the audits of a chart.

use super::block::{self, Laid, Otherwise};
use super::pieces::{Piece, pieces_of};
use super::plan::{self, Base};
use super::stand::{Moves, moves, stand};
use super::{BlockQuestion, Change, Reason, come};
use crate::chart::{Chart, Place};
use crate::day::{Day, NearEnds};
use crate::planner::edit::Given;
use crate::planner::list;
use crate::rules::{self, About, Problem, Reads, Rule, Shortfall, named};
use crate::site::{Mess, Minute, SpaceIndex, Span, StationIndex};

/// What lies so many minutes before or after a block may be its doing.
const NEAR: u16 = 30;

/// A block as it would run.
#[derive(Clone)]
pub(super) struct Trial {
    /// The day with what the edits make of it.
    pub day: Day,
    pub question: BlockQuestion,
    pub how: Otherwise,
    pub bare: bool,
    pub laid: Laid,
    /// The chart with the block in it, and everybody where they are needed if they may be moved.
    pub chart: Chart,
    /// What is elsewhere than in the chart below, if anything may be.
    pub moves: Vec<Change>,
    /// What the chart breaks over the day without the block.
    before: Vec<Problem>,
    /// What breaks, by rule and then by time.
    pub reasons: Vec<Reason>,
}

impl Trial {
    /// Lays the block and judges it; `None` where what is changed cannot be.
    pub fn run(base: &Base, question: &BlockQuestion, how: Otherwise) -> Option<Trial> {
        let told = base.day.happened.iter().map(|h| h.at).max();
        // Nothing before the block is otherwise for it.
        let at = told.map_or(question.span.from, |told| told.max(question.span.from));
        let mut day = base.day.clone();
        if !how.edits.is_empty() {
            let (posted, happenings) = (base.chart.clone(), Vec::new());
            let given = Given { day, posted, at, happenings, near_ends: NearEnds::No };
            day = given.with(&how.edits)?.day;
        }
        let laid = block::lay(&day, base, question, &how);
        let mut trial = Trial {
            chart: laid.chart.clone(),
            day,
            question: question.clone(),
            how,
            bare: base.bare,
            laid,
            moves: Vec::new(),
            before: base.before.clone(),
            reasons: Vec::new(),
        };
        trial.reasons = trial.judged(question.span);
        if trial.how.moves != Moves::None {
            trial.moved(base, at);
        }
        Some(trial)
    }

    /// What the rest of the day is short of.
    fn left(&self, at: Minute) -> Shortfall {
        Shortfall::of(&self.day, &self.chart, &rules::audit(&self.day, &self.chart), at)
    }

    /// The chart of the block with the least that breaks, adults and what is to come being elsewhere
    /// than posted where that helps: not where nothing breaks, in the block or behind it, that did not
    /// without it.
    fn moved(&mut self, base: &Base, at: Minute) {
        let most = Shortfall::of(&base.day, &base.chart, &base.broken, at);
        let left = self.left(at);
        if self.reasons.is_empty() && left.is_within(&most) {
            return;
        }
        let mut best = (weight(&self.reasons), left);
        let mut found: Option<(Chart, Vec<Reason>)> = None;
        let mut tried = self.clone();
        stand(&self.day, &self.laid, &self.question, (at, &most, self.how.moves), &mut |chart| {
            tried.chart = chart;
            let reasons = tried.judged(tried.question.span);
            let left = tried.left(at);
            let enough = reasons.is_empty() && left.is_within(&most);
            let worth = (weight(&reasons), left);
            if worth < best {
                best = worth;
                found = Some((tried.chart.clone(), reasons));
            }
            enough
        });
        if let Some((chart, reasons)) = found {
            if !self.bare {
                let team = base.day.site.adults.len();
                self.moves = moves(&self.day, team, &self.chart, &chart, at);
            }
            (self.chart, self.reasons) = (chart, reasons);
        }
    }

    /// The spaces that the block is about: those of its stations and of the sinks after them, and
    /// those that children or adults leave for it.
    pub fn spaces(&self) -> Vec<SpaceIndex> {
        let of_stations = self.question.stations.iter().map(|s| self.day.station(*s).space);
        // Whoever does not come stays behind in a space that has to hold as well.
        let home = self.bare.then(|| plan::main_space(&self.day, &self.question));
        // So does the space in which the others sleep meanwhile.
        let inside = if self.bare { self.pieces() } else { Vec::new() };
        let others = inside.iter().flat_map(|p| &p.children).map(|(_, s)| s.space);
        let room = &self.day.site[self.day.room];
        let all = room.spaces.iter().copied().filter(|_| self.how.bring);
        let of_the_sinks = self.laid.washing.iter().map(|w| w.space);
        let mut spaces: Vec<SpaceIndex> =
            of_stations.chain(of_the_sinks).chain(home).chain(all).chain(others).collect();
        spaces.sort_unstable();
        spaces.dedup();
        spaces
    }

    /// The block in pieces.
    pub fn pieces(&self) -> Vec<Piece> {
        pieces_of(&self.chart, self.question.span)
    }

    /// A part of the block in pieces.
    pub fn pieces_in(&self, part: Span) -> Vec<Piece> {
        pieces_of(&self.chart, part)
    }

    /// What breaks in a part of the block, by rule and then by time; what has to be asked about
    /// children with an allergy stands in [`super::allergic`].
    pub fn judged(&self, block: Span) -> Vec<Reason> {
        let spaces = self.spaces();
        let inside = clipped(&self.chart, block);
        let mut reasons = Vec::new();
        for rule in rules::RULES {
            let chart = match rule.reads {
                Reads::Around => &self.chart,
                Reads::Minute => &inside,
                Reads::Day if plan::is_of_a_block(rule, self.bare) => &self.chart,
                Reads::Day => continue,
            };
            let found = (rule.audit)(&self.day, chart);
            let found = found.into_iter().filter(|p| !p.is_a_question());
            for problem in found.filter(|p| self.is_of_the_block(p, &spaces)) {
                // What the day lacks with the block in it may lie beside it.
                let of_the_day = rule.reads == Reads::Day;
                let whole = of_the_day && block == self.question.span;
                let Some(span) = problem.span.meet(block).or(whole.then_some(block)) else {
                    continue;
                };
                let problem = if of_the_day { problem } else { Problem { span, ..problem } };
                if let Some(last) = reasons.last_mut().filter(|_| problem.case == "wet")
                    && self.goes_on(last, &problem)
                {
                    continue;
                }
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
        reasons.extend(self.alone_in_sight(block));
        reasons.extend(self.led_unseen(block));
        reasons.extend(self.left_hot(block));
        reasons
    }

    /// Makes a reason longer by a problem with wet stations that goes on from it; whether it does.
    fn goes_on(&self, last: &mut Reason, problem: &Problem) -> bool {
        let span = Span { from: last.span.from, to: problem.span.to };
        let (now, longer) = (problem.clone(), Problem { span, ..problem.clone() });
        let rule = rules::rule_of(problem);
        let before = self.words(rule, &Problem { span: last.span, ..now });
        let same = last.rule == problem.rule
            && last.span.to == problem.span.from
            && last.present == problem.present
            && before == last.words;
        if same {
            (last.words, last.span) = (self.words(rule, &longer), span);
        }
        same
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
        let inside = pieces_of(&self.chart, problem.span);
        let used = |s: &StationIndex| {
            let station = self.day.station(*s);
            let here = problem.space == Some(station.space) && station.mess == Mess::Wet;
            here && inside.iter().any(|p| !p.at_station(&self.chart, *s).is_empty())
        };
        (0..self.day.stations.len()).map(StationIndex).filter(used).collect()
    }

    fn is_of_the_block(&self, problem: &Problem, spaces: &[SpaceIndex]) -> bool {
        let asked = |s: StationIndex| self.question.stations.contains(&s);
        let rule = rules::rule_of(problem);
        match (rule.about, problem.at) {
            // What the day lacks only with the block in it.
            _ if rule.reads == Reads::Day => self.is_beside(problem) && !self.is_known(problem),
            // Whichever of them came first, both are wet.
            _ if problem.case == "wet" => self.wet_in_use(problem).into_iter().any(asked),
            // Of the rest only what is too loud beside it.
            (About::Day, Some(Place::Station(s))) => problem.case == "loud" && asked(s),
            (About::Day, _) => false,
            // On a day that is only supposed as much is open as has to be.
            (About::Stations, Some(Place::Choice(_))) if self.bare => false,
            // What other stations break on their own account is the chart's matter, not the block's.
            (About::Stations, Some(Place::Station(s))) => asked(s),
            _ => problem.space.is_none_or(|s| spaces.contains(&s)),
        }
    }

    /// Whether something lies so near to the block that it may be its doing, on a day that is only
    /// supposed; on a posted chart all that is new is.
    fn is_beside(&self, problem: &Problem) -> bool {
        let block = self.question.span;
        let near = Span { from: block.from.earlier(NEAR), to: block.to.later(NEAR) };
        !self.bare || problem.span.meets(near)
    }

    /// Whether the day lacks it without the block as well; of a day that is only supposed other charts
    /// lack the same at other minutes.
    fn is_known(&self, problem: &Problem) -> bool {
        let same = |p: &Problem| {
            (p.rule, p.case, &p.children, &p.adults)
                == (problem.rule, problem.case, &problem.children, &problem.adults)
        };
        // What has no time but in the block is not known of without it.
        let inside = self.question.span.holds(problem.span);
        self.before.iter().any(|p| if self.bare { same(p) && !inside } else { p == problem })
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
            let minutes = (u32::from(w.minutes), u32::from(block.minutes()));
            Reason::of(named::SINKS.slug, block, minutes, words)
        })
        .collect()
    }

    /// Stations to which nobody can come, all the block or a part of it.
    fn nobody_free(&self, block: Span) -> Vec<Reason> {
        let pieces = pieces_of(&self.chart, block);
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
        let closed = self.how.closed(at);
        for piece in pieces {
            let used = closed.iter().any(|c| c.holds(piece.span))
                || !piece.at_station(&self.chart, at).is_empty()
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
                let elsewhere = come::elsewhere(&self.day, &self.chart, at, span);
                format!("{span}, {label}: no child who may use it is free then{elsewhere}")
            }
            Some(come) => {
                let meanwhile = come::meanwhile(&self.chart, come, span);
                format!(
                    "{span}, {label}: none of the children who come to it is free then{meanwhile}"
                )
            }
        };
        Reason::of(super::NOBODY_FREE, span, (1, 0), words)
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

/// How much breaks, in minutes of people: whether one way to run a block is nearer to what can run.
pub(super) fn weight(reasons: &[Reason]) -> u64 {
    let of_one = |r: &Reason| {
        let people = r.needed.abs_diff(r.present).max(1);
        u64::from(people) * u64::from(r.span.minutes())
    };
    reasons.iter().map(of_one).sum()
}
