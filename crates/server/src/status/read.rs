//! Refusals of reading.

use chablon_exchange::ReadError;
use chablon_model::Moment;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<ReadError> for Refusal {
    fn from(error: ReadError) -> Self {
        let message = error.to_string();
        let not_found = |reason| Self::new(Code::NotFound, reason, &message);
        match error {
            ReadError::UnknownSite(site) => Self::unknown_site(&site, message),
            ReadError::UnknownDocument(document) => {
                not_found(ErrorReason::DocumentNotFound).with("document", document)
            }
            ReadError::UnknownRevision(digest) => {
                not_found(ErrorReason::RevisionNotFound).with("digest", digest)
            }
            ReadError::NotInForce { document, site, at } => not_found(ErrorReason::NotInForce)
                .with("document", document)
                .with("site", site)
                .with("at", timestamp(at)),
            ReadError::Outdated => Self::invalid_page_token(),
            ReadError::Store(fault) => fault.into(),
        }
    }
}

/// A moment as people read it: `2026-10-01T00:00:00Z`.
fn timestamp(at: Moment) -> String {
    jiff::Timestamp::from_millisecond(at.0).map_or_else(|_| at.0.to_string(), |at| at.to_string())
}
