//! What was read and never changes, kept at hand: revisions, which a digest names for good, and which
//! sites there are, for none goes away.

use std::collections::HashMap;
use std::sync::Arc;

use chablon_model::{Digest, Revision, RevisionRef, SiteId};
use chablon_store::{HubError, HubStore, StoredRevision};
use chablon_wire::decode_revision;
use moka::sync::Cache;

use crate::StoreFault;

/// How many bytes of revisions are kept at most: a group's book, or what is asked for most of it.
const MOST_BYTES: u64 = 64 << 20;

/// What a revision takes beside its bytes.
const BESIDE_BYTES: u32 = 256;

/// How many bytes of what revisions say are kept at most.
const MOST_SAID_BYTES: u64 = 64 << 20;

/// By how much what a revision says is larger than its bytes: names and numbers have room of their own.
const SAID_BY_BYTES: usize = 6;

const MOST_SITES: u64 = 100_000;

#[derive(Clone)]
pub(crate) struct Kept {
    revisions: Cache<Digest, StoredRevision>,
    said: Cache<Digest, Arc<Known>>,
    sites: Cache<SiteId, ()>,
}

/// A stored revision with what it says.
#[derive(Debug)]
pub(crate) struct Known {
    pub(crate) reference: RevisionRef,
    pub(crate) revision: Revision,
    /// How many bytes it has.
    pub(crate) size: usize,
}

impl Known {
    fn of(stored: StoredRevision) -> Result<Self, StoreFault> {
        let StoredRevision { reference, bytes, .. } = stored;
        let revision = decode_revision(&bytes).map_err(|error| {
            StoreFault::unreadable(&format!("revision `{}`", reference.digest), &error)
        })?;
        Ok(Self { reference, revision, size: bytes.len() })
    }
}

/// What so many bytes weigh.
fn weight(bytes: usize) -> u32 {
    u32::try_from(bytes).unwrap_or(u32::MAX).saturating_add(BESIDE_BYTES)
}

impl Default for Kept {
    fn default() -> Self {
        let stored = |_: &Digest, revision: &StoredRevision| weight(revision.bytes.len());
        let said = |_: &Digest, known: &Arc<Known>| weight(SAID_BY_BYTES * known.size);
        Self {
            revisions: Cache::builder().max_capacity(MOST_BYTES).weigher(stored).build(),
            said: Cache::builder().max_capacity(MOST_SAID_BYTES).weigher(said).build(),
            sites: Cache::new(MOST_SITES),
        }
    }
}

impl Kept {
    /// Revisions by digest, in the order asked for, from the store where they aren't at hand.
    pub(crate) async fn revisions(
        &self,
        store: &dyn HubStore,
        digests: &[Digest],
    ) -> Result<Vec<Option<StoredRevision>>, HubError> {
        let mut found: Vec<_> = digests.iter().map(|one| self.revisions.get(one)).collect();
        let unfound = digests.iter().zip(&found).filter(|(_, one)| one.is_none());
        let missing: Vec<Digest> = unfound.map(|(digest, _)| *digest).collect();
        if missing.is_empty() {
            return Ok(found);
        }
        let read = store.revisions(&missing).await?.into_iter();
        let read: HashMap<Digest, StoredRevision> =
            read.map(|one| (one.reference.digest, one)).collect();
        for (digest, one) in digests.iter().zip(&mut found).filter(|(_, one)| one.is_none()) {
            *one = read.get(digest).cloned();
        }
        for (digest, one) in read {
            self.revisions.insert(digest, one);
        }
        Ok(found)
    }

    /// Those of some revisions that are there, each with what it says.
    pub(crate) async fn read(
        &self,
        store: &dyn HubStore,
        digests: &[Digest],
    ) -> Result<Vec<Arc<Known>>, StoreFault> {
        let (mut read, mut unread) = (Vec::new(), Vec::new());
        for digest in digests {
            match self.said.get(digest) {
                Some(known) => read.push(known),
                None => unread.push(*digest),
            }
        }
        let stored = self.revisions(store, &unread).await.map_err(StoreFault::of)?;
        for stored in stored.into_iter().flatten() {
            let known = Arc::new(Known::of(stored)?);
            self.said.insert(known.reference.digest, Arc::clone(&known));
            read.push(known);
        }
        Ok(read)
    }

    /// Whether there is a site.
    pub(crate) async fn has_site(
        &self,
        store: &dyn HubStore,
        site: &SiteId,
    ) -> Result<bool, HubError> {
        if self.sites.contains_key(site) {
            return Ok(true);
        }
        let there = store.site(site).await?.is_some();
        if there {
            self.sites.insert(site.clone(), ());
        }
        Ok(there)
    }
}
