//! Who is told how far the solving is, and may say stop.

use std::fmt;
use std::ops::ControlFlow;

/// What the solving is at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Told {
    /// Searching, in one layout after another.
    Searching,
    /// Searching for longer in one of the best.
    Improving,
    /// Pricing rows.
    Pricing,
    /// Branching.
    Branching,
    /// Trying what would mend a day, one set of changes after another.
    Mending,
}

/// How far the solving has come.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Progress {
    /// The level; empty before the first one.
    pub slug: &'static str,
    /// What is being done about it.
    pub at: Told,
    /// Which layout, chart or place it is at, counted from 1; 0 before the first.
    pub part: usize,
    /// Of how many at the most: what cannot be the answer any more is left out.
    pub of: usize,
    /// Steps so far, over all levels.
    pub steps: u64,
}

impl fmt::Display for Progress {
    /// `searching, 3 of 12`; `proving seats, 1 of 3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.at {
            Told::Searching => f.write_str("searching")?,
            Told::Improving => f.write_str("improving")?,
            Told::Mending => return write!(f, "trying what would mend it, {} tried", self.part),
            Told::Pricing | Told::Branching => write!(f, "proving {}", self.slug)?,
        }
        if self.part == 0 { Ok(()) } else { write!(f, ", {} of {}", self.part, self.of) }
    }
}

/// Who is told about progress and may say stop.
#[derive(Default)]
pub struct Watch<'w> {
    teller: Option<&'w mut dyn FnMut(Progress) -> ControlFlow<()>>,
    pub(super) slug: &'static str,
    part: (usize, usize),
    pub(super) steps: u64,
    pub(super) stopped: bool,
}

impl<'w> Watch<'w> {
    /// Nobody watches.
    #[must_use]
    pub fn nobody() -> Watch<'w> {
        Watch::default()
    }

    /// `teller` is told from time to time; once it breaks, the proof ends with what it has.
    pub fn by(teller: &'w mut dyn FnMut(Progress) -> ControlFlow<()>) -> Watch<'w> {
        Watch { teller: Some(teller), ..Watch::default() }
    }

    /// Whether it was told to stop.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.stopped
    }

    /// Goes on to a part, counted from 1, of so many; whether to stop.
    pub(crate) fn part(&mut self, at: Told, part: usize, of: usize) -> bool {
        (self.slug, self.part) = ("", (part, of));
        self.tell(at)
    }

    /// One more step; whether to stop.
    pub(in crate::solve) fn tell(&mut self, at: Told) -> bool {
        self.steps += 1;
        if !self.stopped
            && (at != Told::Branching || self.steps.is_multiple_of(64))
            && let Some(teller) = &mut self.teller
        {
            let (part, of) = self.part;
            let progress = Progress { slug: self.slug, at, part, of, steps: self.steps };
            self.stopped = teller(progress).is_break();
        }
        self.stopped
    }
}
