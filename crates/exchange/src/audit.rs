//! Reading who did what.

use std::num::NonZeroU32;

use chablon_store::AuditEntry;

use crate::{Exchange, StoreFault};

impl Exchange {
    /// The records of the log before a number, or the last ones, the newest first.
    pub async fn audit(
        &self,
        before: Option<u64>,
        limit: NonZeroU32,
    ) -> Result<Vec<AuditEntry>, StoreFault> {
        self.store.audit(before, limit).await.map_err(StoreFault::of)
    }
}
