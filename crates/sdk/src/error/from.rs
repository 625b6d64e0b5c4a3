//! Errors of other crates, sorted.

use chablon_arith::PlanError;
use chablon_model::ClosureError;
use chablon_store::ReplicaError;
use chablon_trust::TrustError;
use chablon_wire::{TakenBack, Violation, WireError};

use super::{Error, FieldViolation, Kind, Reason};

impl Error {
    /// Bytes that can't be read. They came from somewhere else, so that isn't the caller's mistake.
    pub(crate) fn of_wire(error: &WireError) -> Self {
        let (kind, reason) = match error {
            WireError::UnsupportedSchema { .. } | WireError::UnsupportedFeature { .. } => {
                (Kind::Unsupported, Reason::UnsupportedFeature)
            }
            WireError::TooLarge { .. } => (Kind::Damaged, Reason::TooLarge),
            WireError::Malformed { .. } | WireError::Invalid(_) => {
                (Kind::Damaged, Reason::InvalidContent)
            }
        };
        let violations = match error {
            WireError::Invalid(violation) => vec![field(violation)],
            _ => Vec::new(),
        };
        Self::new(kind, error.to_string()).with_reason(Some(reason)).with_violations(violations)
    }
}

impl Error {
    /// What a hub answered, and what no hub may answer.
    pub(crate) fn of_answer(violation: &Violation) -> Self {
        Self::new(Kind::Unexpected, format!("the hub's answer breaks the contract: {violation}"))
    }

    /// A document of one's own that can't be frozen.
    pub(crate) fn of_content(error: &WireError) -> Self {
        let mut error = Self::of_wire(error);
        if error.0.kind == Kind::Damaged {
            error.0.kind = Kind::Invalid;
        }
        error
    }

    /// A standard that must not be made.
    pub(crate) fn stopped_by(taken_back: TakenBack) -> Self {
        let TakenBack { withdrawn, reason, author, .. } = &taken_back;
        let message = format!(
            "`{}` is not to be made until further notice: {author} withdrew revision {}: {reason}",
            withdrawn.key.id, withdrawn.number
        );
        Self::new(Kind::Stopped(Box::new(taken_back)), message).with_reason(Some(Reason::Withdrawn))
    }
}

fn field(violation: &Violation) -> FieldViolation {
    FieldViolation::new(violation.path.clone(), violation.reason.clone())
}

impl Error {
    /// What went wrong with a replica's store.
    pub(crate) fn of_store(error: ReplicaError) -> Self {
        let kind = match &error {
            ReplicaError::Damaged(_) | ReplicaError::DigestMismatch { .. } => Kind::Damaged,
            ReplicaError::Unavailable(_) => Kind::Unavailable,
            ReplicaError::EnrolledElsewhere { .. } => Kind::Conflict,
            ReplicaError::UnknownEntry { .. } => Kind::NotFound,
            ReplicaError::NotEnrolled => Kind::Precondition,
            ReplicaError::OtherView { .. }
            | ReplicaError::Gap { .. }
            | ReplicaError::Diverged { .. }
            | ReplicaError::Missing(_)
            | ReplicaError::Malformed(_) => Kind::Unexpected,
        };
        Self::new(kind, error.to_string()).with_source(error)
    }
}

impl From<TrustError> for Error {
    fn from(error: TrustError) -> Self {
        let message = error.to_string();
        match error {
            TrustError::Unreadable(error) => Self::of_wire(&error),
            other => Self::new(Kind::Untrusted(Box::new(other)), message),
        }
    }
}

impl From<ClosureError> for Error {
    fn from(error: ClosureError) -> Self {
        Self::new(Kind::NotComputable, error.to_string()).with_source(error)
    }
}

impl From<PlanError> for Error {
    fn from(error: PlanError) -> Self {
        let hint = error.hint();
        Self::new(Kind::NotComputable, format!("{error}; {hint}"))
            .with_reason(Some(Reason::NotComputable))
            .with_details([("code".to_owned(), error.code().to_owned())])
            .with_source(error)
    }
}
