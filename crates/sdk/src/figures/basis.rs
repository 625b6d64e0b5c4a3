//! What a figure rests on.

use std::collections::BTreeSet;
use std::fmt;

use chablon_arith::RULES_VERSION;
use chablon_change::Notice;
use chablon_model::{Digest, RevisionRef};

/// What a figure was computed from. Equal bases give equal digits, whoever computes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Basis {
    /// The version of the rules.
    pub rules: String,
    /// The digests of all revisions that were read, sorted.
    pub digests: BTreeSet<Digest>,
}

impl Basis {
    /// These revisions under the rules of this version.
    pub(crate) fn new(digests: BTreeSet<Digest>) -> Self {
        Self { rules: RULES_VERSION.to_owned(), digests }
    }
}

/// Something that a kitchen must be told about a figure, though the figure stands. Shown as a
/// sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Caution {
    /// The standard pins a revision that was withdrawn since, and that nothing has replaced in it.
    PinnedIsWithdrawn {
        /// The revision.
        revision: RevisionRef,
        /// Why it was withdrawn.
        reason: String,
        /// Who withdrew it.
        author: String,
    },
    /// It is in force because a later revision was withdrawn in favour of it.
    WentBack {
        /// The revision that was withdrawn.
        withdrawn: RevisionRef,
        /// Why.
        reason: String,
        /// Who withdrew it.
        author: String,
    },
    /// A deviation of the site no longer lies over the standard, or may not.
    DeviationLeftOut(Notice),
}

impl Caution {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::PinnedIsWithdrawn { .. } => "pinned-is-withdrawn",
            Self::WentBack { .. } => "went-back",
            Self::DeviationLeftOut(_) => "deviation-left-out",
        }
    }
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PinnedIsWithdrawn { revision, reason, author } => write!(
                f,
                "it uses revision {} of `{}`, which {author} has withdrawn: {reason}; ask before \
                 you make it",
                revision.number, revision.key
            ),
            Self::WentBack { withdrawn, reason, author } => write!(
                f,
                "it is what to go back to: {author} has withdrawn revision {} of `{}`: {reason}",
                withdrawn.number, withdrawn.key
            ),
            Self::DeviationLeftOut(notice) => notice.fmt(f),
        }
    }
}
