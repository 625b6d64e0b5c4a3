//! Refusals of statements.

use chablon_exchange::AdoptionError;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<AdoptionError> for Refusal {
    fn from(error: AdoptionError) -> Self {
        let message = error.to_string();
        match error {
            AdoptionError::UnknownSite(site) => Self::unknown_site(&site, message),
            AdoptionError::UnknownEntry { site, position } => {
                Self::new(Code::NotFound, ErrorReason::EntryNotFound, message)
                    .with("site", site)
                    .with("position", position)
            }
            AdoptionError::OtherEntry { position, stated, stored } => {
                Self::new(Code::FailedPrecondition, ErrorReason::WrongEpoch, message)
                    .with("position", position)
                    .with("stated", stated)
                    .with("stored", stored)
            }
            AdoptionError::Store(fault) => fault.into(),
        }
    }
}
