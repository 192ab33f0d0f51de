//! Indoor day or not, and why.

/// Whether the children stay in today, and what that was decided from.
#[derive(Clone, PartialEq, Debug)]
pub struct IndoorDay {
    /// The children stay in.
    pub value: bool,
    /// They go out, but for a shorter time.
    pub shorten: bool,
    /// One sentence for a teacher.
    pub why: String,
}
