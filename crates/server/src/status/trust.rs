//! Refusals of roots and signatures.

use chablon_exchange::TrustFault;
use chablon_trust::TrustError;
use chablon_wire::WireError;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<TrustError> for Refusal {
    fn from(error: TrustError) -> Self {
        let message = error.to_string();
        let invalid = |reason| Self::new(Code::InvalidArgument, reason, &message);
        match error {
            TrustError::TooLarge { limit, size, .. } => Self::too_large(limit, size, message),
            TrustError::DigestMismatch { stated, computed, .. } => {
                invalid(ErrorReason::DigestMismatch)
                    .with("stated", stated)
                    .with("computed", computed)
            }
            TrustError::Unreadable(WireError::UnsupportedFeature { feature, .. }) => {
                Self::new(Code::Unimplemented, ErrorReason::UnsupportedFeature, message)
                    .with("feature", feature)
            }
            TrustError::Unreadable(_) => invalid(ErrorReason::InvalidContent),
            TrustError::WrongVersion { expected, found } => conflict(expected, found, message),
            _ => Self::new(Code::FailedPrecondition, ErrorReason::SignatureMissing, message),
        }
    }
}

impl From<TrustFault> for Refusal {
    fn from(fault: TrustFault) -> Self {
        let message = fault.to_string();
        match fault {
            TrustFault::Refused(error) => error.into(),
            TrustFault::Conflict { expected, found } => conflict(expected, found, message),
            TrustFault::NoRoot => {
                Self::new(Code::FailedPrecondition, ErrorReason::SignatureMissing, message)
            }
            TrustFault::UnknownEntry(position) => {
                Self::new(Code::NotFound, ErrorReason::EntryNotFound, message)
                    .with("position", position)
            }
            TrustFault::OtherEntry(position) => {
                Self::new(Code::FailedPrecondition, ErrorReason::WrongEpoch, message)
                    .with("position", position)
            }
            TrustFault::Malformed(what) => {
                Self::new(Code::InvalidArgument, ErrorReason::InvalidRequest, what)
            }
            TrustFault::Store(fault) => fault.into(),
        }
    }
}

fn conflict(expected: u32, found: u32, message: String) -> Refusal {
    Refusal::new(Code::Aborted, ErrorReason::RootConflict, message)
        .with("expected", expected)
        .with("version", found)
}
