//! What is wrong with a message, and where.

use std::fmt;

/// A rule that a message breaks.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}{reason}", Prefix(.path))]
pub struct Violation {
    /// Where: `recipe.lines[2].amount.mass.unit`. Empty: the message as a whole.
    ///
    /// Names are the schema's. A oneof's name stands before its member's where the message has
    /// other fields, too; the content of a revision starts at its kind.
    pub path: String,
    /// What is wrong and what would do, in words that follow the path: `is required`.
    pub reason: String,
}

/// A path with the space after it, or nothing.
struct Prefix<'a>(&'a str);

impl fmt::Display for Prefix<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() { Ok(()) } else { write!(f, "{}: ", self.0) }
    }
}

impl Violation {
    /// A violation at the place at hand; callers add where that is by [`At`].
    pub fn new(reason: impl Into<String>) -> Self {
        Self { path: String::new(), reason: reason.into() }
    }

    pub(crate) fn required() -> Self {
        Self::new("is required")
    }

    fn within(mut self, place: &str) -> Self {
        if place.is_empty() {
            return self;
        }
        let separator = if self.path.is_empty() || self.path.starts_with('[') { "" } else { "." };
        self.path = format!("{place}{separator}{}", self.path);
        self
    }
}

/// Says where a violation is, from the inside out: each caller puts its own place in front.
pub trait At: Sized {
    /// In the field of this name.
    #[must_use]
    fn at(self, field: &str) -> Self;

    /// In the item of this index, from 0.
    #[must_use]
    fn at_index(self, index: usize) -> Self;
}

impl At for Violation {
    fn at(self, field: &str) -> Self {
        self.within(field)
    }

    fn at_index(self, index: usize) -> Self {
        self.within(&format!("[{index}]"))
    }
}

impl<T> At for Result<T, Violation> {
    fn at(self, field: &str) -> Self {
        self.map_err(|violation| violation.at(field))
    }

    fn at_index(self, index: usize) -> Self {
        self.map_err(|violation| violation.at_index(index))
    }
}

/// Why bytes are refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WireError {
    /// More bytes than any such message may have; none of them was looked at.
    #[error("{size} bytes are more than the {limit} that {what} may have; split it")]
    TooLarge {
        /// What the bytes should be.
        what: &'static str,
        /// The most bytes.
        limit: usize,
        /// How many there are.
        size: usize,
    },
    /// The bytes aren't an encoded message.
    #[error("these bytes are not {what}: {reason}")]
    Malformed {
        /// What the bytes should be.
        what: &'static str,
        /// What was found.
        reason: String,
    },
    /// Another version of the schema wrote them.
    #[error(
        "{what} of schema version {version} can't be read: this program reads version {known}; \
         bring it up to date"
    )]
    UnsupportedSchema {
        /// What the bytes should be.
        what: &'static str,
        /// The version that they state.
        version: u32,
        /// The version that is known.
        known: u32,
    },
    /// They hold something that must be understood and isn't. They may be kept and passed on, but
    /// nothing may be computed from them.
    #[error("{what} needs `{feature}`, which this program doesn't know; bring it up to date")]
    UnsupportedFeature {
        /// What the bytes should be.
        what: &'static str,
        /// The feature.
        feature: String,
    },
    /// They decode, but what they say breaks a rule.
    #[error(transparent)]
    Invalid(#[from] Violation),
}
