//! What can go wrong with a hub's store.

use std::error::Error;

use chablon_model::{
    DeviationId, Digest, DocumentKey, DraftAct, DraftId, DraftState, ReleaseId, RevisionRef, SiteId,
};

use crate::{AccessRefusal, RequestId};

/// Why a hub's store did not do what it was asked. What was asked for then left no trace.
#[derive(Debug, thiserror::Error)]
pub enum HubError {
    /// A site that no released document describes.
    #[error("site `{0}` is unknown; release its site document first")]
    UnknownSite(SiteId),
    /// An acknowledged entry that does not exist.
    #[error("the feed has no entry at position {position}")]
    UnknownEntry {
        /// The position.
        position: u64,
    },
    /// An acknowledged entry that is another one.
    #[error(
        "the entry at position {position} has the digest `{stored}`, not `{stated}`; \
         the reader holds the feed of another epoch and must list it anew"
    )]
    EntryMismatch {
        /// The position.
        position: u64,
        /// The digest that the acknowledgement states.
        stated: Digest,
        /// The digest of the entry.
        stored: Digest,
    },
    /// Somebody else stored a revision of the document first.
    #[error(
        "the next revision of `{key}` is number {expected}, not {found}; \
         somebody else may have released one: read the latest, then number anew"
    )]
    Conflict {
        /// The document.
        key: DocumentKey,
        /// The number that the next revision must have.
        expected: u32,
        /// The number that the commit gives.
        found: u32,
    },
    /// A request's name was used for other content.
    #[error("request id `{0}` was used for a request with other content; use a new one")]
    RequestIdReused(RequestId),
    /// A release's name was used by another request.
    #[error("release `{0}` exists; a new release needs a new id")]
    ReleaseIdReused(ReleaseId),
    /// A revision uses one that is neither stored nor in the same commit.
    #[error("`{}` uses `{}`, which is neither stored nor in the same release", show(.revision), show(.pin))]
    MissingPin {
        /// Which revision.
        revision: Box<RevisionRef>,
        /// What it uses.
        pin: Box<RevisionRef>,
    },
    /// A revision is released, or gone back to, that is neither stored nor in the same commit.
    #[error("`{}` is not stored; store it in this release or an earlier one", show(.0))]
    MissingRevision(Box<RevisionRef>),
    /// A revision is withdrawn that was never released.
    #[error("`{}` was never released, so it can't be withdrawn", show(.0))]
    NotReleased(Box<RevisionRef>),
    /// A deviation that nobody asked for.
    #[error("there is no deviation `{0}`")]
    UnknownDeviation(DeviationId),
    /// A deviation's name was used for another.
    #[error("deviation `{0}` was asked for in other words; choose another id")]
    DeviationExists(DeviationId),
    /// Somebody else decided on the deviation first.
    #[error("deviation `{0}` was decided by somebody else meanwhile; look at it again")]
    DeviationDecided(DeviationId),
    /// No such draft.
    #[error("there is no draft `{0}`")]
    UnknownDraft(DraftId),
    /// A draft's name was used by another request.
    #[error("draft `{0}` exists; a new draft needs a new name")]
    DraftExists(DraftId),
    /// A draft holds something else by now.
    #[error("draft `{draft}` was changed by {by} since it was read; read it again, and compare")]
    DraftChanged {
        /// The draft.
        draft: DraftId,
        /// What was looked at.
        stated: Digest,
        /// What it holds now.
        now: Digest,
        /// Who changed it last.
        by: String,
    },
    /// A step that isn't possible where a draft stands.
    #[error("draft `{draft}` is {}, and can't be {} now", state_words(*state), act_words(*act))]
    DraftState {
        /// The draft.
        draft: DraftId,
        /// Where it stands.
        state: DraftState,
        /// What was to be done.
        act: DraftAct,
    },
    /// Somebody approves what they wrote themselves.
    #[error("{by} wrote at draft `{draft}`; somebody else must approve it")]
    OwnDraft {
        /// The draft.
        draft: DraftId,
        /// Who.
        by: String,
    },
    /// A version of the root of trust that doesn't follow.
    #[error(
        "the next version of the root of trust is {expected}, not {found}; somebody else may have \
         added one: read the latest, then make the next"
    )]
    RootConflict {
        /// The version that follows.
        expected: u32,
        /// The version that was given.
        found: u32,
    },
    /// Bytes that are not what they are said to be.
    #[error("{what}: the bytes have the digest `{computed}`, not `{stated}`; send them anew")]
    DigestMismatch {
        /// Which bytes.
        what: String,
        /// The digest that was stated.
        stated: Digest,
        /// The digest of the bytes.
        computed: Digest,
    },
    /// A change of who may reach the hub.
    #[error(transparent)]
    Access(#[from] AccessRefusal),
    /// A commit that contradicts itself.
    #[error("{0}")]
    Malformed(String),
    /// What is stored makes no sense: restore a backup.
    #[error("the store is damaged: {0}; restore it from a backup")]
    Damaged(String),
    /// The database can't be used now; the same may work later.
    #[error("the store is unavailable")]
    Unavailable(#[source] Box<dyn Error + Send + Sync>),
}

/// A revision as messages show it.
pub(crate) fn show(reference: &RevisionRef) -> String {
    format!("{} {} ({})", reference.key, reference.number, reference.digest.short())
}

fn state_words(state: DraftState) -> &'static str {
    match state {
        DraftState::Open => "still written at",
        DraftState::InReview => "in review",
        DraftState::Returned => "returned to be mended",
        DraftState::Approved => "approved",
        DraftState::Released => "released",
        DraftState::Dropped => "dropped",
    }
}

fn act_words(act: DraftAct) -> &'static str {
    match act {
        DraftAct::Create => "made",
        DraftAct::Update => "changed",
        DraftAct::Submit => "given to review",
        DraftAct::Comment => "commented",
        DraftAct::Approve => "approved",
        DraftAct::Return => "returned",
        DraftAct::Drop => "dropped",
        DraftAct::Release => "released",
    }
}
