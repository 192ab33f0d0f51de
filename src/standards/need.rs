//! How many adults a set of children needs.

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
}

/// What a standard asks of one space (or site) at one time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Need {
    /// Counted adults needed with these children.
    pub adults: u32,
    /// Most children allowed together, where the standard says.
    pub class_size: Option<u32>,
}
