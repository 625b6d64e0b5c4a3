//! Which documents get a new revision, and which.

use std::collections::BTreeMap;

use chablon_model::{Digest, DocumentContent, DocumentKey, DocumentKind, Revision, RevisionRef};
use chablon_wire::{decode_revision, encode_revision};

use super::draft::Fate;
use super::order::{Documents, in_order, index, ready};
use crate::error::Kind;
use crate::{Error, FrozenRevision};

/// The latest revision of a document that a hub has.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Head {
    /// Which one it is.
    pub reference: RevisionRef,
    /// What it says, where that is known.
    pub revision: Option<Revision>,
}

/// The latest revisions that a hub has, by document.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heads(BTreeMap<DocumentKey, Head>);

impl Heads {
    /// The latest revisions, by reference alone.
    pub fn new(references: impl IntoIterator<Item = RevisionRef>) -> Self {
        let head =
            |reference: RevisionRef| (reference.key.clone(), Head { reference, revision: None });
        Self(references.into_iter().map(head).collect())
    }

    /// Adds what a latest revision says. Others are passed over.
    ///
    /// # Errors
    /// [`Error::is_unsupported`] where something newer wrote it: an older program must not
    /// overwrite what it can't read.
    pub fn add(&mut self, frozen: &FrozenRevision) -> Result<(), Error> {
        let reference = frozen.reference();
        if let Some(head) =
            self.0.get_mut(&reference.key).filter(|head| head.reference == *reference)
        {
            head.revision = Some(frozen.read()?);
        }
        Ok(())
    }

    /// The latest revision of a document.
    pub fn get(&self, key: &DocumentKey) -> Option<&Head> {
        self.0.get(key)
    }

    /// The latest revisions whose content must be known before a draft can be made of these
    /// documents: those that would be followed by another, and the sites that aren't among these.
    pub fn to_read(&self, documents: &[DocumentContent]) -> Result<Vec<RevisionRef>, Error> {
        let frozen = freeze(&index(documents)?, self)?;
        let renewed = frozen.iter().filter(|frozen| frozen.bytes.is_some());
        let renewed = renewed.filter_map(|frozen| self.0.get(&frozen.reference.key));
        let among = |key: &DocumentKey| frozen.iter().any(|frozen| frozen.reference.key == *key);
        let other_sites = self.0.values().filter(|head| {
            head.reference.key.kind == DocumentKind::Site && !among(&head.reference.key)
        });
        let heads = renewed.chain(other_sites);
        Ok(heads.map(|head| head.reference.clone()).collect())
    }

    /// All, by document.
    pub fn iter(&self) -> impl Iterator<Item = &Head> {
        self.0.values()
    }
}

/// A document with the revision that it has after the release.
#[derive(Clone, Debug)]
pub(super) struct Frozen {
    pub(super) reference: RevisionRef,
    pub(super) fate: Fate,
    /// The new revision's bytes; none where the latest one stays.
    pub(super) bytes: Option<Vec<u8>>,
}

/// Freezes the documents, in order: what is used before what uses it.
pub(super) fn freeze(documents: &Documents<'_>, heads: &Heads) -> Result<Vec<Frozen>, Error> {
    let mut freezer = Freezer { heads, pins: BTreeMap::new() };
    in_order(documents)?.iter().map(|key| freezer.freeze(key, documents[key])).collect()
}

/// The digests that documents would have if they were released for the first time now. What uses
/// something that isn't there, directly or not, has none.
pub(crate) fn first_digests(documents: &Documents<'_>) -> BTreeMap<DocumentKey, Digest> {
    let mut pins: BTreeMap<DocumentKey, RevisionRef> = BTreeMap::new();
    for key in ready(documents) {
        let content = documents[&key];
        let used: Option<Vec<RevisionRef>> =
            content.uses().iter().map(|used| pins.get(used).cloned()).collect();
        if let Some(used) = used {
            let revision = Revision { number: 1, pins: used, content: content.clone() };
            pins.insert(key.clone(), reference(key, &revision, &encode_revision(&revision)));
        }
    }
    pins.into_iter().map(|(key, pin)| (key, pin.digest)).collect()
}

fn reference(key: DocumentKey, revision: &Revision, bytes: &[u8]) -> RevisionRef {
    RevisionRef { key, number: revision.number, digest: chablon_wire::digest(bytes) }
}

struct Freezer<'a> {
    heads: &'a Heads,
    /// The revision of each document that was frozen already.
    pins: BTreeMap<DocumentKey, RevisionRef>,
}

impl Freezer<'_> {
    fn freeze(&mut self, key: &DocumentKey, content: &DocumentContent) -> Result<Frozen, Error> {
        let pins = self.pins_of(key, content)?;
        let head = self.heads.get(key);
        let number = head.map_or(0, |head| head.reference.number);
        let revision = Revision { number, pins, content: content.clone() };
        let frozen = match head {
            Some(head) if stays(head, &revision) => {
                Frozen { reference: head.reference.clone(), fate: Fate::Unchanged, bytes: None }
            }
            _ => renew(key, head, &Revision { number: number + 1, ..revision })?,
        };
        self.pins.insert(key.clone(), frozen.reference.clone());
        Ok(frozen)
    }

    fn pins_of(
        &self,
        key: &DocumentKey,
        content: &DocumentContent,
    ) -> Result<Vec<RevisionRef>, Error> {
        let pin = |used: DocumentKey| {
            let frozen = self.pins.get(&used);
            let elsewhere = || self.heads.get(&used).map(|head| &head.reference);
            frozen.or_else(elsewhere).cloned().ok_or_else(|| {
                let hint = "add it, or correct the name";
                let message = format!(
                    "`{key}` uses `{used}`, which neither the book nor the hub has; {hint}"
                );
                Error::new(Kind::Invalid, message)
            })
        };
        content.uses().into_iter().map(pin).collect()
    }
}

fn renew(key: &DocumentKey, head: Option<&Head>, revision: &Revision) -> Result<Frozen, Error> {
    let bytes = encode_revision(revision);
    // The hub would refuse it, but then with everything else and after it was all sent.
    decode_revision(&bytes)
        .map_err(|error| Error::of_content(&error).while_doing(format_args!("`{key}`")))?;
    let reference = reference(key.clone(), revision, &bytes);
    Ok(Frozen { reference, fate: fate(head, revision), bytes: Some(bytes) })
}

fn fate(head: Option<&Head>, revision: &Revision) -> Fate {
    match head.map(|head| &head.revision) {
        None => Fate::New,
        Some(Some(before)) if before.content == revision.content => {
            let moved = revision.pins.iter().filter(|pin| !before.pins.contains(pin));
            Fate::CarriedAlong { because: moved.map(|pin| pin.key.clone()).collect() }
        }
        Some(_) => Fate::Changed,
    }
}

/// Whether the latest revision says just this.
///
/// Equal revisions have equal bytes, so the digest decides without the hub being asked for what the
/// revision says. Where it was asked, the values decide: another version of the schema may write
/// the same in other bytes.
fn stays(head: &Head, revision: &Revision) -> bool {
    let same_bytes = || chablon_wire::digest(&encode_revision(revision)) == head.reference.digest;
    head.revision.as_ref().map_or_else(same_bytes, |before| before == revision)
}
