//! Reading documents and their revisions.

use std::num::NonZeroU32;

use chablon_model::{Digest, DocumentKey, DocumentKind, RevisionRef, View};
use chablon_store::{Head, HubError, StoredRevision};

use crate::{Exchange, ReadError};

/// How many heads are read from the store at a time at most.
const STEP: NonZeroU32 = NonZeroU32::new(500).unwrap();

/// The latest revision of each document, as far as a page goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heads {
    /// By the name of the kind and then by id.
    pub documents: Vec<RevisionRef>,
    /// Whether there is more after these.
    pub more: bool,
}

impl Exchange {
    /// The latest revision of each document that a reader may see, starting after a document.
    pub async fn heads(
        &self,
        view: &View,
        kind: Option<DocumentKind>,
        after: Option<DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Heads, ReadError> {
        self.known(view).await?;
        // One more tells whether there is more. Where others stand before the kind that is wanted, ever
        // longer stretches are gone through.
        let mut size = limit.saturating_add(1).min(STEP);
        let limit = limit.get() as usize;
        let mut heads = Heads::default();
        let mut after = after;
        loop {
            let step = self.store.heads(view, after.as_ref(), size).await?;
            let ended = step.len() < size.get() as usize || past(kind, &step);
            size = size.saturating_mul(size).min(STEP);
            after = step.last().map(|head| head.reference.key.clone());
            let wanted = step.into_iter().map(|head| head.reference);
            heads.documents.extend(wanted.filter(|head| kind.is_none_or(|k| head.key.kind == k)));
            heads.more = heads.documents.len() > limit;
            if ended || heads.more {
                heads.documents.truncate(limit);
                return Ok(heads);
            }
        }
    }

    /// One revision, if the reader may see it.
    pub async fn revision(&self, view: &View, digest: Digest) -> Result<StoredRevision, ReadError> {
        let found = self.revisions(view, &[digest]).await?.pop().flatten();
        found.ok_or(ReadError::UnknownRevision(digest))
    }

    /// Revisions in the order of the digests, without those that the reader may not see.
    pub async fn revisions(
        &self,
        view: &View,
        digests: &[Digest],
    ) -> Result<Vec<Option<StoredRevision>>, ReadError> {
        self.known(view).await?;
        let found = self.kept.revisions(&*self.store, digests).await?;
        Ok(found.into_iter().map(|one| one.filter(|one| visible(view, one))).collect())
    }

    /// Revisions in the order of the digests, whoever may see them, without those that aren't there.
    pub(crate) async fn held(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        let found = self.kept.revisions(&*self.store, digests).await?;
        Ok(found.into_iter().flatten().collect())
    }

    /// Whether there is a document of which the reader may see revisions.
    pub(crate) async fn has_document(
        &self,
        view: &View,
        document: &DocumentKey,
    ) -> Result<bool, ReadError> {
        let ground = self.store.ground(view, std::slice::from_ref(document)).await?;
        Ok(ground.heads.contains_key(document))
    }
}

/// Whether the heads after these are all of later kinds.
fn past(kind: Option<DocumentKind>, heads: &[Head]) -> bool {
    let last = heads.last().map(|head| head.reference.key.kind.as_str());
    kind.zip(last).is_some_and(|(kind, last)| last > kind.as_str())
}

fn visible(view: &View, revision: &StoredRevision) -> bool {
    match view {
        View::Whole => true,
        View::Site(site) => revision.is_visible_to(site),
    }
}
