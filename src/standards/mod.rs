//! Published rule sets and figures, as data with source and edition. Knows no chart.
//!
//! Map: [`need`] how many adults a set of children needs, [`weather`] going out or staying in.

mod need;
pub mod weather;

pub use need::{Head, Need, Situation};

/// Where a figure comes from and how sure it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Source {
    /// Document, section, edition.
    pub document: String,
    /// How the figure was checked.
    pub tag: Tag,
}

/// How sure a figure is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Tag {
    /// Read in the document itself.
    Verified,
    /// Read in a secondary or dated source.
    Secondary,
    /// From memory; the passage was not at hand.
    Memory,
    /// Worked out here from a stated rule.
    Derived,
    /// Common practice, no published source.
    CommonPractice,
}

/// Where a standard judges its ratio.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Scope {
    /// In each space by itself.
    Room,
    /// Over the whole site.
    Site,
}

/// One published rule set (or a site's own local limits).
#[derive(Clone, PartialEq, Debug)]
pub struct Standard {
    /// Stable id (`cfoc-centre`).
    pub id: String,
    /// Name as people know it.
    pub label: String,
    /// Where the ratio is judged.
    pub scope: Scope,
}
