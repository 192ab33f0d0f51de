//! Where a figure comes from and how sure it is.

use serde::Deserialize;
use std::fmt;

/// Where a figure comes from and how sure it is.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Document, section, edition.
    pub document: String,
    /// How the figure was checked.
    pub tag: Tag,
}

/// How sure a figure is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
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

impl fmt::Display for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Tag::Verified => "verified",
            Tag::Secondary => "from a secondary source",
            Tag::Memory => "from memory",
            Tag::Derived => "derived",
            Tag::CommonPractice => "common practice, no source",
        })
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.document, self.tag)
    }
}
