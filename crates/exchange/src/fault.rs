//! Failures that have nothing to do with what was asked.

use std::error::Error;

use chablon_store::HubError;

/// The store failed.
#[derive(Debug, thiserror::Error)]
pub enum StoreFault {
    /// What is stored isn't what was stored; nothing should be served from it.
    #[error("the store is damaged: {0}; restore it from a backup")]
    Damaged(String),
    /// The store can't be used now; the same may work later.
    #[error("the store doesn't answer; try again after a pause")]
    Unavailable(#[source] Box<dyn Error + Send + Sync>),
}

impl StoreFault {
    /// What an error means that only a failing store gives to the call at hand.
    pub(crate) fn of(error: HubError) -> Self {
        match error {
            HubError::Unavailable(source) => Self::Unavailable(source),
            HubError::Damaged(what) => Self::Damaged(what),
            other => Self::Damaged(other.to_string()),
        }
    }

    /// Bytes that were checked when they were stored and can't be read now.
    pub(crate) fn unreadable(what: &str, error: &dyn Error) -> Self {
        Self::Damaged(format!("{what} can't be read: {error}"))
    }
}
