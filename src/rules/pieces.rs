//! Stays and posts read as pieces, and like problems told as one.

use super::Problem;
use crate::chart::{Post, Stay};
use crate::site::Span;
use crate::steps::{self, Stage};

/// Stretches in which what `read` says of the stays stays the same, in order of time; stays of
/// which it says nothing are left out. Stays that touch or overlap make one piece.
pub(super) fn stay_pieces<K: PartialEq>(
    stays: &[Stay],
    read: impl Fn(&Stay) -> Option<K>,
) -> Vec<(K, Span)> {
    join(stays.iter().filter_map(|s| read(s).map(|key| (key, s.span))).collect())
}

/// The same for posts.
pub(super) fn post_pieces<K: PartialEq>(
    posts: &[Post],
    read: impl Fn(&Post) -> Option<K>,
) -> Vec<(K, Span)> {
    join(posts.iter().filter_map(|p| read(p).map(|key| (key, p.span))).collect())
}

fn join<K: PartialEq>(mut read: Vec<(K, Span)>) -> Vec<(K, Span)> {
    steps::count(Stage::Audit, 1 + read.len() as u64 / 8);
    read.sort_by_key(|(_, span)| *span);
    let mut pieces: Vec<(K, Span)> = Vec::new();
    for (key, span) in read {
        match pieces.last_mut() {
            Some((last, whole)) if *last == key && span.from <= whole.to => {
                whole.to = whole.to.max(span.to);
            }
            _ => pieces.push((key, span)),
        }
    }
    pieces
}

/// Problems that differ only in their children become one: the children in order, `by` added up
/// (so `by` is in all, `needed` and `present` for each child). The result is in order of time.
pub(super) fn for_each_child(problems: Vec<Problem>) -> Vec<Problem> {
    let mut told: Vec<Problem> = Vec::new();
    for problem in problems {
        steps::count(Stage::Audit, 1 + told.len() as u64 / 8);
        let same = |p: &&mut Problem| {
            let alike = Problem { children: p.children.clone(), by: p.by, ..problem.clone() };
            alike == **p
        };
        match told.iter_mut().find(same) {
            Some(one) => {
                one.children.extend(problem.children);
                one.children.sort_unstable();
                one.by += problem.by;
            }
            None => told.push(problem),
        }
    }
    told.sort_by_key(|p| p.span);
    told
}

/// Minutes of `span` that lie in any of `others`, which do not overlap.
pub(super) fn shared_minutes(span: Span, others: &[Span]) -> u16 {
    others.iter().filter_map(|o| o.meet(span)).map(Span::minutes).sum()
}
