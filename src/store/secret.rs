//! What is kept of a token's secret: compared in constant time alone, and printed nowhere.

use super::ids;
use subtle::ConstantTimeEq;

/// The digest of a whole token. It has no `==` and cannot be printed, so that nobody compares it in a
/// time that tells how much of it was right, and no log shows it:
///
/// ```compile_fail
/// let secret = fairturn::store::Secret::of("fairturn_1_2");
/// let same = secret == fairturn::store::Secret::of("fairturn_1_2");
/// ```
///
/// ```compile_fail
/// println!("{:?}", fairturn::store::Secret::of("fairturn_1_2"));
/// ```
///
/// ```
/// use fairturn::store::Secret;
/// assert!(Secret::of("fairturn_1_2").is(&Secret::of("fairturn_1_2")));
/// assert!(!Secret::of("fairturn_1_2").is(&Secret::of("fairturn_1_3")));
/// ```
pub struct Secret(String);

impl Secret {
    /// Of a whole token as it was sent, or is about to be told.
    #[must_use]
    pub fn of(token: &str) -> Secret {
        Secret(ids::digest(token.as_bytes()))
    }

    /// As it stands in the store.
    pub(super) fn kept(digest: String) -> Secret {
        Secret(digest)
    }

    /// For the store.
    pub(super) fn to_keep(&self) -> &str {
        &self.0
    }

    /// Whether both are of the same token.
    #[must_use]
    pub fn is(&self, other: &Secret) -> bool {
        bool::from(self.0.as_bytes().ct_eq(other.0.as_bytes()))
    }
}
