//! Ratios of water play and trips.

use super::{Head, Outing, Standard};

impl Standard {
    /// Adults whom the standard asks for at water play or on a trip with these children; `None`
    /// where it says nothing about it. `water_table`: the water is a table indoors, which some
    /// standards count and some do not.
    #[must_use]
    pub fn activity_adults(
        &self,
        what: Outing,
        children: &[Head],
        water_table: bool,
    ) -> Option<u32> {
        let rule =
            self.activities.iter().find(|a| a.what == what && (a.water_table || !water_table))?;
        let own = |head: &&Head| rule.own_adult_below_months.is_some_and(|m| head.months < m);
        let with_own = children.iter().filter(own).count() as u32;
        let mut from = 0;
        let mut adults = with_own;
        for band in &rule.ratios {
            let below = band.below_months.unwrap_or(u32::MAX);
            let there = |head: &&Head| !own(head) && (from..below).contains(&head.months);
            let n = children.iter().filter(there).count() as u32;
            adults += n.div_ceil(band.children_per_adult.max(1));
            from = below;
        }
        Some(adults)
    }
}
