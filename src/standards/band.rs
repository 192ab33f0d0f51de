//! Age bands and their ratios, in whole numbers.

use super::Head;
use crate::site::age_in_months;
use chrono::{Datelike, NaiveDate};
use serde::Deserialize;

/// An age band with its ratio and class size.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    /// Unique in its standard.
    pub id: String,
    /// As people say it (`3 years`), for sentences.
    pub label: String,
    /// Where the next band begins; none in the last one.
    #[serde(default)]
    pub until: Option<Edge>,
    /// Adults to children.
    pub ratio: Ratio,
    /// Another one out of doors, where the standard has one.
    #[serde(default)]
    pub ratio_outdoors: Option<Ratio>,
    /// Most children together, where the standard says.
    #[serde(default)]
    pub class_size: Option<u32>,
    /// The class size does not hold out of doors.
    #[serde(default)]
    pub class_size_waived_outdoors: bool,
    /// Key of its source.
    pub source: String,
    /// Key of the source of the class size, where that is another one.
    #[serde(default)]
    pub class_size_source: Option<String>,
}

/// Where a band ends.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Edge {
    /// On the day on which so many months are completed; that day belongs to the next band.
    Months(u32),
    /// The day after so many months are completed; the day itself still belongs to this band.
    MonthsAndTheDay(u32),
    /// On the first such day of a year that follows a birthday.
    CutDate {
        /// Which birthday.
        birthday: u32,
        /// Month, 1 to 12.
        month: u32,
        /// Day of the month.
        day: u32,
    },
    /// On a day of the year in which so many years are completed, be it before the birthday or after.
    DayOfYear {
        /// Years.
        years: u32,
        /// Month, 1 to 12.
        month: u32,
        /// Day of the month.
        day: u32,
    },
}

impl Edge {
    /// Whether a child is still on the younger side on a date.
    #[must_use]
    pub fn is_before(self, child: &Head, date: NaiveDate) -> bool {
        match self {
            Edge::Months(months) => child.months < months,
            Edge::MonthsAndTheDay(months) => {
                let eve = date.pred_opt().and_then(|eve| age_in_months(child.born, eve));
                child.months < months
                    || child.months == months && eve.is_none_or(|then| then < months)
            }
            Edge::CutDate { birthday, month, day } => {
                // A birthday on the cut date waits for the next year's: "following" it.
                let year = child.born.year() + birthday.min(120) as i32;
                let late = (child.born.month(), child.born.day()) >= (month, day);
                (date.year(), date.month(), date.day()) < (year + i32::from(late), month, day)
            }
            Edge::DayOfYear { years, month, day } => {
                let year = child.born.year() + years.min(120) as i32;
                (date.year(), date.month(), date.day()) < (year, month, day)
            }
        }
    }

    /// Whether it is a day of the year, on which children of several ages pass it.
    pub(super) fn is_a_date(self) -> bool {
        matches!(self, Edge::CutDate { .. } | Edge::DayOfYear { .. })
    }

    /// Months at which a child is past the edge at the earliest, for comparing edges.
    #[must_use]
    pub fn about_months(self) -> u32 {
        match self {
            Edge::Months(months) | Edge::MonthsAndTheDay(months) => months,
            Edge::CutDate { birthday, .. } => birthday.saturating_mul(12),
            // Who is born on the last day of a year.
            Edge::DayOfYear { years, month, .. } => {
                years.saturating_mul(12).saturating_add(month).saturating_sub(13)
            }
        }
    }
}

/// Adults to children.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Ratio {
    /// One adult to so many children.
    PerAdult(u32),
    /// So many adults to so many children.
    Pair {
        /// Adults.
        adults: u32,
        /// Children.
        children: u32,
    },
    /// A table of steps.
    Steps {
        /// Up to so many children, so many adults; both rising.
        up_to: Vec<(u32, u32)>,
        /// One more adult for each so many children above the last step.
        then_each: u32,
    },
}

impl Ratio {
    /// Adults for a number of children, rounded up.
    #[must_use]
    pub fn adults_for(&self, children: u32) -> u32 {
        match self {
            Ratio::PerAdult(each) => children.div_ceil((*each).max(1)),
            Ratio::Pair { adults, children: each } => {
                let needed = u64::from(children) * u64::from(*adults);
                u32::try_from(needed.div_ceil(u64::from((*each).max(1)))).unwrap_or(u32::MAX)
            }
            Ratio::Steps { up_to, then_each } => {
                if children == 0 {
                    return 0;
                }
                if let Some((_, adults)) = up_to.iter().find(|(most, _)| children <= *most) {
                    return *adults;
                }
                let (most, adults) = up_to.last().copied().unwrap_or((0, 0));
                adults + (children - most).div_ceil((*then_each).max(1))
            }
        }
    }

    /// Adults for a number of children as an exact fraction `(over, under)`.
    #[must_use]
    pub fn fraction_for(&self, children: u32) -> (u128, u128) {
        match self {
            Ratio::PerAdult(each) => (u128::from(children), u128::from((*each).max(1))),
            Ratio::Pair { adults, children: each } => {
                (u128::from(children) * u128::from(*adults), u128::from((*each).max(1)))
            }
            Ratio::Steps { .. } => (u128::from(self.adults_for(children)), 1),
        }
    }

    /// Children that one adult may have alone.
    #[must_use]
    pub fn with_one_adult(&self) -> u32 {
        match self {
            Ratio::PerAdult(each) => *each,
            Ratio::Pair { adults, children } => children / (*adults).max(1),
            Ratio::Steps { up_to, then_each } => {
                let alone = up_to.iter().filter(|(_, adults)| *adults <= 1);
                alone.map(|(most, _)| *most).max().unwrap_or(*then_each)
            }
        }
    }

    /// Whether this ratio asks for more adults to a child than another, in the large.
    #[must_use]
    pub fn is_stricter_than(&self, other: &Ratio) -> bool {
        let share = |ratio: &Ratio| match ratio {
            Ratio::PerAdult(each) => (1, u64::from((*each).max(1))),
            Ratio::Pair { adults, children } => (u64::from(*adults), u64::from((*children).max(1))),
            Ratio::Steps { then_each, .. } => (1, u64::from((*then_each).max(1))),
        };
        let ((a, b), (c, d)) = (share(self), share(other));
        a * d > c * b
    }
}
