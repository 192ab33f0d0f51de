//! The adults of one piece of a block: at its stations, then where children are that nobody sees.

use super::lay::Laying;
use super::pieces::Piece;
use crate::chart::{Place, Post};
use crate::site::people::NotTaken;
use crate::site::{AdultIndex, Mess, SpaceIndex, StationIndex, ZoneIndex};
use std::cmp::Reverse;

impl Laying<'_> {
    /// Posts adults where the block needs them; `before` is the piece before as it was placed.
    pub(super) fn post(&self, piece: &mut Piece, below: &Piece, before: Option<&Piece>) {
        let mut settled: Vec<AdultIndex> = Vec::new();
        for at in &self.question.stations {
            self.at_station(piece, below, before, *at, &mut settled);
        }
        if self.bare || self.edits.bring {
            self.beside(piece);
            self.in_other_spaces(piece, before, &mut settled);
        }
        let mut spaces: Vec<SpaceIndex> =
            self.question.stations.iter().map(|s| self.day.station(*s).space).collect();
        spaces.dedup();
        for space in spaces {
            self.in_sight(piece, space, &mut settled);
        }
    }

    fn at_station(
        &self,
        piece: &mut Piece,
        below: &Piece,
        before: Option<&Piece>,
        at: StationIndex,
        settled: &mut Vec<AdultIndex>,
    ) {
        let station = self.day.station(at);
        let there = piece.at_station(self.base, at);
        let wash = self.washing.iter().find(|w| w.station == at && w.from <= piece.span.from);
        let washing = wash.filter(|w| w.from < self.question.span.to);
        let (space, place, needed) = match washing {
            Some(w) => (w.space, Place::Transition, u32::from(self.comes(below, at))),
            None => {
                let needed = piece.needed_at(self.day, self.base, at, &there);
                (station.space, Place::Station(at), if there.is_empty() { 0 } else { needed })
            }
        };
        let has = piece.counted_at(self.day, at);
        settled.extend(&has);
        for _ in has.len() as u32..needed {
            let stood = |adult: AdultIndex| {
                before.is_some_and(|b| {
                    let at = |p: &Post| p.at == Place::Transition || p.at == Place::Station(at);
                    b.adults.iter().any(|(a, p)| *a == adult && at(p))
                })
            };
            let takes = |adult: AdultIndex| {
                let wet = station.mess == Mess::Wet;
                let not_taken = &self.day.site[adult].posts_not_taken;
                !(wet && not_taken.contains(&NotTaken::Wet)) && self.day.site[adult].counts
            };
            let free = self.free(piece, station.space, settled).into_iter();
            let best = free.filter(|i| takes(piece.adults[*i].0)).min_by_key(|i| {
                let adult = piece.adults[*i].0;
                let longest = Reverse(self.free_all(adult));
                (!stood(adult), !self.spare(piece, *i), longest, *i)
            });
            let Some(best) = best else { return };
            let (adult, post) = &mut piece.adults[best];
            *post = Post { space, at: place, zone: None, covers: None, ..*post };
            settled.push(*adult);
        }
    }

    /// Whether somebody comes to a station that the chart does not use.
    fn comes(&self, below: &Piece, at: StationIndex) -> bool {
        let come = self.drawn.iter().find(|(s, _)| *s == at).map(|(_, come)| come);
        come.is_some_and(|come| below.children.iter().any(|(c, _)| come.contains(c)))
    }

    /// Positions of the adults who may be posted elsewhere in a space.
    fn free(&self, piece: &Piece, space: SpaceIndex, settled: &[AdultIndex]) -> Vec<usize> {
        let may = |(adult, post): &(AdultIndex, Post)| {
            let at = match post.at {
                Place::Zone(_) | Place::WholeGroup | Place::Movement | Place::Outdoors => true,
                Place::Station(s) => {
                    let there = piece.at_station(self.base, s);
                    piece.needed_at(self.day, self.base, s, &there) == 0
                        && !self.question.stations.contains(&s)
                }
                // One of those by the cots can go where another one stays there.
                Place::Rest => {
                    let by = |p: &Post| p.at == Place::Rest && p.space == post.space;
                    piece.adults.iter().filter(|(_, p)| by(p)).count() > 1
                }
                _ => false,
            };
            at && post.for_child.is_none()
                && (self.bare || self.edits.bring || post.space == space)
                && !settled.contains(adult)
        };
        (0..piece.adults.len()).filter(|i| may(&piece.adults[*i])).collect()
    }

    /// Minutes of the block in which an adult has a post that can be given up.
    fn free_all(&self, adult: AdultIndex) -> u32 {
        let block = self.question.span;
        let posts = self.base.adult(adult).map_or(&[][..], |a| &a.posts);
        let loose = |p: &&Post| {
            use Place::{Movement, Outdoors, Station, WholeGroup, Zone};
            matches!(p.at, Zone(_) | WholeGroup | Movement | Outdoors | Station(_))
        };
        let inside = posts.iter().filter(loose).filter_map(|p| p.span.meet(block));
        inside.map(|s| u32::from(s.minutes())).sum()
    }

    /// Whether all that an adult sees of children, another adult sees as well.
    fn spare(&self, piece: &Piece, at: usize) -> bool {
        let (adult, post) = &piece.adults[at];
        let used = piece.zones_in_use(self.day, self.base, post.space);
        let others = |zone: &ZoneIndex| {
            piece.adults.iter().any(|(a, p)| {
                a != adult && p.for_child.is_none() && self.day.sees(p).contains(zone)
            })
        };
        self.day.sees(post).iter().filter(|z| used.contains(z)).all(others)
    }

    /// Who is there for one child alone goes to the space that the child goes to.
    fn beside(&self, piece: &mut Piece) {
        let children = &piece.children;
        for (_, post) in &mut piece.adults {
            let Some(child) = post.for_child else { continue };
            let with = children.iter().find(|(c, _)| *c == child).map(|(_, s)| s.space);
            let Some(space) = with.filter(|s| *s != post.space) else { continue };
            let zone = self.day.site.zones_of(space).next();
            (post.space, post.zone) = (space, zone);
            post.at = zone.map_or(Place::WholeGroup, Place::Zone);
        }
    }

    /// As many adults as each other space needs: without a chart every space but the main one, where
    /// whoever is left stays, with one the spaces that children are brought to.
    fn in_other_spaces(
        &self,
        piece: &mut Piece,
        before: Option<&Piece>,
        settled: &mut Vec<AdultIndex>,
    ) {
        let main = super::bare::main_space(self.day, self.question);
        let asked = |s: &SpaceIndex| {
            self.question.stations.iter().any(|at| self.day.station(*at).space == *s)
        };
        let needs = |s: &SpaceIndex| if self.bare { *s != main } else { asked(s) };
        for space in (0..self.day.site.spaces.len()).map(SpaceIndex).filter(needs) {
            if piece.children_in(space).next().is_none() {
                continue;
            }
            loop {
                let counted = piece.counted(self.day, Some(space));
                let needed = super::slices::strictest(self.day, piece, space).max(1);
                let alone = counted.iter().any(|a| self.day.site[*a].may_be_alone);
                if counted.len() as u32 >= needed && alone {
                    break;
                }
                let here: Vec<AdultIndex> = piece
                    .adults
                    .iter()
                    .filter(|(_, p)| p.space == space)
                    .map(|(a, _)| *a)
                    .chain(settled.iter().copied())
                    .collect();
                let free = self.free(piece, space, &here).into_iter();
                let counts = |i: &usize| self.day.site[piece.adults[*i].0].counts;
                let may = |i: &usize| self.day.site[piece.adults[*i].0].may_be_alone;
                // By a chart, whoever is there already stays and no zone is left without an adult.
                let stood = |i: &usize| {
                    let who = piece.adults[*i].0;
                    before.is_some_and(|b| {
                        b.adults.iter().any(|(a, p)| *a == who && p.space == space)
                    })
                };
                let rank = |i: &usize| match self.bare {
                    true => (!may(i), false, false, Reverse(0), *i),
                    false => {
                        let longest = Reverse(self.free_all(piece.adults[*i].0));
                        (!may(i), !stood(i), !self.spare(piece, *i), longest, *i)
                    }
                };
                let Some(best) = free.filter(counts).min_by_key(rank) else { break };
                let used = piece.zones_in_use(self.day, self.base, space);
                let seen = |z: &&ZoneIndex| {
                    let watching = |p: &Post| p.for_child.is_none() && p.space == space;
                    piece.adults.iter().any(|(_, p)| watching(p) && self.day.sees(p).contains(z))
                };
                let unseen = used.iter().find(|z| !seen(z)).copied();
                let zone = unseen.or_else(|| self.day.site.zones_of(space).next());
                let (adult, post) = &mut piece.adults[best];
                let at = zone.map_or(Place::WholeGroup, Place::Zone);
                *post = Post { space, at, zone, ..*post };
                settled.push(*adult);
            }
        }
    }

    /// Somebody for each zone that nobody sees; without a chart the other children keep to where
    /// an adult who is left sees them.
    fn in_sight(&self, piece: &mut Piece, space: SpaceIndex, settled: &mut Vec<AdultIndex>) {
        if self.bare {
            self.gather(piece, space, settled);
        }
        for zone in piece.zones_in_use(self.day, self.base, space) {
            let seen = piece
                .adults
                .iter()
                .any(|(_, p)| p.for_child.is_none() && self.day.sees(p).contains(&zone));
            if seen {
                continue;
            }
            let free = self.free(piece, space, settled).into_iter();
            let best = free.min_by_key(|i| {
                let longest = Reverse(self.free_all(piece.adults[*i].0));
                (!self.spare(piece, *i), longest, *i)
            });
            let Some(best) = best else { continue };
            let (adult, post) = &mut piece.adults[best];
            *post = Post { space, at: Place::Zone(zone), zone: None, covers: None, ..*post };
            settled.push(*adult);
        }
    }

    /// Children at no station go where one of the adults who are not at a staffed one sees them;
    /// where there is none, where the adult of a station does.
    fn gather(&self, piece: &mut Piece, space: SpaceIndex, settled: &[AdultIndex]) {
        let stations =
            self.question.stations.iter().filter(|s| self.day.station(**s).space == space);
        let watched: Vec<ZoneIndex> = stations
            .filter(|s| !piece.at_station(self.base, **s).is_empty())
            .map(|s| self.day.station(*s).zone)
            .collect();
        let seen = |zone: &ZoneIndex| {
            piece.adults.iter().any(|(a, p)| {
                settled.contains(a) && p.for_child.is_none() && self.day.sees(p).contains(zone)
            })
        };
        let unseen = watched.iter().filter(|z| !seen(z)).count();
        let left = self.free(piece, space, settled).len();
        let Some(zone) = watched.first().filter(|_| left <= unseen).copied() else { return };
        for (_, stay) in &mut piece.children {
            let loose = matches!(stay.at, Place::Zone(_) | Place::WholeGroup);
            if loose
                && stay.space == space
                && !self.day.zones_of(&self.base.choices, stay).contains(&zone)
            {
                stay.at = Place::Zone(zone);
                stay.zone = None;
            }
        }
    }
}
