//! Which built-in rule set is nearest to a site's own limits by figures: by how many adults each asks for with
//! children of one age, month by month.

use super::{Ratio, Standard, library};
use std::sync::Arc;

/// The ages that are compared, in months: from birth to the sixth birthday.
const MONTHS: u32 = 72;
/// So many children of each age are compared: every number to ten divides it, and by so many each ratio to 1:50
/// tells itself from the next one.
const CHILDREN: u32 = 2_520;

/// The built-in standard that is nearest, and where it differs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Nearest {
    /// The standard.
    pub standard: Arc<Standard>,
    /// Ages from and below so many months at which the two have other ratios: theirs, and the standard's.
    pub differs: Vec<(u32, u32, Ratio, Ratio)>,
}

/// The built-in standard with the fewest adults more or less than these limits, summed over each month of age
/// from birth to six years with 2,520 children of that age; of equal ones the first in the list.
///
/// Group sizes, mixed ages and everything else are not compared.
#[must_use]
pub fn nearest(limits: &Standard) -> Option<Nearest> {
    let apart = |standard: &Standard| -> u32 {
        let of = |months: u32| {
            let theirs = limits.ratio_at(months).adults_for(CHILDREN);
            theirs.abs_diff(standard.ratio_at(months).adults_for(CHILDREN))
        };
        (0..MONTHS).map(of).sum()
    };
    let standard = library().iter().min_by_key(|standard| apart(standard))?;
    let mut differs: Vec<(u32, u32, Ratio, Ratio)> = Vec::new();
    for months in 0..MONTHS {
        let (theirs, its) = (limits.ratio_at(months), standard.ratio_at(months));
        match differs.last_mut() {
            Some((_, below, a, b)) if *below == months && a == theirs && b == its => *below += 1,
            _ if theirs != its => differs.push((months, months + 1, theirs.clone(), its.clone())),
            _ => {}
        }
    }
    Some(Nearest { standard: standard.clone(), differs })
}

impl Standard {
    /// The ratio of children of an age alone, whatever the day of the year.
    fn ratio_at(&self, months: u32) -> &Ratio {
        let before = |band: &&super::Band| band.until.is_none_or(|e| months < e.about_months());
        let band = self.bands.iter().find(before);
        // The last band has no edge, so there is always one.
        band.map_or(&Ratio::PerAdult(1), |band| &band.ratio)
    }
}
