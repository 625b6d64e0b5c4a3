//! Roots and signatures.

use std::collections::BTreeSet;

use super::state::{EntryRow, State};
use crate::backend::{check_ack, newer_root};
use crate::{EntrySignatures, HubError, RootCommit, RootRecord, SigningCommit};

impl State {
    pub(super) fn add_root(&mut self, commit: RootCommit) -> Result<(), HubError> {
        if newer_root(&self.roots, &commit.root)? {
            self.audit.push(commit.record());
            self.roots.push(commit.root);
        }
        Ok(())
    }

    pub(super) fn roots_after(&self, version: u32) -> Vec<RootRecord> {
        self.roots.iter().filter(|root| root.version > version).cloned().collect()
    }

    pub(super) fn sign(&mut self, commit: &SigningCommit) -> Result<(), HubError> {
        for EntrySignatures { position, body_digest, .. } in &commit.signed {
            let position = *position;
            let entry = self.entry(position).ok_or(HubError::UnknownEntry { position })?;
            check_ack(position, *body_digest, entry.body.digest)?;
        }
        let mut changed = BTreeSet::new();
        for EntrySignatures { position, signatures, .. } in &commit.signed {
            if let Some(entry) = self.entry_mut(*position)
                && entry.body.signatures != *signatures
            {
                entry.body.signatures.clone_from(signatures);
                changed.insert(*position);
            }
        }
        self.audit.extend(commit.record(&changed));
        Ok(())
    }

    fn entry_mut(&mut self, position: u64) -> Option<&mut EntryRow> {
        self.entries.get_mut(usize::try_from(position.checked_sub(1)?).ok()?)
    }
}
