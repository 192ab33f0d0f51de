//! Who sees what, who counts where, and who is by themselves.
//!
//! This is the one reading of it for everything that plans or tells; the audits have a reading of
//! their own (`rules/reading`), and tests hold the two together.

use super::Day;
use crate::chart::{OpenChoice, Place, Post, Stay};
use crate::site::{AdultIndex, SpaceIndex, ZoneIndex};

impl Day {
    /// The zones that a child in a stay is in, in order; none at care, on the move or unplaced.
    #[must_use]
    pub fn zones_of(&self, choices: &[OpenChoice], stay: &Stay) -> Vec<ZoneIndex> {
        let mut zones: Vec<ZoneIndex> = match stay.at {
            Place::Choice(c) => choices[c.0].open.iter().map(|&s| self.station(s).zone).collect(),
            at => self.zone_at(at, stay.zone).into_iter().collect(),
        };
        zones.sort_unstable();
        zones.dedup();
        zones
    }

    /// The zones that an adult at a post sees, whomever the post is for.
    #[must_use]
    pub fn sees(&self, post: &Post) -> Vec<ZoneIndex> {
        match post.at {
            Place::Care => self.seen_from_care(post.space).to_vec(),
            Place::Task(_) if self.watches(post.at) => post.zone.into_iter().collect(),
            at => self.zone_at(at, post.zone).into_iter().collect(),
        }
    }

    /// The one zone of a place, `told` where the place itself has none.
    fn zone_at(&self, at: Place, told: Option<ZoneIndex>) -> Option<ZoneIndex> {
        match at {
            Place::Station(s) => Some(self.station(s).zone),
            Place::Table(t) => Some(self.site[t].zone),
            Place::Zone(z) => Some(z),
            Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => told,
            Place::Choice(_) | Place::Transition | Place::Care | Place::Door => None,
            Place::Preparation | Place::Task(_) | Place::StaffBreak(_) | Place::Unplaced => None,
        }
    }

    /// Zones that an adult at the changing place of a space sees.
    #[must_use]
    pub fn seen_from_care(&self, space: SpaceIndex) -> &[ZoneIndex] {
        self.site[space].care_place.as_ref().map_or(&[], |place| &place.seen_from)
    }

    /// Whether an adult at this place also watches the children on the move in its space.
    #[must_use]
    pub fn watches_moves(at: Place) -> bool {
        matches!(
            at,
            Place::Transition
                | Place::WholeGroup
                | Place::Movement
                | Place::Outdoors
                | Place::Rest
                | Place::Zone(_)
        )
    }

    /// Whether an adult at a place has an eye for children: on no staff break, not getting the room
    /// ready, and at no task that takes the eyes off them.
    #[must_use]
    pub fn watches(&self, at: Place) -> bool {
        match at {
            Place::StaffBreak(_) | Place::Preparation => false,
            Place::Task(task) => self.schedule.tasks.get(task).is_some_and(|t| t.watching),
            _ => true,
        }
    }

    /// Whether whoever is at a place of a space is at a changing place from which nobody sees the
    /// space, nor is seen: who is changed there is in no space meanwhile, and whoever changes it is
    /// with it and counts for nobody else.
    #[must_use]
    pub fn is_by_itself(&self, space: SpaceIndex, at: Place) -> bool {
        at == Place::Care && self.seen_from_care(space).is_empty()
    }

    /// Whether an adult at this post counts in the ratio of the post's space.
    ///
    /// Nobody on a staff break, on a task that takes the eyes off the children, beside one child alone,
    /// or changing a child out of everyone's sight does.
    #[must_use]
    pub fn counts(&self, adult: AdultIndex, post: &Post) -> bool {
        self.site[adult].counts
            && post.for_child.is_none()
            && self.watches(post.at)
            && !self.is_by_itself(post.space, post.at)
    }
}
