//! Refusals of releases and withdrawals.

use std::collections::BTreeSet;
use std::fmt::Display;

use chablon_exchange::{BodyError, ReleaseError, Unreleasable, WithdrawalError};
use chablon_model::{DocumentKey, ReleaseId, RevisionRef, SiteId};
use chablon_store::RequestId;
use chablon_wire::Violation;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<BodyError> for Refusal {
    fn from(error: BodyError) -> Self {
        let message = error.to_string();
        let invalid = |reason| Self::new(Code::InvalidArgument, reason, &message);
        match error {
            BodyError::TooLarge { path, limit, size } => {
                Self::too_large(limit, size, &message).at([here(path, &message)])
            }
            BodyError::DigestMismatch { path, stated, computed } => {
                invalid(ErrorReason::DigestMismatch)
                    .with("stated", stated)
                    .with("computed", computed)
                    .at([here(path, "has bytes of another digest")])
            }
            BodyError::Unsupported { path, feature, why } => {
                Self::new(Code::Unimplemented, ErrorReason::UnsupportedFeature, message)
                    .with("feature", feature)
                    .at([here(path, &why)])
            }
            BodyError::Invalid { revision, violations } => {
                let refusal = invalid(ErrorReason::InvalidContent).at(violations);
                match revision {
                    Some(revision) => refusal.about(&revision),
                    None => refusal,
                }
            }
        }
    }
}

impl From<ReleaseError> for Refusal {
    fn from(error: ReleaseError) -> Self {
        let message = error.to_string();
        match error {
            ReleaseError::Body(error) => error.into(),
            ReleaseError::Incoherent { release, part, violation } => {
                incoherent(&release, message).with("part", part).at([violation])
            }
            ReleaseError::TooWide { document, site, part, path } => {
                too_wide(&document, &site, &message).with("part", part).at([here(path, &message)])
            }
            ReleaseError::Missing { reference, path } => {
                Self::new(Code::FailedPrecondition, ErrorReason::RevisionMissing, &message)
                    .about(&reference)
                    .at([here(path, "is neither stored nor in this request")])
            }
            ReleaseError::AllergensUnknown(recipes) => allergens_unknown(&recipes, message),
            ReleaseError::Conflict { document, latest, found } => {
                Self::new(Code::Aborted, ErrorReason::RevisionConflict, message)
                    .with("document", document)
                    .with("number", found)
                    .with("latest", latest)
            }
            ReleaseError::ReleaseExists(release) => {
                Self::new(Code::AlreadyExists, ErrorReason::ReleaseExists, message)
                    .with("release", release)
            }
            ReleaseError::RequestIdReused(id) => reused(&id, message),
            ReleaseError::DraftNeeded(document) => {
                Self::new(Code::FailedPrecondition, ErrorReason::ReviewNeeded, message)
                    .with("document", document)
            }
            ReleaseError::ReviewNeeded { draft, class, needed, approvals } => {
                Self::new(Code::FailedPrecondition, ErrorReason::ReviewNeeded, message)
                    .with("draft", draft)
                    .with("class", class.map_or("", chablon_change::Class::as_str))
                    .with("needed", needed)
                    .with("approvals", approvals)
            }
            ReleaseError::Draft(error) => error.into(),
            ReleaseError::Untrusted(error) => error.into(),
            ReleaseError::Refused(what) => {
                Self::new(Code::InvalidArgument, ErrorReason::IncoherentRelease, what)
            }
            ReleaseError::Store(fault) => fault.into(),
        }
    }
}

impl From<WithdrawalError> for Refusal {
    fn from(error: WithdrawalError) -> Self {
        let message = error.to_string();
        match error {
            WithdrawalError::Body(error) => error.into(),
            WithdrawalError::NeverReleased(reference) => {
                Self::new(Code::FailedPrecondition, ErrorReason::NeverReleased, message)
                    .about(&reference)
            }
            WithdrawalError::TooWide { document, site } => too_wide(&document, &site, &message)
                .at([here("notice.audience".to_owned(), &message)]),
            WithdrawalError::RequestIdReused(id) => reused(&id, message),
            WithdrawalError::Untrusted(error) => error.into(),
            WithdrawalError::Refused(what) => {
                Self::new(Code::InvalidArgument, ErrorReason::InvalidContent, what)
            }
            WithdrawalError::Store(fault) => fault.into(),
        }
    }
}

impl Refusal {
    fn about(self, revision: &RevisionRef) -> Self {
        self.with("document", &revision.key).with("number", revision.number)
    }
}

fn here(path: String, reason: &(impl Display + ?Sized)) -> Violation {
    Violation { path, reason: reason.to_string() }
}

fn allergens_unknown(recipes: &[Unreleasable], message: String) -> Refusal {
    let blockers = || recipes.iter().flat_map(|one| &one.blockers);
    let groups: BTreeSet<&str> =
        blockers().flat_map(|one| &one.missing).map(|one| one.group().code()).collect();
    let ingredients: BTreeSet<&str> = blockers().map(|one| one.ingredient.as_str()).collect();
    let violations = recipes.iter().flat_map(|one| {
        one.blockers.iter().map(|blocker| here(one.path.clone(), &blocker.to_string()))
    });
    let refusal = Refusal::new(Code::FailedPrecondition, ErrorReason::AllergenUnknown, message)
        .with("allergens", Vec::from_iter(groups).join(","))
        .with("ingredients", Vec::from_iter(ingredients).join(","))
        .at(violations);
    match recipes.first() {
        Some(first) => refusal.about(&first.reference),
        None => refusal,
    }
}

fn incoherent(release: &ReleaseId, message: String) -> Refusal {
    Refusal::new(Code::InvalidArgument, ErrorReason::IncoherentRelease, message)
        .with("release", release)
}

fn too_wide(document: &DocumentKey, site: &SiteId, message: &str) -> Refusal {
    Refusal::new(Code::InvalidArgument, ErrorReason::AudienceTooWide, message)
        .with("document", document)
        .with("site", site)
}

pub(super) fn reused(id: &RequestId, message: String) -> Refusal {
    Refusal::new(Code::AlreadyExists, ErrorReason::RequestIdReused, message).with("request_id", id)
}
