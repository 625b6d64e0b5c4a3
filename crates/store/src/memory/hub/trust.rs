//! Roots and signatures.

use super::state::{EntryRow, State};
use crate::backend::{check_ack, newer_root};
use crate::{EntrySignatures, HubError, RootRecord};

impl State {
    pub(super) fn add_root(&mut self, root: RootRecord) -> Result<(), HubError> {
        if newer_root(&self.roots, &root)? {
            self.roots.push(root);
        }
        Ok(())
    }

    pub(super) fn roots_after(&self, version: u32) -> Vec<RootRecord> {
        self.roots.iter().filter(|root| root.version > version).cloned().collect()
    }

    pub(super) fn sign(&mut self, signed: Vec<EntrySignatures>) -> Result<(), HubError> {
        for EntrySignatures { position, body_digest, .. } in &signed {
            let position = *position;
            let entry = self.entry(position).ok_or(HubError::UnknownEntry { position })?;
            check_ack(position, *body_digest, entry.body.digest)?;
        }
        for EntrySignatures { position, signatures, .. } in signed {
            if let Some(entry) = self.entry_mut(position) {
                entry.body.signatures = signatures;
            }
        }
        Ok(())
    }

    fn entry_mut(&mut self, position: u64) -> Option<&mut EntryRow> {
        self.entries.get_mut(usize::try_from(position.checked_sub(1)?).ok()?)
    }
}
