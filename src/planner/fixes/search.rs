//! In what order changes are tried: one by one, two at a time, and help from outside beside an adult of
//! the team; where nothing mends the whole of it, what leaves least broken.

use super::dear::{dear, hires, makes_needless};
use super::sets::{covers, pairs, parts, rank, threes};
use super::trials::{Trials, Wanted};
use crate::day::{Day, ExtraAdult, NearEnds};
use crate::planner::edit::Edit;
use crate::planner::edit::floor::runs;
use crate::rules::{Mend, RULES, Shortfall};
use crate::site::Span;

impl Trials<'_, '_> {
    /// Sets that mend; with staff breaks in the first or last hour of a shift where there is no other
    /// way.
    pub(super) fn search_all(&mut self, candidates: &[Edit]) -> Vec<Vec<Edit>> {
        let found = self.search(candidates);
        if !found.is_empty() || !self.move_breaks_further(candidates) {
            return found;
        }
        self.search(candidates)
    }

    /// From now on staff breaks may be moved into the first or last hour of a shift; whether that makes a
    /// difference.
    fn move_breaks_further(&mut self, candidates: &[Edit]) -> bool {
        let Some(laid) = self.given.with(&[]) else { return false };
        let mut times = |near| {
            self.given.near_ends = near;
            let of = |edit: &Edit| match edit {
                Edit::MoveBreak { adult, due, .. } => {
                    self.given.times_of_break(&laid.day, *adult, *due)
                }
                _ => Vec::new(),
            };
            candidates.iter().map(of).collect::<Vec<_>>()
        };
        let differs = times(NearEnds::No) != times(NearEnds::IfNeedBe);
        let moves = |edit: &Edit| matches!(edit, Edit::MoveBreak { from: None, .. });
        self.known.retain(|edits, _| !differs || !edits.iter().any(moves));
        differs
    }

    /// Sets that mend, with nothing in them that could be left out.
    fn search(&mut self, candidates: &[Edit]) -> Vec<Vec<Edit>> {
        let mut found: Vec<Vec<Edit>> = Vec::new();
        let (mut helps, mut idle): (Vec<Edit>, Vec<Edit>) = (Vec::new(), Vec::new());
        for edit in candidates {
            if found.iter().any(|f| f.iter().any(|known| covers(known, edit)))
                || !self.budget.lasts_for(edit)
            {
                continue;
            }
            let one = [edit.clone()];
            if self.mends(&one) {
                found.extend(self.least(one.to_vec()));
            } else if self.helps(&one) {
                helps.push(edit.clone());
            } else {
                idle.push(edit.clone());
            }
        }
        let (pairs, passed_over) = pairs(&helps, &idle, &self.go_together());
        self.untried = passed_over;
        for pair in pairs {
            if hires(&pair) && !found.is_empty() {
                break;
            }
            if found.iter().filter(|f| rank(f) <= rank(&pair)).count() >= super::MOST {
                break;
            }
            if found.iter().any(|f| makes_needless(f, &pair)) {
                continue;
            }
            if self.mends(&pair) {
                found.extend(self.least(pair).filter(|edits| !found.contains(edits)));
            }
        }
        self.put_together(&mut found, candidates);
        found
    }

    /// Where all that was found hires somebody: an adult of the team for a part of it, and somebody from
    /// outside who is here for less, or need be able to do less.
    fn put_together(&mut self, found: &mut Vec<Vec<Edit>>, candidates: &[Edit]) {
        if found.iter().any(|set| !hires(set)) {
            return;
        }
        let Some(set) = found.iter().min_by_key(|set| dear(set)).cloned() else { return };
        let saves = |edit: &Edit| match edit {
            Edit::AdultOfTheTeam { span, .. } => Some(saved(&set, *span)),
            _ => None,
        };
        let mut team: Vec<&Edit> = candidates.iter().filter(|edit| saves(edit).is_some()).collect();
        team.retain(|one| !set.iter().any(|edit| covers(edit, one)));
        team.sort_by_key(|one| std::cmp::Reverse(saves(one)));
        let before = found.len();
        for one in team {
            if found.len() - before >= super::MOST_OF_A_KIND {
                break;
            }
            let less = less_hired(&self.given.day, &set, one);
            let Some(both) = less.into_iter().find(|both| self.mends(both)) else { continue };
            let both = self.least(both).filter(|both| dear(both) < dear(&set));
            found.extend(both.filter(|both| !found.contains(both)));
        }
    }

    /// Which two changes may help together where neither does: the staff breaks of two adults, if
    /// somebody lacks one, and a meal earlier or later with the floor used otherwise beside it, if it
    /// goes wrong where there is no turn or choice.
    fn go_together(&self) -> impl Fn(&Edit, &Edit) -> bool + use<> {
        let mut rules = RULES.iter().enumerate().filter(|(_, r)| r.is_mended_by(Mend::StaffBreak));
        let lacks_a_break = rules.any(|(at, _)| self.base.of_rule(at) > 0);
        let beside = runs(&self.given.posted, self.broken, self.given.at).is_empty();
        move |one, other| match (one, other) {
            (Edit::MoveBreak { .. }, Edit::MoveBreak { .. }) => lacks_a_break,
            (Edit::ShiftMeal { .. }, Edit::SplitFloor { .. } | Edit::JoinFloor { .. }) => beside,
            _ => false,
        }
    }

    fn helps(&mut self, edits: &[Edit]) -> bool {
        let base = self.base.clone();
        self.outcome(edits).is_some_and(|o| o.shortfall < base)
    }

    /// The least that some changes, or two or three of them, leave of the shortfall, with no child less
    /// safe than before; `None` where none of them gets below it. Who mends four things of five helps
    /// though the fifth, which an adult is owed, is kept a little less.
    ///
    /// Only changes that lessen it are put together, by themselves or beside one that does.
    pub(super) fn least_shortfall(&mut self, candidates: &[Edit]) -> Option<Shortfall> {
        self.given.near_ends = NearEnds::No;
        let least = self.least_of(candidates);
        if least.is_some() || !self.move_breaks_further(candidates) {
            return least;
        }
        self.least_of(candidates)
    }

    fn least_of(&mut self, candidates: &[Edit]) -> Option<Shortfall> {
        // What was passed over for not mending everything may mend a part.
        self.known.clear();
        self.kept = 0;
        let mut least = self.base.clone();
        let (mut helps, mut idle): (Vec<Edit>, Vec<Edit>) = (Vec::new(), Vec::new());
        for edit in candidates {
            if !self.budget.lasts_for(edit) {
                continue;
            }
            let lessens = self.comes_down(std::slice::from_ref(edit), &mut least);
            (if lessens { &mut helps } else { &mut idle }).push(edit.clone());
        }
        let (pairs, passed_over) = pairs(&helps, &idle, &self.go_together());
        self.untried = passed_over;
        let mut further: Vec<Vec<Edit>> = Vec::new();
        for pair in pairs {
            if self.comes_down(&pair, &mut least) {
                further.push(pair);
            }
        }
        if !least.is_none() {
            let left =
                |pair: &Vec<Edit>| self.known.get(pair)?.as_ref().map(|o| o.shortfall.clone());
            further.sort_by_cached_key(|pair| (left(pair), rank(pair)));
            let (threes, passed_over) = threes(&further, &helps);
            self.untried += passed_over;
            for three in threes {
                self.comes_down(&three, &mut least);
            }
        }
        (least < self.base).then_some(least)
    }

    /// Sets that were found to come down to the goal, with nothing in them that could be left out.
    pub(super) fn reaching(&mut self, candidates: &[Edit]) -> Vec<Vec<Edit>> {
        let mut sets: Vec<Vec<Edit>> = self.known.keys().cloned().collect();
        sets.sort_by_key(|set| (rank(set), set.len()));
        let mut found: Vec<Vec<Edit>> = Vec::new();
        for set in sets {
            let known = |f: &Vec<Edit>| f.iter().all(|k| set.iter().any(|edit| covers(k, edit)));
            if found.len() < super::MOST_IN_PART && !found.iter().any(known) && self.mends(&set) {
                found.extend(self.least(set).filter(|edits| !found.contains(edits)));
            }
        }
        self.put_together(&mut found, candidates);
        found
    }

    /// Whether some changes leave less of the shortfall than there is without, and less than any part
    /// of them does; what is left is put down in `least` where that is less, and no child less safe for it.
    fn comes_down(&mut self, edits: &[Edit], least: &mut Shortfall) -> bool {
        let known = |part: Vec<Edit>| self.known.get(&part)?.as_ref().map(|o| o.shortfall.clone());
        let of_a_part = parts(edits).filter_map(known).min();
        let most = of_a_part.map_or(self.base.clone(), |part| part.min(self.base.clone()));
        self.wanted = Wanted::Below(most.clone());
        let Some(left) = self.outcome(edits).map(|o| o.shortfall.clone()) else { return false };
        if left.is_as_safe_as(&self.base) && left < *least {
            least.clone_from(&left);
        }
        left < most
    }
}

/// Minutes for which nobody would have to be called in a set while one of the team is here.
fn saved(set: &[Edit], team: Span) -> u16 {
    let hired = set.iter().filter_map(|edit| match edit {
        Edit::ExtraAdult(extra) => extra.span,
        _ => None,
    });
    hired.filter_map(|span| span.meet(team)).map(Span::minutes).sum()
}

/// A set with one of the team beside it, and somebody from outside who is not here while that one is, or
/// need not be able to do what that one can.
fn less_hired(day: &Day, set: &[Edit], one: &Edit) -> Vec<Vec<Edit>> {
    let Edit::AdultOfTheTeam { adult, span: team } = one else { return Vec::new() };
    let able = &day.site[*adult];
    let mut sets = Vec::new();
    for (at, edit) in set.iter().enumerate() {
        let Edit::ExtraAdult(extra) = edit else { continue };
        let Some(span) = extra.span.filter(|span| span.meets(*team)) else { continue };
        let before = Span::new(span.from, span.to.min(team.from));
        let after = Span::new(span.from.max(team.to), span.to);
        let at_one_end =
            before.xor(after).map(|rest| ExtraAdult { span: Some(rest), ..extra.clone() });
        let unable = ExtraAdult {
            may_be_alone: extra.may_be_alone && !able.may_be_alone,
            lead: extra.lead && !able.lead,
            first_aid: extra.first_aid && !able.first_aid,
            qualifications: {
                let mut left = extra.qualifications.clone();
                left.retain(|asked| !able.qualifications.contains(asked));
                left
            },
            ..extra.clone()
        };
        for extra in at_one_end.into_iter().chain([unable]).filter(|less| less != extra) {
            let mut both = set.to_vec();
            both[at] = Edit::ExtraAdult(extra);
            both.push(one.clone());
            both.sort();
            sets.push(both);
        }
    }
    sets
}
