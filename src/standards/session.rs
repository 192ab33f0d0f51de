//! Figures that hold only for children who stay no longer than one session.

use serde::Deserialize;

/// How long the children of a standard stay at the most.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// Minutes at a stretch.
    pub length: SessionLength,
    /// Id of the built-in standard with the figures of children who stay longer.
    #[serde(default)]
    pub longer: Option<String>,
    /// Key of its source.
    pub source: String,
}

/// How long a session is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum SessionLength {
    /// Less than so many minutes.
    Below(u32),
    /// So many minutes, and no more.
    UpTo(u32),
    /// The text has a length that was not at hand.
    NotKnown,
}

impl SessionLength {
    /// Whether so many minutes at a stretch are more than a session; `None` where nobody knows.
    #[must_use]
    pub fn is_exceeded_by(self, minutes: u32) -> Option<bool> {
        match self {
            SessionLength::Below(below) => Some(minutes >= below),
            SessionLength::UpTo(most) => Some(minutes > most),
            SessionLength::NotKnown => None,
        }
    }

    /// How long a child stays, in words: `less than 240 minutes at a stretch`; `None` where nobody
    /// knows.
    #[must_use]
    pub fn words(self) -> Option<String> {
        match self {
            SessionLength::Below(below) => Some(format!("less than {below} minutes at a stretch")),
            SessionLength::UpTo(most) => Some(format!("at most {most} minutes at a stretch")),
            SessionLength::NotKnown => None,
        }
    }

    /// How long who stays longer stays, in words: `240 minutes or more`; `None` where nobody knows.
    #[must_use]
    pub fn more_words(self) -> Option<String> {
        match self {
            SessionLength::Below(below) => Some(format!("{below} minutes or more")),
            SessionLength::UpTo(most) => Some(format!("more than {most} minutes")),
            SessionLength::NotKnown => None,
        }
    }
}
