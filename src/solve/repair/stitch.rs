//! A new layout behind the part of the posted chart that stands.

use super::children::Rounds;
use super::relay::Cut;
use super::{Broken, care};
use crate::chart::{Block, BlockKind, Cell, Chart, ChildDay, ChoiceIndex, Place, Stay};
use crate::day::Day;
use crate::model::Planned;
use crate::rules::{self, Shortfall};
use crate::site::{Minute, SpaceIndex, Span};
use crate::solve::demand::Duties;
use crate::solve::door::at_the_door;
use crate::solve::posts::{Standing, post_rest};
use crate::solve::sleep;
use crate::solve::way::{join, overlay, stay};

impl Cut<'_> {
    /// The new chart behind the base; who was to be changed on the way over is, unless that breaks more.
    pub(super) fn stitched(&self, rest: &Day, new: &Chart, duties: &Duties) -> Chart {
        let changed = care::on_the_way(self.base, self.way());
        let nobody = self.stitch(rest, new, duties.clone(), &Vec::new());
        if changed.is_empty() {
            return nobody;
        }
        let all = self.stitch(rest, new, duties.clone(), &changed);
        let Broken { day, at, .. } = self.broken;
        let short = |c: &Chart| Shortfall::of(day, c, &rules::audit(day, c), at);
        if short(&all) <= short(&nobody) { all } else { nobody }
    }

    /// The base until `until`, the way over, then the new chart; adults posted.
    /// `changed` are those who are changed on the way over.
    fn stitch(&self, rest: &Day, new: &Chart, mut duties: Duties, changed: &Rounds) -> Chart {
        let day = self.broken.day;
        let mut chart = self.base.clone();
        let way = self.way();
        let over = |span: Span, space: SpaceIndex| stay(span, space, Place::Transition, None);
        chart.blocks.retain_mut(|b| cut_off(&mut b.span, self.until));
        let kept_blocks = chart.blocks.len();
        let choices = chart.choices.len();
        let shifted = |at: Place| match at {
            Place::Choice(k) => Place::Choice(ChoiceIndex(k.0 + choices)),
            plain => plain,
        };
        let first = new.groups.iter().flat_map(|g| g.cells.first()).map(|c| c.space).next();
        let space = first.unwrap_or(day.site[day.room].home);
        let over_block = |span| Block { id: String::new(), kind: BlockKind::Transition, span };
        chart.blocks.extend(way.map(over_block));
        let first_new = chart.blocks.len();
        chart.blocks.extend(new.blocks.iter().cloned());
        number(&mut chart.blocks, kept_blocks);
        chart.choices.extend(new.choices.iter().cloned());
        for group in &mut chart.groups {
            group.cells.retain_mut(|c| cut_off(&mut c.span, self.until));
            let Some(after) = new.groups.iter().find(|g| g.id == group.id) else { continue };
            let at = Place::Transition;
            group.cells.extend(way.map(|span| Cell { block: kept_blocks, span, space, at }));
            group.cells.extend(after.cells.iter().map(|c| Cell {
                block: c.block + first_new,
                at: shifted(c.at),
                ..c.clone()
            }));
        }
        let mut children: Vec<ChildDay> = Vec::new();
        for (child, here) in &day.children {
            let mut plan: Vec<Planned> = Vec::new();
            let before = self.base.child(*child).map_or(&[][..], |c| &c.stays);
            let mut add = |s: Stay| plan.push(Planned::Fixed(s));
            for s in before {
                let mut span = s.span;
                if cut_off(&mut span, self.until) {
                    add(Stay { span, ..s.clone() });
                }
            }
            let walks = here.iter().filter_map(|h| h.meet(way?));
            walks.for_each(|span| add(over(span, space)));
            let after = new.child(*child).map_or(&[][..], |c| &c.stays);
            after.iter().for_each(|s| add(Stay { at: shifted(s.at), ..s.clone() }));
            for lies in sleep::own_sleep(day, *child) {
                if let Some(span) = way.and_then(|way| lies.span.meet(way)) {
                    overlay(&mut plan, &Stay { span, ..lies });
                }
            }
            let own = changed.iter().filter(|(c, _)| c == child);
            own.for_each(|(_, change)| overlay(&mut plan, change));
            let settled = |p| match p {
                Planned::Fixed(stay) => Some(stay),
                Planned::Cell { .. } => None,
            };
            let stays = join(plan).into_iter().filter_map(settled).collect();
            children.push(ChildDay { child: *child, stays });
        }
        chart.children = children;
        let doors = at_the_door(rest, new, &duties);
        duties.door = doors.into_iter().filter(|d| d.1.from >= self.start).collect();
        duties.held = day.held_up();
        duties.care.extend(changed.iter().map(|(_, s)| (s.space, s.span)));
        duties.breaks.extend(self.resting().iter().map(|r| (r.0, r.1, r.2.from)));
        let standing = Standing { at: self.until, posts: &self.base.adults };
        post_rest(day, &mut chart, &duties, &standing);
        chart
    }
}

/// Cuts a span off at a minute; whether anything is left.
fn cut_off(span: &mut Span, until: Minute) -> bool {
    span.to = span.to.min(until);
    span.from < span.to
}

/// Gives the blocks from a position on ids that go on counting.
fn number(blocks: &mut [Block], from: usize) {
    for at in from..blocks.len() {
        let name = match blocks[at].kind {
            BlockKind::Transition => "transition".to_owned(),
            _ => blocks[at].id.rsplit_once('-').map_or("block", |(name, _)| name).to_owned(),
        };
        let mut n = 1 + blocks[..at].iter().filter(|b| b.kind == blocks[at].kind).count();
        while blocks[..at].iter().any(|b| b.id == format!("{name}-{n}")) {
            n += 1;
        }
        blocks[at].id = format!("{name}-{n}");
    }
}
