//! Refusals of cursors.

use chablon_exchange::FeedError;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;

impl From<FeedError> for Refusal {
    fn from(error: FeedError) -> Self {
        let message = error.to_string();
        let precondition = |reason| Self::new(Code::FailedPrecondition, reason, &message);
        match error {
            FeedError::UnknownSite(site) => Self::unknown_site(&site, message),
            FeedError::WrongEpoch { epoch, asked } => {
                precondition(ErrorReason::WrongEpoch).with("epoch", epoch).with("asked", asked)
            }
            FeedError::ViewChanged(site) => {
                let site = site.map(|site| site.to_string()).unwrap_or_default();
                precondition(ErrorReason::ViewChanged).with("site", site)
            }
            FeedError::FuturePosition { head, asked } => {
                Self::new(Code::OutOfRange, ErrorReason::FuturePosition, message)
                    .with("head", head)
                    .with("asked", asked)
            }
            FeedError::Compacted { oldest, asked } => {
                Self::new(Code::OutOfRange, ErrorReason::HistoryCompacted, message)
                    .with("oldest", oldest)
                    .with("asked", asked)
            }
            FeedError::Store(fault) => fault.into(),
        }
    }
}
