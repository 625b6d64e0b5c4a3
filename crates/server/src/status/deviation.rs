//! Refusals of deviations and of decisions on them.

use chablon_exchange::DeviationError;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<DeviationError> for Refusal {
    fn from(error: DeviationError) -> Self {
        let message = error.to_string();
        match error {
            DeviationError::Body(error) => error.into(),
            DeviationError::UnknownSite(site) => Self::unknown_site(&site, message),
            DeviationError::UnknownRevision(reference) => {
                Self::new(Code::NotFound, ErrorReason::RevisionNotFound, message)
                    .with("digest", reference.digest)
            }
            DeviationError::Unknown(id) => {
                Self::new(Code::NotFound, ErrorReason::DeviationNotFound, message)
                    .with("deviation", id)
            }
            DeviationError::Exists(id) => {
                Self::new(Code::AlreadyExists, ErrorReason::DeviationExists, message)
                    .with("deviation", id)
            }
            DeviationError::Unfit { id, .. } => {
                Self::new(Code::InvalidArgument, ErrorReason::DeviationUnfit, message)
                    .with("deviation", id)
            }
            DeviationError::Decided(id) => {
                Self::new(Code::Aborted, ErrorReason::DeviationDecided, message)
                    .with("deviation", id)
            }
            DeviationError::Objected { id, objections } => {
                let told: Vec<String> = objections.iter().map(ToString::to_string).collect();
                Self::new(Code::FailedPrecondition, ErrorReason::DeviationObjected, message)
                    .with("deviation", id)
                    .with("objections", told.join("; "))
            }
            DeviationError::RequestIdReused(id) => {
                Self::new(Code::AlreadyExists, ErrorReason::RequestIdReused, message)
                    .with("request_id", id)
            }
            DeviationError::Untrusted(error) => error.into(),
            DeviationError::Refused(what) => {
                Self::new(Code::InvalidArgument, ErrorReason::InvalidContent, what)
            }
            DeviationError::Grounds(error) => error.into(),
            DeviationError::Store(fault) => fault.into(),
        }
    }
}
