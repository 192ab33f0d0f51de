//! The pieces of one way, which share what they have in common.

use super::Piece;
use crate::chart::BlockKind;
use crate::site::{Minute, SpaceIndex, Span};
use std::rc::Rc;

/// Pieces in order, the last at hand; ways that begin alike hold their beginning once.
///
/// The newest pieces stand in the trail itself until [`settle`](Trail::settle): most ways are dropped
/// before anything is built on them.
#[derive(Clone, Debug, Default)]
pub(super) struct Trail {
    held: Option<Rc<Step>>,
    fresh: [Option<Piece>; FRESH],
    count: usize,
}

/// A transition, a block, and what a longer one before it is turned into.
const FRESH: usize = 3;

#[derive(Debug)]
struct Step {
    piece: Piece,
    before: Option<Rc<Step>>,
}

impl Trail {
    pub fn last(&self) -> Option<Piece> {
        let fresh = self.count.checked_sub(1).and_then(|last| self.fresh[last]);
        fresh.or_else(|| self.held.as_ref().map(|step| step.piece))
    }

    /// Adds a piece; one without a minute is none.
    pub fn push(
        &mut self,
        kind: BlockKind,
        space: SpaceIndex,
        number: usize,
        (from, to): (u16, u16),
    ) {
        if let Some(span) = Span::new(Minute(from), Minute(to)) {
            if self.count == FRESH {
                self.settle();
            }
            self.fresh[self.count] = Some(Piece { kind, span, space, number });
            self.count += 1;
        }
    }

    /// Makes the newest pieces ones that other trails can share.
    pub fn settle(&mut self) {
        for piece in self.fresh.iter_mut().filter_map(Option::take) {
            let before = self.held.take();
            self.held = Some(Rc::new(Step { piece, before }));
        }
        self.count = 0;
    }

    fn pop(&mut self) -> Option<Piece> {
        if let Some(last) = self.count.checked_sub(1) {
            self.count = last;
            return self.fresh[last].take();
        }
        let step = self.held.take()?;
        self.held.clone_from(&step.before);
        Some(step.piece)
    }

    /// The pieces from the first to the last.
    pub fn pieces(&self) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = self.fresh.iter().flatten().rev().copied().collect();
        let mut at = &self.held;
        while let Some(step) = at {
            pieces.push(step.piece);
            at = &step.before;
        }
        pieces.reverse();
        pieces
    }

    /// Lets the last piece go on for so many minutes where nobody minds: out of doors or choosing;
    /// whether it is such a piece.
    pub fn stay_longer(&mut self, minutes: u16) -> bool {
        let good = |p: &Piece| matches!(p.kind, BlockKind::Outdoors | BlockKind::Choice);
        let Some(last) = self.last().filter(good) else { return false };
        self.pop();
        self.push(last.kind, last.space, last.number, (last.span.from.0, last.span.to.0 + minutes));
        true
    }

    /// Takes minutes for the way in (or to the sinks) from the end of what comes before a fixed
    /// part, where that is long enough to give them; whether it was.
    pub fn leave_earlier(&mut self, minutes: u16) -> bool {
        const LEAST: u16 = 15;
        let whole = self.clone();
        let moving = self.last().filter(|p| p.kind == BlockKind::Transition);
        if moving.is_some() {
            self.pop();
        }
        let gives = |p: &Piece| {
            let kind =
                matches!(p.kind, BlockKind::Outdoors | BlockKind::Choice | BlockKind::Arrival);
            kind && p.span.minutes() >= minutes + LEAST
        };
        let Some(before) = self.pop().filter(gives) else {
            *self = whole;
            return false;
        };
        let (end, last) = (before.span.to.earlier(minutes), moving.map_or(before, |m| m));
        self.push(before.kind, before.space, before.number, (before.span.from.0, end.0));
        self.push(BlockKind::Transition, last.space, 0, (end.0, last.span.to.0));
        true
    }
}
