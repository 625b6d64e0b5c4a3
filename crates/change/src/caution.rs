//! What has to be known beside a figure.

use std::fmt;

use chablon_model::{Entry, Moment, RevisionRef, Withdrawal, withdrawn_among};

use crate::Notice;

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
    /// What a hub says in its own words.
    AsTold {
        /// Its short name.
        code: String,
        /// The sentence.
        text: String,
    },
}

impl Caution {
    /// What is to be told of the revisions that a standard uses. The pins stay: what was released
    /// is computed as it was released.
    pub fn of_pinned(entries: &[Entry], pinned: &[RevisionRef], at: Moment) -> Vec<Self> {
        let of_one = |(revision, one): (&RevisionRef, &Withdrawal)| Self::PinnedIsWithdrawn {
            revision: revision.clone(),
            reason: one.reason.clone(),
            author: one.author.clone(),
        };
        withdrawn_among(entries, pinned, at).into_iter().map(of_one).collect()
    }

    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &str {
        match self {
            Self::PinnedIsWithdrawn { .. } => "pinned-is-withdrawn",
            Self::WentBack { .. } => "went-back",
            Self::DeviationLeftOut(_) => "deviation-left-out",
            Self::AsTold { code, .. } => code,
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
            Self::AsTold { text, .. } => f.write_str(text),
        }
    }
}
