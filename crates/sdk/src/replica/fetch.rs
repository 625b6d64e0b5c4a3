//! Fetching what entries need.

use std::collections::{BTreeSet, HashMap, HashSet, VecDeque};
use std::sync::Arc;

use chablon_model::{Digest, EntryBody, NextStep, RevisionRef};
use chablon_store::backend::needs;
use chablon_store::{NewHeldRevision, ReplicaStore};
use futures::TryStreamExt as _;
use tokio::task::{JoinHandle, spawn_blocking};
use tracing::Instrument as _;

use super::sync::{Progress, Sync};
use crate::error::Kind;
use crate::task::joined;
use crate::transport::pins_of_unsupported;
use crate::{Change, Error, FrozenRevision};

/// After how many bytes what came is stored: so much at most is fetched again after a kill.
const STORE_AFTER_BYTES: usize = 1 << 20;

/// The same of the first batch: until it has come nothing can be stored.
const FIRST_BYTES: usize = 256 << 10;

/// How many batches are read and stored at a time: one is read while another is stored.
const BATCHES_AT_ONCE: usize = 2;

/// After how many bytes what came is read, while more comes.
const READ_AFTER_BYTES: usize = 128 << 10;

/// Revisions that are being read in a task of their own.
type Reading = JoinHandle<Result<Vec<NewHeldRevision>, Error>>;

/// Revisions that came and are to be stored.
#[derive(Default)]
struct Batch {
    unread: Vec<FrozenRevision>,
    unread_bytes: usize,
    reading: Vec<Reading>,
    count: u64,
    bytes: usize,
}

impl Batch {
    fn push(&mut self, revision: FrozenRevision) {
        let bytes = revision.bytes().len();
        (self.count, self.bytes) = (self.count + 1, self.bytes + bytes);
        self.unread_bytes += bytes;
        self.unread.push(revision);
        if self.unread_bytes >= READ_AFTER_BYTES {
            self.read();
        }
    }

    fn read(&mut self) {
        let unread = std::mem::take(&mut self.unread);
        self.unread_bytes = 0;
        self.reading.push(spawn_blocking(move || unread.iter().map(held).collect()));
    }

    /// Reads the rest and stores all in a task of its own, while more is on the way.
    fn store(mut self, store: Arc<dyn ReplicaStore>) -> Storing {
        self.read();
        let Self { reading, count, bytes, .. } = self;
        Storing(tokio::spawn(
            async move {
                let mut revisions = Vec::new();
                for some in reading {
                    revisions.extend(joined(some).await?);
                }
                let came = Came::of(&revisions);
                store.put_revisions(revisions).await.map_err(Error::of_store)?;
                Ok(Stored { came, count, bytes: bytes as u64 })
            }
            .in_current_span(),
        ))
    }
}

/// A batch that is being stored.
struct Storing(JoinHandle<Result<Stored, Error>>);

impl Storing {
    async fn done(self) -> Result<Stored, Error> {
        joined(self.0).await
    }
}

/// A batch that is held from here on.
struct Stored {
    came: Came,
    count: u64,
    bytes: u64,
}

/// What came: the names that the bytes give, and the digests of what they use.
#[derive(Default)]
struct Came {
    named: HashMap<Digest, RevisionRef>,
    uses: HashSet<Digest>,
}

impl Came {
    fn of(revisions: &[NewHeldRevision]) -> Self {
        let references = revisions.iter().map(|revision| &revision.reference);
        let pins = revisions.iter().flat_map(|revision| &revision.pins);
        Self {
            named: references.map(|one| (one.digest, one.clone())).collect(),
            uses: pins.map(|pin| pin.digest).collect(),
        }
    }

    fn add(&mut self, more: Self) {
        self.named.extend(more.named);
        self.uses.extend(more.uses);
    }

    /// What is used and didn't come itself, sorted. It may be held from before.
    fn open_ends(&mut self) -> Vec<Digest> {
        let uses = std::mem::take(&mut self.uses);
        let open = uses.into_iter().filter(|digest| !self.named.contains_key(digest));
        open.collect::<BTreeSet<_>>().into_iter().collect()
    }
}

impl<P: FnMut(&Progress) + Send> Sync<'_, P> {
    /// Fetches and stores what the entries need and isn't held, with all that it uses.
    pub(super) async fn fetch_for(&mut self, entries: &[Change]) -> Result<(), Error> {
        let body = |entry: &Change| entry.bytes.len() as u64;
        self.progress.bytes += entries.iter().map(body).sum::<u64>();
        let needed: BTreeSet<Digest> =
            entries.iter().flat_map(|entry| needs(&entry.says)).collect();
        let mut came = Came::default();
        // Only what came can lead to more, so what is held isn't gone through again.
        let mut wanted: Vec<Digest> = needed.iter().copied().collect();
        while !wanted.is_empty() {
            let missing = self.replica.store.missing(&wanted).await.map_err(Error::of_store)?;
            if missing.is_empty() {
                break;
            }
            self.fetch(missing, &mut came).await?;
            wanted = came.open_ends();
        }
        self.check_names(entries, needed, &came).await
    }

    async fn fetch(&mut self, digests: Vec<Digest>, came: &mut Came) -> Result<(), Error> {
        self.progress.revisions_to_fetch = digests.len() as u64;
        self.tell();
        let mut revisions = self.source.revisions(&self.view, digests);
        let (mut batch, mut storing) = (Batch::default(), VecDeque::new());
        let mut full_at = FIRST_BYTES;
        while let Some(revision) = revisions.try_next().await? {
            batch.push(revision);
            if batch.bytes >= full_at {
                full_at = STORE_AFTER_BYTES;
                if storing.len() == BATCHES_AT_ONCE {
                    self.stored(storing.pop_front(), came).await?;
                }
                let full = std::mem::take(&mut batch);
                storing.push_back(full.store(Arc::clone(&self.replica.store)));
            }
        }
        storing.push_back(batch.store(Arc::clone(&self.replica.store)));
        while !storing.is_empty() {
            self.stored(storing.pop_front(), came).await?;
        }
        Ok(())
    }

    /// Waits until a batch is stored, and tells.
    async fn stored(&mut self, batch: Option<Storing>, came: &mut Came) -> Result<(), Error> {
        let Some(batch) = batch else { return Ok(()) };
        let stored = batch.done().await?;
        came.add(stored.came);
        self.progress.revisions += stored.count;
        self.progress.revisions_to_fetch =
            self.progress.revisions_to_fetch.saturating_sub(stored.count);
        self.progress.bytes += stored.bytes;
        self.tell();
        Ok(())
    }

    /// Whether the entries call the revisions what their own bytes call them.
    async fn check_names(
        &self,
        entries: &[Change],
        needed: BTreeSet<Digest>,
        came: &Came,
    ) -> Result<(), Error> {
        let before: Vec<Digest> =
            needed.into_iter().filter(|digest| !came.named.contains_key(digest)).collect();
        let held = match before[..] {
            [] => Vec::new(),
            _ => self.replica.store.closure(&before).await.map_err(Error::of_store)?,
        };
        let held: HashMap<Digest, &RevisionRef> =
            held.iter().chain(came.named.values()).map(|one| (one.digest, one)).collect();
        let other = |named: &&RevisionRef| held.get(&named.digest) != Some(named);
        for entry in entries {
            if let Some(other) = named(&entry.says).find(other) {
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
