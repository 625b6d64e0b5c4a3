//! A site's standards in one file, for kitchens that no line reaches.

use std::collections::BTreeMap;

use async_trait::async_trait;
use bytes::Bytes;
use chablon_model::{Digest, Moment, RevisionRef, SiteId, View};
use chablon_store::backend::needs;
use chablon_wire::{
    BodyKind, FeedCursor, FeedEntry, decode_bundle, decode_checkpoint, encode_bundle,
};
use futures::stream::BoxStream;
use futures::{StreamExt, TryStreamExt, stream};

use crate::error::Kind;
use crate::hub::Roots;
use crate::replica::Pin;
use crate::replica::source::Source;
use crate::transport::pins_of_unsupported;
use crate::{Change, Changes, Client, Error, FrozenRevision, Reason, Replica, SignedBytes};

/// A site's standards in one file: its view of the feed, every revision that it needs, and what
/// makes them trusted.
///
/// ```text
/// chef's machine: Bundle::of_hub(&client, &site, now) -> to_bytes -> a stick
/// kitchen:        Bundle::from_bytes -> replica.import(&bundle)
/// ```
///
/// A replica that trusts a root takes a bundle by the rules by which it takes what a hub shows; one
/// that trusts none takes it as it takes an unsigned hub. The layout is described in
/// `proto/chablon/v1/bundle.proto`.
#[derive(Clone, Debug)]
pub struct Bundle {
    content: chablon_wire::Bundle,
    changes: Vec<Change>,
    revisions: BTreeMap<Digest, FrozenRevision>,
}

impl Bundle {
    /// Asks a hub for all that a site needs. Where the hub has a root of trust, what it shows is
    /// verified as a kitchen will.
    ///
    /// # Errors
    /// [`Error::untrusted`] where a kitchen would refuse it, and what stands between here and the
    /// hub.
    pub async fn of_hub(client: &Client, site: &SiteId, now: Moment) -> Result<Self, Error> {
        let view = View::Site(site.clone());
        let whole = client.all_changes(&view).await?;
        let Changes { entries: changes, next: cursor, checkpoint, .. } = whole;
        let revisions = revisions(client, &view, &changes).await?;
        let content = chablon_wire::Bundle {
            site: site.clone(),
            cursor,
            written_at: now,
            roots: all_roots(client).await?,
            entries: changes.iter().map(entry).collect(),
            revisions: revisions.values().map(stored).collect(),
            checkpoint,
        };
        let bundle = Self { content, changes, revisions };
        bundle.try_out().await?;
        Ok(bundle)
    }

    /// Takes it in as a kitchen will.
    async fn try_out(&self) -> Result<(), Error> {
        let kitchen = Replica::in_memory(self.content.site.clone()).await?;
        if let Some(root) = self.content.roots.first() {
            kitchen.pin_from(self, &Pin::Root(root.clone())).await?;
        }
        kitchen.import(self).await.map(drop)
    }

    /// Reads a bundle. Every digest in it is compared; signatures are verified by who imports it.
    ///
    /// # Errors
    /// [`Error::is_damaged`] where a byte has changed or it isn't one; [`Error::is_unsupported`] where
    /// something newer wrote it.
    pub fn from_bytes(bytes: impl Into<Bytes>) -> Result<Self, Error> {
        let content = decode_bundle(&bytes.into()).map_err(|error| Error::of_wire(&error))?;
        let changes = content.entries.iter().cloned().map(Change::checked);
        let revisions = content.revisions.iter().map(|(reference, frozen)| {
            let checked = FrozenRevision::checked(reference.clone(), frozen.bytes.clone())?;
            Ok((reference.digest, checked))
        });
        let (changes, revisions) =
            (changes.collect::<Result<_, _>>()?, revisions.collect::<Result<_, Error>>()?);
        Ok(Self { content, changes, revisions })
    }

    /// The bytes of the file.
    pub fn to_bytes(&self) -> Vec<u8> {
        encode_bundle(&self.content)
    }

    /// Whose standards it carries.
    pub fn site(&self) -> &SiteId {
        &self.content.site
    }

    /// The position of the feed up to which it goes.
    pub fn position(&self) -> u64 {
        self.content.cursor.position
    }

    pub(crate) fn epoch(&self) -> &str {
        &self.content.cursor.epoch
    }

    /// When it was written, by the clock of who wrote it.
    pub fn written_at(&self) -> Moment {
        self.content.written_at
    }

    /// Whether it carries a root of trust.
    pub fn is_signed(&self) -> bool {
        !self.content.roots.is_empty()
    }

    /// Trusts a root that the bundle carries, as [`Replica::pin`] does one that a hub shows.
    ///
    /// # Errors
    /// As [`Replica::pin`].
    pub async fn pin(&self, replica: &Replica, pin: &Pin) -> Result<(), Error> {
        replica.pin_from(self, pin).await.map(drop)
    }

    /// Why what comes after a cursor can't be told, if it can't.
    fn refuse(&self, after: &FeedCursor) -> Result<(), Error> {
        let own = &self.content.cursor;
        let anew = |message, reason| {
            Err(Error::new(Kind::Precondition, message).with_reason(Some(reason)))
        };
        if after.epoch != own.epoch {
            return anew("the bundle is of another history", Reason::WrongEpoch);
        }
        if after.position > own.position {
            let message = "the bundle is older than what is held; nothing of it was taken";
            return Err(Error::new(Kind::Precondition, message));
        }
        if after.view != own.view {
            return anew("the kitchen's groups have changed", Reason::ViewChanged);
        }
        // What it says is verified when the bundle is listed anew.
        let vouched = self.content.checkpoint.as_ref();
        let vouched = vouched.and_then(|one| decode_checkpoint(&one.bytes).ok());
        let snapshot = vouched.and_then(|checkpoint| checkpoint.snapshot);
        if after.position > 0 && snapshot.is_some_and(|end| after.position < end.position) {
            return anew("the bundle's view was compacted", Reason::HistoryCompacted);
        }
        Ok(())
    }
}

#[async_trait]
impl Source for Bundle {
    async fn head(&self, _: &View) -> Result<u64, Error> {
        Ok(self.position())
    }

    async fn page(&self, _: &View, after: Option<&FeedCursor>) -> Result<Changes, Error> {
        after.map_or(Ok(()), |after| self.refuse(after))?;
        let from = after.map_or(0, |after| after.position);
        let entries = self.changes.iter().filter(|change| change.position > from).cloned();
        Ok(Changes {
            entries: entries.collect(),
            next: self.content.cursor.clone(),
            more: false,
            checkpoint: self.content.checkpoint.clone(),
        })
    }

    fn revisions(
        &self,
        _: &View,
        digests: Vec<Digest>,
    ) -> BoxStream<'static, Result<FrozenRevision, Error>> {
        let lacks = |digest: &Digest| {
            let message = format!("the bundle lacks revision `{digest}`; have it written anew");
            Error::new(Kind::Damaged, message)
        };
        let found: Vec<Result<FrozenRevision, Error>> = digests
            .iter()
            .map(|digest| self.revisions.get(digest).cloned().ok_or_else(|| lacks(digest)))
            .collect();
        stream::iter(found).boxed()
    }

    async fn roots(&self, after: u32) -> Result<Roots, Error> {
        // They are dense from version 1; a bundle where they aren't leads nowhere.
        let passed = usize::try_from(after).unwrap_or(usize::MAX);
        let roots = self.content.roots.get(passed..).unwrap_or_default().to_vec();
        Ok(Roots { roots, more: false })
    }
}

fn entry(change: &Change) -> FeedEntry {
    let Change { position, previous_position, recorded_at, ref says, .. } = *change;
    let Change { bytes, digest, signatures, .. } = change.clone();
    let body = SignedBytes { bytes, digest, signatures };
    FeedEntry { position, previous_position, recorded_at, kind: BodyKind::of(says), body }
}

fn stored(revision: &FrozenRevision) -> (RevisionRef, SignedBytes) {
    let reference = revision.reference().clone();
    let frozen = SignedBytes::unsigned(revision.bytes().clone(), reference.digest);
    (reference, frozen)
}

async fn all_roots(client: &Client) -> Result<Vec<SignedBytes>, Error> {
    let mut all: Vec<SignedBytes> = Vec::new();
    loop {
        let after = u32::try_from(all.len()).unwrap_or(u32::MAX);
        let Roots { roots, more } = client.roots_after(after).await?;
        if roots.is_empty() {
            return Ok(all);
        }
        all.extend(roots);
        if !more {
            return Ok(all);
        }
    }
}

/// Every revision that entries need, directly or by pins.
async fn revisions(
    client: &Client,
    view: &View,
    changes: &[Change],
) -> Result<BTreeMap<Digest, FrozenRevision>, Error> {
    let mut held: BTreeMap<Digest, FrozenRevision> = BTreeMap::new();
    let mut wanted: Vec<Digest> = changes.iter().flat_map(|change| needs(&change.says)).collect();
    while !wanted.is_empty() {
        let mut fetched = client.revisions(view, std::mem::take(&mut wanted));
        while let Some(revision) = fetched.try_next().await? {
            wanted.extend(pins(&revision)?.iter().map(|pin| pin.digest));
            held.insert(revision.reference().digest, revision);
        }
        wanted.retain(|digest| !held.contains_key(digest));
    }
    Ok(held)
}

fn pins(revision: &FrozenRevision) -> Result<Vec<RevisionRef>, Error> {
    match revision.read() {
        Ok(read) => Ok(read.pins),
        Err(error) if error.is_unsupported() => pins_of_unsupported(revision),
        Err(error) => Err(error),
    }
}
