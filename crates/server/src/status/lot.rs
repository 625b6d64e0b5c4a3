//! Refusals of notes on lots.

use chablon_exchange::LotError;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<LotError> for Refusal {
    fn from(error: LotError) -> Self {
        let message = error.to_string();
        match error {
            LotError::Read(error) => error.into(),
            LotError::RequestIdReused(id) => {
                Self::new(Code::AlreadyExists, ErrorReason::RequestIdReused, message)
                    .with("request_id", id)
            }
            LotError::Store(fault) => fault.into(),
        }
    }
}
