//! The revisions that a release rests on: those sent along, and those that they reach in the store.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use chablon_model::{ClosureError, Digest, Reach, Revision, RevisionRef};

use super::parts::missing;
use super::{ReleaseError, Submitted};
use crate::bodies::item;
use crate::kept::Known;
use crate::{Exchange, StoreFault};

/// How many stored revisions are read at a time.
const STEP: usize = 64;

/// Revisions by their digests. With each it holds all that it pins.
#[derive(Debug, Default)]
pub(super) struct Catalogue(HashMap<Digest, Arc<Known>>);

impl Catalogue {
    /// What these revisions reach along their pins, they themselves among it.
    pub(super) fn reached(
        &self,
        roots: impl IntoIterator<Item = RevisionRef>,
    ) -> Result<Vec<&Revision>, ClosureError> {
        let mut reach = Reach::new(roots)?;
        let mut reached = Vec::new();
        loop {
            let wanted = reach.wanted();
            for reference in &wanted {
                let found = self.0.get(&reference.digest);
                let known = found.expect("a catalogue holds what its revisions pin");
                reach.add(reference, &known.revision)?;
                reached.push(&known.revision);
            }
            if wanted.is_empty() {
                return Ok(reached);
            }
        }
    }

    fn holds(&self, reference: &RevisionRef) -> bool {
        self.0.get(&reference.digest).is_some_and(|known| known.reference == *reference)
    }

    fn insert(&mut self, known: Arc<Known>) {
        self.0.insert(known.reference.digest, known);
    }

    /// What some revisions pin and isn't here.
    fn unread<'r>(&self, pinned_by: impl Iterator<Item = &'r Revision>) -> Vec<Digest> {
        let pins: BTreeSet<Digest> =
            pinned_by.flat_map(|revision| &revision.pins).map(|pin| pin.digest).collect();
        pins.into_iter().filter(|pin| !self.0.contains_key(pin)).collect()
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
        let mut pins = self.0.values().flat_map(|known| &known.revision.pins);
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
        for Submitted { reference, revision, frozen } in submitted {
            let (reference, revision) = (reference.clone(), revision.clone());
            catalogue.insert(Arc::new(Known { reference, revision, size: frozen.bytes.len() }));
        }
        let mut wanted = catalogue.unread(submitted.iter().map(|one| &one.revision));
        while !wanted.is_empty() {
            wanted = self.read_reached(&mut catalogue, &wanted).await?;
        }
        catalogue.check_submitted(submitted)?;
        catalogue.check_stored()?;
        Ok(catalogue)
    }

    /// Adds those of some revisions that are stored; gives what they pin in turn. What isn't there is
    /// no longer asked for.
    async fn read_reached(
        &self,
        catalogue: &mut Catalogue,
        wanted: &[Digest],
    ) -> Result<Vec<Digest>, ReleaseError> {
        let mut read = Vec::new();
        for step in wanted.chunks(STEP) {
            read.extend(self.kept.read(&*self.store, step).await?);
        }
        for known in &read {
            catalogue.insert(Arc::clone(known));
        }
        Ok(catalogue.unread(read.iter().map(|known| &known.revision)))
    }
}
