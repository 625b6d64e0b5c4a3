//! The revisions that a release rests on: those sent along, and those that they reach in the store.

use std::collections::{BTreeSet, HashMap};

use chablon_model::{Closure, ClosureBuilder, ClosureError, Digest, Revision, RevisionRef};
use chablon_store::StoredRevision;
use chablon_wire::decode_revision;

use super::parts::missing;
use super::{ReleaseError, Submitted};
use crate::bodies::item;
use crate::{Exchange, StoreFault};

/// How many stored revisions are read at a time.
const STEP: usize = 64;

/// Revisions by their digests. With each it holds all that it pins.
#[derive(Debug, Default)]
pub(super) struct Catalogue(HashMap<Digest, (RevisionRef, Revision)>);

impl Catalogue {
    /// What these revisions reach along their pins.
    pub(super) fn closure(
        &self,
        roots: impl IntoIterator<Item = RevisionRef>,
    ) -> Result<Closure, ClosureError> {
        let mut builder = ClosureBuilder::new(roots)?;
        loop {
            let wanted = builder.wanted();
            for reference in &wanted {
                let found = self.0.get(&reference.digest);
                let (_, revision) = found.expect("a catalogue holds what its revisions pin");
                builder.add(reference, revision.clone())?;
            }
            if wanted.is_empty() {
                return Ok(builder.finish().unwrap_or_default());
            }
        }
    }

    fn holds(&self, reference: &RevisionRef) -> bool {
        self.0.get(&reference.digest).is_some_and(|(known, _)| known == reference)
    }

    fn insert(&mut self, reference: RevisionRef, revision: Revision) {
        self.0.insert(reference.digest, (reference, revision));
    }

    /// Refuses a request whose pins lead nowhere.
    fn check_submitted(&self, submitted: &[Submitted]) -> Result<(), ReleaseError> {
        for (index, Submitted { revision, .. }) in submitted.iter().enumerate() {
            let lost = revision.pins.iter().enumerate().find(|(_, pin)| !self.holds(pin));
            if let Some((place, pin)) = lost {
                let path = format!("{}.{}", item("revisions", index), item("pins", place));
                return Err(missing(pin, path));
            }
        }
        Ok(())
    }

    /// Refuses a store that lost what its revisions pin.
    fn check_stored(&self) -> Result<(), StoreFault> {
        let mut pins = self.0.values().flat_map(|(_, revision)| &revision.pins);
        match pins.find(|pin| !self.holds(pin)) {
            Some(pin) => Err(StoreFault::Damaged(format!("revision `{}` is gone", pin.digest))),
            None => Ok(()),
        }
    }
}

impl Exchange {
    /// The revisions of a request, and all that they reach in the store.
    pub(super) async fn catalogue(
        &self,
        submitted: &[Submitted],
    ) -> Result<Catalogue, ReleaseError> {
        let mut catalogue = Catalogue::default();
        for one in submitted {
            catalogue.insert(one.reference.clone(), one.revision.clone());
        }
        for stored in self.reached(submitted).await? {
            let revision = decode_revision(&stored.bytes).map_err(|error| {
                StoreFault::unreadable(&format!("revision `{}`", stored.reference.digest), &error)
            })?;
            catalogue.insert(stored.reference, revision);
        }
        catalogue.check_submitted(submitted)?;
        catalogue.check_stored()?;
        Ok(catalogue)
    }

    /// What a request reaches in the store along its pins.
    async fn reached(&self, submitted: &[Submitted]) -> Result<Vec<StoredRevision>, ReleaseError> {
        let sent: BTreeSet<Digest> = submitted.iter().map(|one| one.reference.digest).collect();
        let pins = submitted.iter().flat_map(|one| &one.revision.pins);
        let pins: BTreeSet<Digest> = pins.map(|pin| pin.digest).collect();
        let pins: Vec<Digest> = pins.difference(&sent).copied().collect();
        let reached = self.store.closure(&pins).await?;
        let reached: Vec<Digest> = reached.into_iter().map(|one| one.digest).collect();
        let mut stored = Vec::new();
        for step in reached.chunks(STEP) {
            stored.extend(self.held(step).await?);
        }
        Ok(stored)
    }
}
