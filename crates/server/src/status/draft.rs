//! Refusals of drafts.

use chablon_exchange::DraftError;
use chablon_model::DraftId;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;
use super::release::reused;

impl From<DraftError> for Refusal {
    fn from(error: DraftError) -> Self {
        let message = error.to_string();
        let about =
            |code, reason, draft: &DraftId| Self::new(code, reason, &message).with("draft", draft);
        let unfit = Code::FailedPrecondition;
        match error {
            DraftError::Body(error) => error.into(),
            DraftError::Unknown(draft) => about(Code::NotFound, ErrorReason::DraftNotFound, &draft),
            DraftError::Exists(draft) => {
                about(Code::AlreadyExists, ErrorReason::DraftExists, &draft)
            }
            DraftError::Changed { draft, etag, by } => {
                about(Code::Aborted, ErrorReason::DraftChanged, &draft)
                    .with("etag", etag)
                    .with("by", by)
            }
            DraftError::State { draft, state, act, .. } => {
                about(unfit, ErrorReason::DraftState, &draft)
                    .with("state", state.as_str())
                    .with("act", act.as_str())
            }
            DraftError::NotAReviewer { draft, by, .. } => {
                about(unfit, ErrorReason::NotAReviewer, &draft).with("by", by)
            }
            DraftError::Unsound { draft, errors, .. } => {
                about(unfit, ErrorReason::DraftUnsound, &draft).with("errors", errors)
            }
            DraftError::Outdated { draft, document } => {
                about(Code::Aborted, ErrorReason::DraftOutdated, &draft).with("document", document)
            }
            DraftError::RequestIdReused(id) => reused(&id, message),
            DraftError::Store(fault) => fault.into(),
        }
    }
}
