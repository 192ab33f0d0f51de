//! Who has whom in sight in a block: nobody is left with children who may not be alone, because whoever
//! may is tied to a station, and nothing hot is left by its adult.

use super::Reason;
use super::block::{is_never_left, is_risky};
use super::busy;
use super::judge::Trial;
use super::pieces::Piece;
use super::words;
use crate::planner::list;
use crate::rules::named;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span, StationIndex};

impl Trial {
    /// Stretches in which children are in sight only of adults who may not be alone, as those of the
    /// space who may are tied to a station or to one child.
    pub(super) fn alone_in_sight(&self, block: Span) -> Vec<Reason> {
        type Left = (SpaceIndex, Vec<AdultIndex>, Vec<AdultIndex>, Vec<ChildIndex>);
        let mut found: Vec<(Span, Left)> = Vec::new();
        let spaces = self.spaces();
        for piece in self.pieces_in(block) {
            for &space in &spaces {
                let Some((adults, tied, children)) = self.left_with(&piece, space) else {
                    continue;
                };
                let left = (space, adults, tied, children);
                match found.iter_mut().find(|(s, l)| s.to == piece.span.from && *l == left) {
                    Some((span, _)) => span.to = piece.span.to,
                    None => found.push((piece.span, left)),
                }
            }
        }
        let told = |(span, (_, adults, tied, children)): (Span, Left)| {
            let (have, may) = match adults.len() {
                1 => ("has", "may not be alone"),
                _ => ("have", "none of them may be alone"),
            };
            let ties = if tied.len() == 1 { "is" } else { "are" };
            let words = format!(
                "{span}: only {} {have} {} in sight, and {may} with children; {} {ties} tied to another \
                 post",
                self.labels(&adults),
                words::children(&self.day, &children),
                self.labels(&tied),
            );
            Reason { children, ..Reason::of(named::NEVER_ALONE.slug, span, (1, 0), words) }
        };
        found.into_iter().map(told).collect()
    }

    fn labels(&self, adults: &[AdultIndex]) -> String {
        list(&adults.iter().map(|a| self.day.site[*a].label.as_str()).collect::<Vec<_>>())
    }

    /// Of a space: adults who may not be alone, those who may and are tied, and the children whom only
    /// the first have in sight; `None` where there are none.
    fn left_with(
        &self,
        piece: &Piece,
        space: SpaceIndex,
    ) -> Option<(Vec<AdultIndex>, Vec<AdultIndex>, Vec<ChildIndex>)> {
        let day = &self.day;
        let there = piece.adults.iter().filter(|(_, p)| p.space == space && day.watches(p.at));
        let there = there.filter(|(_, p)| !day.is_by_itself(space, p.at));
        let (may, may_not): (Vec<_>, Vec<_>) = there.partition(|(a, _)| day.site[*a].may_be_alone);
        // Somebody who is free looks after all of the space.
        if may.is_empty() || may.iter().any(|(_, p)| !busy::ties(p)) {
            return None;
        }
        let seen: Vec<_> = may.iter().flat_map(|(_, p)| day.sees(p)).collect();
        let free: Vec<AdultIndex> =
            may_not.iter().filter(|(_, p)| !busy::ties(p)).map(|(a, _)| *a).collect();
        let out_of_sight = |stay: &crate::chart::Stay| {
            let zones = day.zones_of(&self.chart.choices, stay);
            zones.is_empty() || !zones.iter().all(|zone| seen.contains(zone))
        };
        let children = piece.children_in(space).filter(|(_, s)| out_of_sight(s));
        let children: Vec<ChildIndex> = children.map(|(c, _)| *c).collect();
        let tied = may.iter().map(|(a, _)| *a).collect();
        (!free.is_empty() && !children.is_empty()).then_some((free, tied, children))
    }

    /// Stretches in which a station of the block with tools, heat or water is left to adults who may not
    /// be alone, and nobody who may has it in sight.
    pub(super) fn led_unseen(&self, block: Span) -> Vec<Reason> {
        let mut found: Vec<(Span, StationIndex, Vec<AdultIndex>)> = Vec::new();
        for piece in self.pieces_in(block) {
            for at in self.question.stations.iter().filter(|at| is_risky(&self.day, **at)) {
                let station = self.day.station(*at);
                let may = |a: &AdultIndex| self.day.site[*a].may_be_alone;
                let leads = piece.counted_at(&self.day, *at);
                let seen = piece.adults.iter().any(|(a, p)| {
                    may(a) && p.space == station.space && self.day.sees(p).contains(&station.zone)
                });
                if leads.is_empty() || seen {
                    continue;
                }
                let goes_on = found.iter_mut().find(|f| f.0.to == piece.span.from && f.1 == *at);
                match goes_on.filter(|f| f.2 == leads) {
                    Some((span, ..)) => span.to = piece.span.to,
                    None => found.push((piece.span, *at, leads)),
                }
            }
        }
        let told = |(span, at, leads): (Span, StationIndex, Vec<AdultIndex>)| {
            let (who, label) = (self.labels(&leads), &self.day.station(at).label);
            let words = format!(
                "{span}, {label}: only {who} is at it, who may not be alone with children, and nobody \
                 who may has it in sight"
            );
            Reason::of(named::NEVER_ALONE.slug, span, (1, 0), words)
        };
        found.into_iter().map(told).collect()
    }

    /// Stretches in which a station with something hot is left by its adult while its children wash.
    pub(super) fn left_hot(&self, block: Span) -> Vec<Reason> {
        let hot = |at: &&StationIndex| is_never_left(&self.day, **at);
        let mut found = Vec::new();
        for at in self.question.stations.iter().filter(hot) {
            let wash = self.laid.washing.iter().find(|w| w.station == *at);
            let Some(wash) = wash.filter(|w| w.from < self.question.span.to) else { continue };
            for piece in self.pieces_in(block).into_iter().filter(|p| p.span.from >= wash.from) {
                if !piece.counted_at(&self.day, *at).is_empty() {
                    continue;
                }
                let label = &self.day.station(*at).label;
                let words = format!(
                    "{}, {label}: nobody is at it while the children wash their hands; what is hot is \
                     never left",
                    piece.span
                );
                found.push(Reason::of(named::STAFFED.slug, piece.span, (1, 0), words));
            }
        }
        found
    }
}
