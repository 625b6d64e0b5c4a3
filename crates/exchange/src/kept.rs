//! What was read and never changes, kept at hand: revisions, which a digest names for good, and which
//! sites there are, for none goes away.

use std::collections::HashMap;

use chablon_model::{Digest, SiteId};
use chablon_store::{HubError, HubStore, StoredRevision};
use moka::sync::Cache;

/// How many bytes of revisions are kept at most: a group's book, or what is asked for most of it.
const MOST_BYTES: u64 = 64 << 20;

/// What a revision takes beside its bytes.
const BESIDE_BYTES: u32 = 256;

const MOST_SITES: u64 = 100_000;

#[derive(Clone)]
pub(crate) struct Kept {
    revisions: Cache<Digest, StoredRevision>,
    sites: Cache<SiteId, ()>,
}

impl Default for Kept {
    fn default() -> Self {
        let weight = |_: &Digest, revision: &StoredRevision| {
            u32::try_from(revision.bytes.len()).unwrap_or(u32::MAX).saturating_add(BESIDE_BYTES)
        };
        Self {
            revisions: Cache::builder().max_capacity(MOST_BYTES).weigher(weight).build(),
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
