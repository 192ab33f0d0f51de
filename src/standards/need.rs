//! How many adults a set of children needs.

use super::rest::RestKind;
use super::{Band, QualificationSwitch, Ratio, Standard};
use crate::site::{Minute, Span};
use chrono::NaiveDate;

/// A child as a standard sees it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Head {
    /// Whole completed months today.
    pub months: u32,
    /// Birth date, for standards with a cut date.
    pub born: NaiveDate,
    /// Asleep: only after settling and until the usual waking.
    pub asleep: bool,
}

/// What else a standard asks about.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Situation<'a> {
    /// The date, for cut dates.
    pub date: NaiveDate,
    /// The qualifications, lower case, of each counted adult among these children.
    pub adults: &'a [&'a [String]],
    /// Age in months that the room fixed for the year, if its standard asks for that.
    pub governing_age: Option<u32>,
    /// The minute of the day.
    pub minute: Minute,
    /// The room's opening hours.
    pub open: Span,
    /// Out of doors.
    pub outdoors: bool,
}

/// What a standard asks of one space (or site) at one time.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Need {
    /// Counted adults needed with these children.
    pub adults: u32,
    /// Most of these children allowed together, where the standard says: fewer than there are also where
    /// too many of them are young.
    pub class_size: Option<u32>,
    /// Counted adults needed in the building for these children, `adults` among them; more than
    /// `adults` only where a rest rule lets the others leave the sleepers' space.
    pub in_building: u32,
}

/// The children of a standard's bands: everyone there, and those who count in full.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Counts {
    /// Everyone there, by band; decides which band governs.
    pub all: Vec<u32>,
    /// Those who are counted, by band.
    pub counted: Vec<u32>,
    /// Ratio of each band as it holds now.
    pub ratios: Vec<Ratio>,
    /// Fewest adults while any child is counted, from a qualification switch.
    pub at_least: u32,
    /// Position of the band that the room fixed for the year.
    pub fixed: Option<usize>,
}

impl Standard {
    /// Counted adults and class size for these children, sleepers included, at one time.
    ///
    /// No children need nobody. Relaxations at opening and closing are never used, nor is a brief
    /// absence: a plan does not lean on them.
    #[must_use]
    pub fn need(&self, children: &[Head], at: &Situation) -> Need {
        let switched = self.need_as_switched(children, at);
        if self.switches.is_empty() {
            return switched;
        }
        // A switch that asks for two adults does not bind where the plain ratio needs one.
        let plain = self.need_as_switched(children, &Situation { adults: &[], ..at.clone() });
        if plain.adults < switched.adults { plain } else { switched }
    }

    fn need_as_switched(&self, children: &[Head], at: &Situation) -> Need {
        if children.is_empty() {
            return Need::default();
        }
        let everyone: Vec<&Head> = children.iter().collect();
        let full = self.counts(&everyone, &everyone, at);
        let whole = self.mixed.adults(&full, &self.bands).max(1);
        let adults = self.need_in_rest(&everyone, &full, whole, at);
        let rest = self.rest.as_ref();
        let waived = rest.is_some_and(|r| r.class_size_waived && !r.is_kept_from(&everyone))
            && everyone.iter().all(|h| h.asleep);
        let class_size = self.mixed.class_size(&full, &self.bands, at.outdoors).filter(|_| !waived);
        let may_stay = self.may_stay(children, at.date);
        let too_many = (may_stay as usize) < children.len();
        let apart = self.apart(&full.all);
        let class_size =
            class_size.into_iter().chain(too_many.then_some(may_stay)).chain(apart).min();
        let stay = rest.is_some_and(|r| r.others_in_building);
        Need { adults, class_size, in_building: if stay { whole } else { adults } }
    }

    /// The band of a child.
    #[must_use]
    pub fn band_of(&self, child: &Head, date: NaiveDate) -> usize {
        let before = |band: &Band| band.until.is_none_or(|edge| edge.is_before(child, date));
        self.bands.iter().position(before).unwrap_or(self.bands.len().saturating_sub(1))
    }

    pub(super) fn counts(&self, all: &[&Head], counted: &[&Head], at: &Situation) -> Counts {
        let by_band = |heads: &[&Head]| {
            let mut counts = vec![0; self.bands.len()];
            for head in heads {
                counts[self.band_of(head, at.date)] += 1;
            }
            counts
        };
        let holding: Vec<&QualificationSwitch> =
            self.switches.iter().filter(|s| somebody_for_each(&s.adults, at.adults)).collect();
        let ratio = |band: &Band| {
            let switched = holding.iter().find(|s| s.band == band.id).map(|s| &s.ratio);
            let own = band.ratio_outdoors.as_ref().filter(|_| at.outdoors).or(switched);
            own.unwrap_or(&band.ratio).clone()
        };
        let all = by_band(all);
        // The adults that a switch asks for have to be there while it is used.
        let used = |s: &&&QualificationSwitch| {
            self.bands.iter().zip(&all).any(|(band, n)| band.id == s.band && *n > 0)
        };
        let fixed = at.governing_age.map(|months| {
            let before = |band: &Band| band.until.is_none_or(|e| months < e.about_months());
            self.bands.iter().position(before).unwrap_or(self.bands.len().saturating_sub(1))
        });
        Counts {
            counted: by_band(counted),
            ratios: self.bands.iter().map(ratio).collect(),
            at_least: holding.iter().filter(used).map(|s| s.adults.len() as u32).max().unwrap_or(0),
            fixed,
            all,
        }
    }

    /// Adults needed with these children when the rest rule is applied to the sleepers.
    fn need_in_rest(&self, all: &[&Head], full: &Counts, whole: u32, at: &Situation) -> u32 {
        let Some(rest) = self.rest.as_ref().filter(|r| !(r.indoors_only && at.outdoors)) else {
            return whole;
        };
        let (sleepers, awake): (Vec<&Head>, Vec<&Head>) =
            all.iter().copied().partition(|h| h.asleep);
        if sleepers.is_empty() || rest.is_kept_from(all) {
            return whole;
        }
        let for_awake = self.mixed.adults(&self.counts(all, &awake, at), &self.bands);
        let needed = match &rest.kind {
            RestKind::OneAdult => for_awake + 1,
            RestKind::Sleepers(ratio) => for_awake + ratio.adults_for(sleepers.len() as u32),
            RestKind::ByBand(ratios) => {
                let mut counts = self.counts(all, &sleepers, at);
                for own in ratios {
                    if let Some(i) = self.bands.iter().position(|b| b.id == own.band) {
                        counts.ratios[i] = own.ratio.clone();
                    }
                }
                for_awake + self.mixed.adults(&counts, &self.bands)
            }
            RestKind::PartOfAdults { over, under } => {
                let part = Ratio::Pair { adults: *over, children: *under };
                for_awake.max(part.adults_for(self.mixed.adults(full, &self.bands)))
            }
        };
        needed.clamp(1, whole)
    }
}

/// Whether there is another adult for each entry, holding one of its qualifications.
fn somebody_for_each(entries: &[Vec<String>], adults: &[&[String]]) -> bool {
    // Augmenting paths: an adult who fits two entries must not block the second one.
    fn place(
        entry: usize,
        entries: &[Vec<String>],
        adults: &[&[String]],
        seen: &mut [bool],
        taken: &mut [Option<usize>],
    ) -> bool {
        for adult in 0..adults.len() {
            if seen[adult] || !adults[adult].iter().any(|q| entries[entry].contains(q)) {
                continue;
            }
            seen[adult] = true;
            let free = match taken[adult] {
                None => true,
                Some(other) => place(other, entries, adults, seen, taken),
            };
            if free {
                taken[adult] = Some(entry);
                return true;
            }
        }
        false
    }
    let mut taken = vec![None; adults.len()];
    (0..entries.len())
        .all(|entry| place(entry, entries, adults, &mut vec![false; adults.len()], &mut taken))
}
