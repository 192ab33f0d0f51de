//! How many children may be together, and how many of them may be young.

use super::{Edge, Head, Situation, Standard};
use chrono::NaiveDate;
use serde::Deserialize;

/// Most children of a band or younger in one group, however many adults there are.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YoungCap {
    /// Id of the oldest band that is young in this sense.
    pub band: String,
    /// Most of them in one group.
    pub at_most: u32,
    /// Key of its source.
    pub source: String,
}

/// More of the young together than a standard allows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TooManyYoung<'a> {
    /// What it allows.
    pub cap: &'a YoungCap,
    /// So many of them are together.
    pub together: u32,
}

/// Ages that may not be in one group, however many adults there are.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptApart {
    /// Id of the oldest band of the younger ones.
    pub young: String,
    /// Id of the youngest band of the older ones.
    pub from: String,
    /// Only in a group of so many children or more.
    #[serde(default)]
    pub from_children: u32,
    /// Key of its source.
    pub source: String,
}

impl Standard {
    /// Most children together in a group of these ages, where the standard says; what it says of the
    /// young among them stands in [`Standard::too_many_young`].
    #[must_use]
    pub fn class_size(&self, children: &[Head], at: &Situation) -> Option<u32> {
        if children.is_empty() {
            return None;
        }
        let everyone: Vec<&Head> = children.iter().collect();
        let counts = self.counts(&everyone, &everyone, at);
        let size = self.mixed.class_size(&counts, &self.bands, at.outdoors);
        size.into_iter().chain(self.apart(&counts.all)).min()
    }

    /// As many of these children by band as may stay where ages that are kept apart are together: the larger
    /// side of them, or the small group in which they may be; `None` where none are.
    pub(super) fn apart(&self, all: &[u32]) -> Option<u32> {
        let n: u32 = all.iter().sum();
        let broken = self.broken_apart(all).into_iter();
        broken.map(|(apart, fewer)| (n - fewer).max(apart.from_children.saturating_sub(1))).min()
    }

    /// The ages that are kept apart and are together here, each with the number of the smaller side.
    pub(super) fn broken_apart(&self, all: &[u32]) -> Vec<(&KeptApart, u32)> {
        let n: u32 = all.iter().sum();
        let at = |id: &str| self.bands.iter().position(|band| band.id == id);
        let sides = self.kept_apart.iter().filter_map(move |apart| {
            let (young, from) = (at(&apart.young)?, at(&apart.from)?);
            let fewer = all[..=young].iter().sum::<u32>().min(all[from..].iter().sum());
            (fewer > 0 && n >= apart.from_children).then_some((apart, fewer))
        });
        sides.collect()
    }

    /// What of these children is in one group though the standard keeps it apart.
    #[must_use]
    pub fn together_though_kept_apart(
        &self,
        children: &[Head],
        date: NaiveDate,
    ) -> Vec<&KeptApart> {
        let mut all = vec![0; self.bands.len()];
        for child in children {
            all[self.band_of(child, date)] += 1;
        }
        self.broken_apart(&all).into_iter().map(|(apart, _)| apart).collect()
    }

    /// Ages that are kept apart, in words: `2 years or younger and 4 years or older`.
    #[must_use]
    pub fn apart_words(&self, apart: &KeptApart) -> String {
        let label = |id: &str| {
            let band = self.bands.iter().find(|band| band.id == id);
            band.map_or_else(|| id.to_owned(), |band| band.label.clone())
        };
        let first = self.bands.first().is_some_and(|band| band.id == apart.young);
        let last = self.bands.last().is_some_and(|band| band.id == apart.from);
        let younger = if first { "" } else { " or younger" };
        let older = if last { "" } else { " or older" };
        let small = match apart.from_children {
            0 | 1 => String::new(),
            n => format!(", in a group of {n} children or more"),
        };
        format!("{}{younger} and {}{older}{small}", label(&apart.young), label(&apart.from))
    }

    /// What it says of the young in one group that these children break.
    #[must_use]
    pub fn too_many_young(&self, children: &[Head], date: NaiveDate) -> Vec<TooManyYoung<'_>> {
        let of = |cap| TooManyYoung { cap, together: self.young(children, cap, date) };
        let all = self.young_together.iter().map(of);
        all.filter(|young| young.together > young.cap.at_most).collect()
    }

    /// How many of these children are of the band of a cap, or younger.
    pub(super) fn young(&self, children: &[Head], cap: &YoungCap, date: NaiveDate) -> u32 {
        children.iter().filter(|head| self.is_young(head, cap, date)).count() as u32
    }

    /// Whether a child is of the band of a cap, or younger.
    #[must_use]
    pub fn is_young(&self, child: &Head, cap: &YoungCap, date: NaiveDate) -> bool {
        let last = self.bands.iter().position(|band| band.id == cap.band);
        last.is_some_and(|last| self.band_of(child, date) <= last)
    }

    /// As many of these children as may stay together: with too many of the young, as few of them leave
    /// as have to.
    pub(super) fn may_stay(&self, children: &[Head], date: NaiveDate) -> u32 {
        let mut stay = 0;
        for (i, band) in self.bands.iter().enumerate() {
            stay += children.iter().filter(|h| self.band_of(h, date) == i).count() as u32;
            for cap in self.young_together.iter().filter(|cap| cap.band == band.id) {
                stay = stay.min(cap.at_most);
            }
        }
        stay
    }

    /// Who is young in the sense of a cap, in words: `under 36 months`.
    #[must_use]
    pub fn young_words(&self, cap: &YoungCap) -> String {
        let band = self.bands.iter().find(|band| band.id == cap.band);
        match band.map(|band| (band.until, &band.label)) {
            Some((Some(Edge::Months(months)), _)) => format!("under {months} months"),
            Some((_, label)) => format!("of {label} or younger"),
            None => cap.band.clone(),
        }
    }
}
