//! Fetching what entries need.

use std::collections::BTreeSet;

use chablon_model::{Digest, EntryBody, NextStep, RevisionRef};
use chablon_store::NewHeldRevision;
use chablon_store::backend::needs;
use futures::TryStreamExt as _;

use super::sync::{Progress, Sync};
use crate::error::Kind;
use crate::transport::pins_of_unsupported;
use crate::{Change, Error, FrozenRevision};

/// After how many bytes what came is stored: so much at most is fetched again after a kill.
const STORE_AFTER_BYTES: usize = 1 << 20;

impl<P: FnMut(&Progress) + Send> Sync<'_, P> {
    /// Fetches and stores what the entries need and isn't held, with all that it uses.
    pub(super) async fn fetch_for(&mut self, entries: &[Change]) -> Result<(), Error> {
        let body = |entry: &Change| entry.bytes.len() as u64;
        self.progress.bytes += entries.iter().map(body).sum::<u64>();
        let wanted: BTreeSet<Digest> =
            entries.iter().flat_map(|entry| needs(&entry.says)).collect();
        let wanted: Vec<Digest> = wanted.into_iter().collect();
        loop {
            let store = &self.replica.store;
            let missing = store.missing(&wanted).await.map_err(Error::of_store)?;
            if missing.is_empty() {
                break;
            }
            self.fetch(missing).await?;
        }
        self.check_names(entries, &wanted).await
    }

    async fn fetch(&mut self, digests: Vec<Digest>) -> Result<(), Error> {
        self.progress.revisions_to_fetch = digests.len() as u64;
        self.tell();
        let mut revisions = self.source.revisions(&self.view, digests);
        let (mut batch, mut bytes) = (Vec::new(), 0);
        while let Some(frozen) = revisions.try_next().await? {
            bytes += frozen.bytes().len();
            batch.push(held(&frozen)?);
            if bytes >= STORE_AFTER_BYTES {
                self.store(std::mem::take(&mut batch), std::mem::take(&mut bytes)).await?;
            }
        }
        self.store(batch, bytes).await
    }

    async fn store(&mut self, batch: Vec<NewHeldRevision>, bytes: usize) -> Result<(), Error> {
        let count = batch.len() as u64;
        self.replica.store.put_revisions(batch).await.map_err(Error::of_store)?;
        self.progress.revisions += count;
        self.progress.revisions_to_fetch = self.progress.revisions_to_fetch.saturating_sub(count);
        self.progress.bytes += bytes as u64;
        self.tell();
        Ok(())
    }

    /// Whether the entries call the revisions what their own bytes call them.
    async fn check_names(&self, entries: &[Change], digests: &[Digest]) -> Result<(), Error> {
        let held = self.replica.store.closure(digests).await.map_err(Error::of_store)?;
        let held: BTreeSet<&RevisionRef> = held.iter().collect();
        for entry in entries {
            if let Some(other) = named(&entry.says).find(|named| !held.contains(named)) {
                let RevisionRef { key, number, .. } = other;
                let message = format!(
                    "the entry at position {} speaks of revision {number} of `{key}`, but the \
                     bytes are those of another; tell whoever released it",
                    entry.position
                );
                return Err(Error::new(Kind::Damaged, message));
            }
        }
        Ok(())
    }
}

/// The revisions that an entry puts in force or goes back to.
fn named(says: &EntryBody) -> impl Iterator<Item = &RevisionRef> {
    let (items, target) = match says {
        EntryBody::Release(manifest) => (&manifest.items[..], None),
        EntryBody::Withdrawal(withdrawal) => match &withdrawal.next {
            NextStep::GoBackTo(target) => (&[][..], Some(target)),
            NextStep::MakeNone => (&[][..], None),
        },
        EntryBody::Deviation(_) => (&[][..], None),
    };
    items.iter().chain(target)
}

/// A revision to keep: one that can be read, or one that something newer wrote.
fn held(frozen: &FrozenRevision) -> Result<NewHeldRevision, Error> {
    let pins = match frozen.read() {
        Ok(revision) => revision.pins,
        Err(error) if error.is_unsupported() => {
            tracing::warn!(%error, "kept what this program is too old to read");
            pins_of_unsupported(frozen)?
        }
        Err(error) => return Err(error),
    };
    let reference = frozen.reference().clone();
    Ok(NewHeldRevision { reference, bytes: frozen.bytes().clone(), pins })
}

#[cfg(test)]
mod tests {
    use chablon_model::{
        Audience, DocumentContent, EntryBody, Manifest, Moment, Revision, RevisionRef,
    };
    use chablon_store::{CatchUp, Cursor, Frozen, NewEntry, NewHeldRevision};
    use chablon_testkit::sample;

    use super::held;
    use crate::transport::from_a_later_version;
    use crate::{FrozenRevision, Replica};

    /// A recipe that something newer wrote, with what it pins.
    fn newer() -> (FrozenRevision, Vec<RevisionRef>) {
        let content = sample::document("recipe/custard");
        let pin = |key| RevisionRef { key, number: 1, digest: chablon_model::Digest([7; 32]) };
        let pins: Vec<RevisionRef> = content.uses().into_iter().map(pin).collect();
        let revision = Revision { number: 1, pins: pins.clone(), content };
        (frozen(&revision.content, from_a_later_version(&revision)), pins)
    }

    fn frozen(content: &DocumentContent, bytes: bytes::Bytes) -> FrozenRevision {
        let digest = chablon_wire::digest(&bytes);
        let reference = RevisionRef { key: content.key(), number: 1, digest };
        FrozenRevision::checked(reference, bytes).expect("its own digest")
    }

    #[test]
    fn what_something_newer_wrote_is_kept_with_all_that_it_uses() {
        let (newer, pins) = newer();
        let kept = held(&newer).expect("it can be kept");
        assert_eq!((kept.pins, kept.bytes), (pins, newer.bytes().clone()));
    }

    #[tokio::test]
    async fn what_something_newer_wrote_is_not_made_from() {
        let (newer, _) = newer();
        let replica = Replica::in_memory("harbour".parse().unwrap()).await.unwrap();
        // Without its pins, so that nothing else is needed.
        let alone = NewHeldRevision { pins: Vec::new(), ..held(&newer).unwrap() };
        replica.store.put_revisions(vec![alone]).await.unwrap();
        replica.store.apply(release_of(newer.reference())).await.unwrap();
        let refused = replica.standard(&"custard".parse().unwrap(), Moment(0)).await.unwrap_err();
        assert!(refused.is_unsupported(), "{refused:?}");
        let message = refused.to_string();
        assert!(
            message.contains("`recipe/custard`") && message.contains("`deviations`"),
            "{message}"
        );
    }

    fn release_of(item: &RevisionRef) -> CatchUp {
        let manifest = Manifest {
            release: "first".parse().unwrap(),
            part: 1,
            part_count: 1,
            audience: Audience::All,
            holds_from: Moment(0),
            at_sites: std::collections::BTreeMap::new(),
            items: vec![item.clone()],
            note: "First".to_owned(),
            author: "Group pastry chef".to_owned(),
        };
        let entry = NewEntry {
            position: 1,
            previous_position: 0,
            recorded_at: Moment(0),
            body: Frozen::new(chablon_wire::encode_manifest(&manifest)),
            says: EntryBody::Release(manifest),
        };
        let view = chablon_model::Digest([1; 32]);
        let cursor = Cursor { epoch: "test".parse().unwrap(), view, position: 1 };
        CatchUp { entries: vec![entry], cursor, said: Vec::new(), checkpoint: None }
    }
}
