//! What a layout is at best worth, as far as it has been looked into: the order of a chart's score,
//! before there is a chart.

use super::layout::Wishes;
use crate::model::Model;
use crate::rules::{AIMS, Grade, RULES, Score, Shortfall};

/// Compared from the front, smaller is better.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Rank {
    /// What the rows show of the rules that leave a day not safe.
    not_safe: Vec<u64>,
    /// What the layout itself fails to hold: meals and rest in their windows, movement.
    fails: [i64; 4],
    /// What the rows show of the other rules.
    not_kept: Vec<u64>,
    /// What the rows show, or the layout settles, of what is wished: on a day that runs whoever is
    /// moved, then the aims.
    wishes: Vec<i64>,
    /// Minutes on the way, and what is left of taste.
    waiting: i64,
}

impl Rank {
    /// Of a layout of which nothing is drawn yet, with every rule and aim met that it does not settle.
    pub fn of_layout(wishes: Wishes) -> Rank {
        let settled = wishes.settled();
        Rank::new(
            &Shortfall::none(),
            wishes,
            AIMS.iter().map(|aim| aim.settled(&settled)).collect(),
        )
    }

    /// Of a layout with the values of its model's levels.
    pub fn of_levels(model: &Model, levels: &[i64], wishes: Wishes) -> Rank {
        let settled = wishes.settled();
        let (rules, others) = levels.split_at(RULES.len());
        let others = model.levels[RULES.len()..].iter().zip(others);
        let of = others.map(|(level, value)| {
            let aim = AIMS.iter().find(|aim| aim.slug == level.slug);
            value + aim.map_or(0, |aim| aim.settled(&settled))
        });
        Rank::new(&Shortfall::of_levels(rules), wishes, of.collect())
    }

    fn new(broken: &Shortfall, wishes: Wishes, of: Vec<i64>) -> Rank {
        Rank {
            not_safe: broken.of_grade(Grade::NotSafe).to_vec(),
            fails: wishes.fails(),
            not_kept: broken.of_grade(Grade::NotKept).to_vec(),
            wishes: of,
            waiting: wishes.waiting,
        }
    }

    /// Whether a layout of this rank breaks less than a chart that is drawn does, as far as its rows show.
    pub fn is_less_broken(&self, drawn: &Shortfall) -> bool {
        let theirs = (drawn.of_grade(Grade::NotSafe), drawn.of_grade(Grade::NotKept));
        (&self.not_safe[..], &self.not_kept[..]) < theirs
    }

    /// Whether a layout of this rank may become a chart worth no less than one that is drawn, as far as
    /// the first aim that adults' posts decide: of those nothing is known before they are posted.
    /// `wishes` is what that chart's layout leaves to be wished.
    pub fn may_beat(&self, drawn: &Score, wishes: Wishes) -> bool {
        let until = AIMS.iter().position(|aim| !aim.is_known_before_posts()).unwrap_or(AIMS.len());
        let known = |of: &[i64]| of[..until.min(of.len())].to_vec();
        let mine = (&self.not_safe[..], self.fails, &self.not_kept[..], known(&self.wishes));
        let (not_safe, not_kept) =
            (drawn.broken.of_grade(Grade::NotSafe), drawn.broken.of_grade(Grade::NotKept));
        let theirs = (not_safe, wishes.fails(), not_kept, known(&drawn.aims));
        drawn.broken.alone() > 0 || mine <= theirs
    }
}
