//! Why something isn't done to a draft.

use chablon_model::{Digest, DocumentKey, Draft, DraftAct, DraftId, DraftState};
use chablon_store::{HubError, RequestId};
use chablon_wire::DraftFinding;

use crate::bodies::BodyError;
use crate::{ReadError, StoreFault};

/// Why something isn't done to a draft. Nothing of it was stored.
#[derive(Debug, thiserror::Error)]
pub enum DraftError {
    /// What it would hold is refused by itself.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// No such draft.
    #[error("there is no draft `{0}`")]
    Unknown(DraftId),
    /// The draft's id was used before.
    #[error("draft `{0}` exists; choose another name, or change that one")]
    Exists(DraftId),
    /// It holds something else by now.
    #[error("{by} changed draft `{draft}` meanwhile; compare theirs with yours, then ask anew")]
    Changed {
        /// The draft.
        draft: DraftId,
        /// What it holds now.
        etag: Digest,
        /// Who changed it last.
        by: String,
    },
    /// It isn't possible where the draft stands.
    #[error("{message}")]
    State {
        /// The draft.
        draft: DraftId,
        /// Where it stands.
        state: DraftState,
        /// What was to be done.
        act: DraftAct,
        /// The same in words.
        message: String,
    },
    /// Somebody else must approve it.
    #[error("{message}")]
    NotAReviewer {
        /// The draft.
        draft: DraftId,
        /// Who can't.
        by: String,
        /// Why.
        message: String,
    },
    /// Something must be mended in it first.
    #[error("draft `{draft}` holds what must be mended ({errors} in all); first, in `{}`: {}", .first.document, .first.message)]
    Unsound {
        /// The draft.
        draft: DraftId,
        /// How many findings keep it back.
        errors: usize,
        /// The first of them.
        first: Box<DraftFinding>,
    },
    /// What it was made on was released anew since.
    #[error(
        "`{document}` was released anew since draft `{draft}` was made; make it anew on what there \
         is now"
    )]
    Outdated {
        /// The draft.
        draft: DraftId,
        /// What was released anew.
        document: DocumentKey,
    },
    /// The request's id was used with other content.
    #[error("request id `{0}` was used with other content; choose a new one")]
    RequestIdReused(RequestId),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl DraftError {
    /// It holds something else than was stated.
    pub(crate) fn changed(draft: &Draft) -> Self {
        let by = draft.last_writer().unwrap_or_default().to_owned();
        Self::Changed { draft: draft.id.clone(), etag: draft.etag, by }
    }

    /// What an error of the store means to whoever works on a draft.
    pub(crate) fn of_store(error: HubError) -> Self {
        let message = error.to_string();
        match error {
            HubError::UnknownDraft(draft) => Self::Unknown(draft),
            HubError::DraftExists(draft) => Self::Exists(draft),
            HubError::DraftChanged { draft, now, by, .. } => Self::Changed { draft, etag: now, by },
            HubError::DraftState { draft, state, act } => {
                Self::State { draft, state, act, message }
            }
            HubError::OwnDraft { draft, by } => Self::NotAReviewer { draft, by, message },
            HubError::RequestIdReused(request) => Self::RequestIdReused(request),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl From<HubError> for DraftError {
    fn from(error: HubError) -> Self {
        Self::of_store(error)
    }
}

impl From<ReadError> for DraftError {
    /// Only of what is read of the whole group, where there is no site to be unknown.
    fn from(error: ReadError) -> Self {
        match error {
            ReadError::Store(fault) => Self::Store(fault),
            other => Self::Store(StoreFault::Damaged(other.to_string())),
        }
    }
}
