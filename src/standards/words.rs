//! The arithmetic of a standard in words.

use super::method::Mixed;
use super::need::Counts;
use super::{Head, Ratio, Situation, Standard};
use std::fmt;

impl Standard {
    /// How the adults needed come about, in one sentence for a teacher.
    #[must_use]
    pub fn sentence(&self, children: &[Head], at: &Situation) -> String {
        if children.is_empty() {
            return format!("{}: no children, nobody needed.", self.label);
        }
        let everyone: Vec<&Head> = children.iter().collect();
        let counts = self.counts(&everyone, &everyone, at);
        let need = self.need(children, at);
        let whole = self.mixed.adults(&counts, &self.bands).max(1);
        let asleep = children.iter().filter(|h| h.asleep).count();
        let mut words = format!("{}: {}", self.label, self.arithmetic(&counts, whole));
        if need.adults < whole {
            words += &format!("; with {asleep} asleep {} in the room", adults(need.adults));
            if need.in_building > need.adults {
                words += &format!(", {} in the building", adults(need.in_building));
            }
        } else if let Some(rest) = self.rest.as_ref().filter(|r| r.is_kept_from(&everyone))
            && asleep > 0
        {
            let months = rest.from_months;
            words += &format!(
                "; {asleep} asleep, and no fewer adults beside a child under {months} months"
            );
        }
        let verdict = |n: u32, most: u32| if n > most { "too many" } else { "within" };
        if let Some(size) = need.class_size.and(self.class_size(children, at)) {
            let n = children.len() as u32;
            words += &format!("; at most {size} together, {n} here: {}", verdict(n, size));
        }
        for cap in &self.young_together {
            let (n, most) = (self.young(children, cap, at.date), cap.at_most);
            if n > 0 {
                let who = self.young_words(cap);
                words += &format!("; at most {most} {who}, {n} here: {}", verdict(n, most));
            }
        }
        for (apart, _) in self.broken_apart(&counts.all) {
            words += &format!("; not in one group: {}", self.apart_words(apart));
        }
        words + "."
    }

    fn arithmetic(&self, counts: &Counts, whole: u32) -> String {
        let there = |i: &usize| counts.all[*i] > 0;
        let by_band: Vec<String> = (0..counts.all.len())
            .filter(there)
            .map(|i| {
                format!(
                    "{} of {} at {}",
                    counts.all[i],
                    self.bands[i].label,
                    ratio(&counts.ratios[i])
                )
            })
            .collect();
        let n: u32 = counts.all.iter().sum();
        if let Some(governing) = self.mixed.governing(counts, &self.bands) {
            let band = &self.bands[governing].label;
            return format!(
                "{} governed by {band} at {} need {}",
                children(n),
                ratio(&counts.ratios[governing]),
                adults(whole)
            );
        }
        let list = by_band.join(", ");
        match &self.mixed {
            Mixed::FractionSum { .. } => {
                let (over, under) = self.mixed.exact(counts);
                let sum = fraction(over, under);
                format!("{list}: together {sum}, rounded up {}", adults(whole))
            }
            Mixed::PerBandSum { .. } => {
                format!("{list}: each age rounded up, together {}", adults(whole))
            }
            Mixed::YoungestAndEach { .. } => {
                format!(
                    "{list}: the youngest's ratio for all, or each age rounded up if that is more, {}",
                    adults(whole)
                )
            }
            Mixed::Cascade { .. } => {
                format!("{list}: each adult filled youngest first, {}", adults(whole))
            }
            Mixed::SpareCapacity { .. } => {
                format!("{list}: free places of the youngest filled, {}", adults(whole))
            }
            Mixed::CountTable { .. } | Mixed::CountSteps { .. } | Mixed::MajorityByCount { .. } => {
                format!("{list}: by how many are young, together {}", adults(whole))
            }
            Mixed::Subcaps { children_per_adult, .. } => {
                format!(
                    "{} at 1:{children_per_adult} of mixed age need {}",
                    children(n),
                    adults(whole)
                )
            }
            _ => {
                let labels: Vec<&str> = (0..counts.all.len())
                    .filter(there)
                    .map(|i| self.bands[i].label.as_str())
                    .collect();
                let (first, last) = (labels.first(), labels.last());
                let span = match (first, last) {
                    (Some(first), Some(last)) if first != last => format!("{first} to {last}"),
                    (Some(only), _) => (*only).to_owned(),
                    _ => String::new(),
                };
                format!("{} ({span}) by the table need {}", children(n), adults(whole))
            }
        }
    }
}

/// A sum of exact fractions, and its size to two places for whoever works with a calculator.
fn fraction(over: u128, under: u128) -> String {
    if over.is_multiple_of(under) {
        return (over / under).to_string();
    }
    let hundredths = (over * 100 + under / 2) / under;
    format!("{over}/{under} ({}.{:02})", hundredths / 100, hundredths % 100)
}

fn adults(n: u32) -> String {
    if n == 1 { "1 adult".to_owned() } else { format!("{n} adults") }
}

fn children(n: u32) -> String {
    if n == 1 { "1 child".to_owned() } else { format!("{n} children") }
}

impl fmt::Display for Ratio {
    /// As the trade writes it, adults first.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&ratio(self))
    }
}

/// A ratio as the trade writes it, adults first.
pub(super) fn ratio(ratio: &Ratio) -> String {
    match ratio {
        Ratio::PerAdult(each) => format!("1:{each}"),
        Ratio::Pair { adults, children } => format!("{adults}:{children}"),
        Ratio::Steps { up_to, then_each } => {
            let steps: Vec<String> = up_to.iter().map(|(c, a)| format!("{a} up to {c}")).collect();
            format!("steps ({}, then 1 for each {then_each})", steps.join(", "))
        }
    }
}
