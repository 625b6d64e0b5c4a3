//! Refusals of figures.

use chablon_exchange::FigureError;
use chablon_wire::pb::ErrorReason;
use chablon_wire::{At, Violation};
use tonic::Code;

use super::Refusal;

impl From<FigureError> for Refusal {
    fn from(error: FigureError) -> Self {
        let message = error.to_string();
        match error {
            FigureError::Read(error) => error.into(),
            FigureError::Withdrawn { document, site, reason } => {
                Self::new(Code::FailedPrecondition, ErrorReason::Withdrawn, message)
                    .with("document", document)
                    .with("site", site)
                    .with("reason", reason)
            }
            FigureError::Unsupported { document, feature } => {
                Self::new(Code::Unimplemented, ErrorReason::UnsupportedFeature, message)
                    .with("document", document)
                    .with("feature", feature)
            }
            FigureError::NotPositive(what) => Violation::new(what).at("target").into(),
            FigureError::NotComputable { of, .. } => {
                let refusal =
                    Self::new(Code::FailedPrecondition, ErrorReason::NotComputable, message);
                match of {
                    Some(recipe) => refusal.with("recipe", recipe),
                    None => refusal,
                }
            }
        }
    }
}
