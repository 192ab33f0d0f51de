//! The way of each child through the rest: as posted where it was to be here, with its group where
//! not.

use super::ways::Making;
use crate::chart::{Apart, Block, BlockKind, ChoiceIndex, OpenChoice, Place, State, Stay};
use crate::model::{Planned, Target};
use crate::site::{ChildIndex, Minute, Span, slices};
use crate::solve::clock::gathering_zone;
use crate::solve::layout::{Eaten, Piece};
use crate::solve::way::{clip, overlay, stay};
use crate::solve::{meals, sleep};

/// Changes of the posted chart that are still to come: who, and the posted stay.
pub(super) type Rounds = Vec<(ChildIndex, Stay)>;

/// The way of each child.
pub(super) type Ways = Vec<(ChildIndex, Vec<Planned>)>;

impl Making<'_> {
    /// Everybody's way, and the care that is still to come, which is taken out of it.
    pub(super) fn children(&mut self) -> (Ways, Rounds) {
        let mut rounds: Rounds = Vec::new();
        let mut ways: Ways = Vec::new();
        let mut new: Vec<ChildIndex> = Vec::new();
        let day = self.day;
        for (child, here) in &day.children {
            let Some(g) = self.groups.iter().position(|g| g.children.contains(child)) else {
                continue;
            };
            let mut plan: Vec<Planned> = Vec::new();
            for span in here {
                let past = Span::new(span.from, span.to.min(self.at));
                plan.extend(past.into_iter().flat_map(|past| self.past(*child, past)));
                let Some(ahead) = Span::new(span.from.max(self.at), span.to) else { continue };
                let fresh = self.ahead(*child, g, ahead, &mut plan, &mut rounds);
                if fresh && new.last() != Some(child) {
                    new.push(*child);
                }
            }
            // Who is fetched in the middle of a meal has it sooner.
            let stays = self.posted.child(*child).map_or(&[][..], |c| &c.stays);
            let cut = |s: &Stay| s.span.to > self.at && !here.iter().any(|h| h.holds(s.span));
            if new.last() != Some(child) && stays.iter().any(|s| s.meal.is_some() && cut(s)) {
                new.push(*child);
            }
            ways.push((*child, plan));
        }
        self.feed(&mut ways, &new);
        (ways, rounds)
    }

    fn past(&self, child: ChildIndex, span: Span) -> Vec<Planned> {
        let stays = self.posted.child(child).map_or(&[][..], |c| &c.stays);
        let inside = |s: &Stay| Some(Stay { span: s.span.meet(span)?, ..s.clone() });
        stays.iter().filter_map(inside).map(Planned::Fixed).collect()
    }

    /// The way through one stretch that is still to come; whether the posted chart does not have the
    /// child here for all of it.
    fn ahead(
        &mut self,
        child: ChildIndex,
        g: usize,
        span: Span,
        plan: &mut Vec<Planned>,
        rounds: &mut Rounds,
    ) -> bool {
        let stays = self.posted.child(child).map_or(Vec::new(), |c| c.stays.clone());
        // Who comes only now settles first, however long the posted chart has it asleep by then.
        let begins = self.day.child_here(child).iter().any(|h| h.from == span.from);
        let comes = begins && !posted_from(&stays, span.from);
        let settled = if comes { span.from.later(sleep::settling(self.day)) } else { span.from };
        let inner = stays.iter().flat_map(|s| [s.span.from, s.span.to]).chain([settled]);
        let mut edges: Vec<Minute> = vec![span.from, span.to];
        edges.extend(inner.filter(|e| span.from < *e && *e < span.to));
        let mut fresh = false;
        for part in slices(edges) {
            let Some(at) = stays.iter().position(|s| s.span.holds(part)) else {
                fresh = true;
                let more = self.newcomer(child, g, part);
                plan.extend(more);
                continue;
            };
            let posted = &stays[at];
            if posted.at == Place::Care && posted.span.from >= self.at {
                rounds.push((child, posted.clone()));
                let under = self.under_care(g, &stays, at, part);
                plan.extend(self.with_cells(child, g, &under));
            } else {
                let mut there = Stay { span: part, ..posted.clone() };
                if there.state == State::Asleep && part.to <= settled {
                    there.state = State::Resting;
                }
                if self.is_over(posted.at, posted.span, part) {
                    there = stay(part, there.space, Place::Transition, None);
                }
                plan.extend(self.with_cells(child, g, &there));
            }
        }
        fresh
    }

    /// What a child does where it is not being changed after all: what its group does, or in a rest
    /// what it did before, or does after.
    fn under_care(&self, g: usize, stays: &[Stay], at: usize, span: Span) -> Stay {
        let group = clip(&self.group_plans[g], span).into_iter().next();
        let plain = |s: &&Stay| s.at != Place::Care;
        let before = at.checked_sub(1).map(|b| &stays[b]).filter(plain);
        let before = before.filter(|b| b.span.to == stays[at].span.from);
        let after = stays.get(at + 1).filter(plain);
        let beside = before.or(after).map(|s| Stay { span, ..s.clone() });
        match group {
            Some(Planned::Cell { cell, .. }) => {
                let c = &self.cells[cell];
                let place = |s: &Stay| self.is_posted_in(cell, s);
                let own = [before, after].into_iter().flatten().find(|s| place(s));
                let Some(own) = own else {
                    let posted = self.place_of(cell);
                    return beside.filter(|_| posted.is_none()).unwrap_or_else(|| {
                        stay(span, c.options[0].space, posted.unwrap_or(Place::Unplaced), None)
                    });
                };
                Stay { span, ..own.clone() }
            }
            Some(Planned::Fixed(fixed)) if fixed.at != Place::Rest => Stay { span, ..fixed },
            Some(Planned::Fixed(fixed)) => beside.unwrap_or(Stay { span, ..fixed }),
            None => beside.unwrap_or_else(|| {
                let home = self.day.site[self.day.room].home;
                stay(span, home, Place::Unplaced, None)
            }),
        }
    }

    /// The place at which a cell is posted.
    fn place_of(&self, cell: usize) -> Option<Place> {
        match self.posted_cells[cell].at.as_ref()? {
            (Target::Station(s), _) => Some(Place::Station(*s)),
            (_, k) => k.map(Place::Choice),
        }
    }

    fn is_posted_in(&self, cell: usize, stay: &Stay) -> bool {
        let aside = stay.apart == Some(Apart::Barred) && matches!(stay.at, Place::Station(_));
        aside || (stay.apart.is_none() && Some(stay.at) == self.place_of(cell))
    }

    /// A posted stay, in open cells where the child is there with its group.
    fn with_cells(&mut self, child: ChildIndex, g: usize, there: &Stay) -> Vec<Planned> {
        let mut plan = Vec::new();
        let mut from = there.span.from;
        for piece in clip(&self.group_plans[g], there.span) {
            let span = piece.span();
            let settled = |from, to| {
                let span = Span::new(from, to)?;
                Some(Planned::Fixed(Stay { span, ..there.clone() }))
            };
            match piece {
                Planned::Cell { cell, .. } if self.is_posted_in(cell, there) => {
                    plan.extend(settled(from, span.from));
                    plan.push(piece);
                    self.note(cell, child, there);
                    from = span.to;
                }
                _ => {}
            }
        }
        if let Some(span) = Span::new(from, there.span.to) {
            plan.push(Planned::Fixed(Stay { span, ..there.clone() }));
        }
        plan
    }

    fn note(&mut self, cell: usize, child: ChildIndex, there: &Stay) {
        let instead = match (there.apart, there.at) {
            (Some(Apart::Barred), Place::Station(s)) => Some(s),
            _ => None,
        };
        let known = &mut self.posted_cells[cell].children;
        if !known.iter().any(|(c, _)| *c == child) {
            known.push((child, instead));
        }
    }

    /// Time for which the posted chart does not have the child: with its group; in a rest as the
    /// child rests; at a table with a free seat.
    fn newcomer(&mut self, child: ChildIndex, g: usize, span: Span) -> Vec<Planned> {
        let mut plan = clip(&self.group_plans[g], span);
        let resting: Vec<Stay> = plan
            .iter()
            .filter_map(|p| match p {
                Planned::Fixed(s) if s.at == Place::Rest => Some(s.clone()),
                _ => None,
            })
            .collect();
        for rest in resting {
            let zone = rest.zone;
            // Whoever lies there already does not lie down anew.
            let whole = Span { from: self.in_rest_since(child, rest.span), to: rest.span.to };
            let up = self.day.up_from_rest(child, whole);
            for lies in sleep::in_rest_until(self.day, child, rest.space, zone, whole, up) {
                if let Some(span) = lies.span.meet(rest.span) {
                    overlay(&mut plan, &Stay { span, ..lies });
                }
            }
            if let Some(quiet) = Span::new(up.max(rest.span.from), rest.span.to) {
                let home = self.day.site[self.day.room].home;
                let k = self.quiet(quiet, child);
                overlay(&mut plan, &stay(quiet, home, Place::Choice(k), None));
            }
        }
        for lies in sleep::own_sleep(self.day, child) {
            overlay(&mut plan, &lies);
        }
        for planned in &mut plan {
            if let Planned::Fixed(stay) = planned {
                match self.eats_on(child, stay) {
                    // Whoever sits at a meal already stays there until it is over.
                    Some(goes_on) => *stay = goes_on,
                    None => self.seat(child, stay),
                }
            }
        }
        plan
    }

    /// Since when a child that is in a rest at a minute by the posted chart has been in it.
    fn in_rest_since(&self, child: ChildIndex, rest: Span) -> Minute {
        let blocks = self.posted.blocks.iter().filter(|b| b.kind == BlockKind::Rest);
        let whole = blocks.map(|b| b.span).find(|span| span.meets(rest));
        let begins = whole.map_or(rest.from, |whole| whole.from);
        let stays = self.posted.child(child).map_or(&[][..], |c| &c.stays);
        let mut since = rest.from;
        for stay in stays.iter().rev().filter(|s| s.span.to <= rest.from) {
            if stay.span.to != since || stay.span.to <= begins {
                break;
            }
            since = stay.span.from.max(begins);
        }
        since
    }

    /// The meal that a child sits at already, by the posted chart, when its group's goes on.
    fn eats_on(&self, child: ChildIndex, eats: &Stay) -> Option<Stay> {
        let stays = self.posted.child(child).map_or(&[][..], |c| &c.stays);
        let before = stays.iter().find(|s| s.span.to == eats.span.from && s.meal.is_some())?;
        (before.meal == eats.meal).then(|| Stay { span: eats.span, ..before.clone() })
    }

    /// Something quiet that is open during a rest, or is opened now.
    fn quiet(&mut self, span: Span, child: ChildIndex) -> ChoiceIndex {
        let home = self.day.site[self.day.room].home;
        let open = |c: &OpenChoice| c.space == home && c.span.holds(span);
        if let Some(k) = self.choices.iter().position(open) {
            return ChoiceIndex(k);
        }
        let near = gathering_zone(self.day, home);
        let choice = self.around.open_choice(home, span, &[child], (true, near), (1, true));
        self.choices.push(choice);
        ChoiceIndex(self.choices.len() - 1)
    }

    /// A free seat at the group's table, or at another one of the meal.
    fn seat(&self, child: ChildIndex, eats: &mut Stay) {
        let Place::Table(own) = eats.at else { return };
        let span = eats.span;
        let site = &self.day.site;
        let stays = self.posted.children.iter().flat_map(|c| c.stays.iter().map(|s| (c.child, s)));
        let there: Vec<_> = stays.filter(|(c, s)| *c != child && s.span.meets(span)).collect();
        let fits = |t: &crate::site::TableIndex| {
            let at = || there.iter().filter(|(_, s)| s.at == Place::Table(*t)).map(|(c, _)| *c);
            let quarrel = at().any(|c| site[child].keep_apart.contains(&c));
            at().count() < site[*t].seats as usize && !quarrel
        };
        let meal = eats.meal.and_then(|kind| self.day.schedule.meal(kind));
        let tables = meal.map_or(&[][..], |m| &m.tables);
        if let Some(&table) = std::iter::once(&own).chain(tables).find(|t| fits(t)) {
            eats.at = Place::Table(table);
            eats.space = site[table].space;
        }
    }

    /// Gives those who are here at other times than posted the meals that they still owe.
    fn feed(&mut self, ways: &mut Ways, new: &[ChildIndex]) {
        let meals = self.posted.blocks.iter().filter(|b| matches!(b.kind, BlockKind::Meal(_)));
        let space = self.day.site[self.day.room].home;
        let piece = |b: &Block| Piece { kind: b.kind, span: b.span, space, number: 0 };
        let pieces: Vec<Piece> = meals.map(piece).collect();
        let (day, eaten, now) = (self.day, Eaten::new(), self.at);
        let feeding = meals::Feeding { day, pieces: &pieces, eaten: &eaten, now };
        meals::feed(&feeding, |child| new.contains(&child), ways, &mut |span, child, table| {
            let fine = |choice: &OpenChoice| !choice.open.is_empty();
            let k = self.around.beside(&mut self.choices, table, (span, child), fine)?;
            Some(stay(span, day.site[table].space, Place::Choice(k), None))
        });
    }
}

/// Whether a posted chart has a child come at a minute.
fn posted_from(stays: &[Stay], minute: Minute) -> bool {
    let begins = stays.iter().any(|s| s.span.from == minute);
    begins && !stays.iter().any(|s| s.span.to == minute)
}
