//! The check.

use super::state::State;
use crate::backend::check_stored;
use crate::{FeedEntry, Frozen, Integrity, ReplicaError};

impl State {
    pub(super) fn check(&self) -> Result<Integrity, ReplicaError> {
        let damaged = |what: String| Err(ReplicaError::Damaged(what));
        for (digest, row) in &self.revisions {
            let frozen = Frozen::stated(*digest, row.held.bytes.clone());
            if !frozen.holds() {
                return damaged(crate::backend::changed_revision(&row.held.reference));
            }
        }
        let entries: Vec<FeedEntry> = self.entries.values().map(|row| row.entry.clone()).collect();
        check_stored(&entries, self.cursor.as_ref())?;
        let needs = self.entries.values().flat_map(|row| row.needs.iter().copied());
        if let Some(gone) = self.missing(needs).first() {
            return damaged(crate::backend::lost_revision(gone));
        }
        Ok(Integrity { revisions: self.revisions.len() as u64, entries: self.entries.len() as u64 })
    }
}
