//! Revisions and manifests as bytes, as a chef's machine makes them.

use std::collections::BTreeMap;

use chablon_model::{
    Audience, DocumentContent, DocumentKey, Manifest, Moment, NextStep, Revision, RevisionRef,
    Visibility, Withdrawal,
};
use chablon_wire::{digest, encode_manifest, encode_revision, encode_withdrawal, pb};
use uuid::Uuid;

use crate::TestClock;

/// Frozen bytes as they are sent, with their right digest.
pub fn frozen(bytes: Vec<u8>) -> pb::FrozenBytes {
    let digest = digest(&bytes).0.to_vec().into();
    pb::FrozenBytes { body: bytes.into(), digest, signatures: Vec::new() }
}

/// A revision and its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct FrozenRevision {
    /// Which one it is.
    pub reference: RevisionRef,
    /// What it says.
    pub revision: Revision,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// A part of a release and its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct FrozenPart {
    /// What it says.
    pub manifest: Manifest,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// A release, ready to be sent.
#[derive(Clone, Debug, PartialEq)]
pub struct FrozenRelease {
    /// New revisions.
    pub revisions: Vec<FrozenRevision>,
    /// The parts.
    pub parts: Vec<FrozenPart>,
}

impl FrozenRelease {
    /// The request to make it, under a name of its own.
    pub fn request(&self) -> pb::CreateReleaseRequest {
        pb::CreateReleaseRequest {
            request_id: Uuid::new_v4().to_string(),
            revisions: self.revisions.iter().map(|one| frozen(one.bytes.clone())).collect(),
            parts: self.parts.iter().map(|one| frozen(one.bytes.clone())).collect(),
        }
    }
}

/// Numbers and pins revisions: it remembers the latest of each document.
#[derive(Clone, Debug)]
pub struct Chef {
    latest: BTreeMap<DocumentKey, RevisionRef>,
    /// From when what it releases and withdraws holds.
    pub holds_from: Moment,
    /// The note of its releases.
    pub note: String,
    /// The reason of its withdrawals.
    pub reason: String,
}

impl Default for Chef {
    fn default() -> Self {
        Self::new()
    }
}

impl Chef {
    /// A chef who has released nothing yet, and whose releases hold from the test clock's start.
    pub fn new() -> Self {
        Self {
            latest: BTreeMap::new(),
            holds_from: TestClock::default().now(),
            note: "For the test".to_owned(),
            reason: "Gelatine entered ten times over".to_owned(),
        }
    }

    /// The latest revision of a document.
    ///
    /// # Panics
    /// Where it was never frozen.
    pub fn latest(&self, document: &str) -> &RevisionRef {
        let key = document.parse().expect("a document such as `recipe/choux`");
        &self.latest[&key]
    }

    /// The next revision of a document, which pins the latest of what it uses.
    ///
    /// # Panics
    /// Where something that it uses was never frozen.
    pub fn freeze(&mut self, content: &DocumentContent) -> FrozenRevision {
        let key = content.key();
        let pins = content.uses().iter().map(|used| self.latest[used].clone()).collect();
        let number = self.latest.get(&key).map_or(1, |latest| latest.number + 1);
        let revision = Revision { number, pins, content: content.clone() };
        let bytes = encode_revision(&revision);
        let reference = RevisionRef { key: key.clone(), number, digest: digest(&bytes) };
        self.latest.insert(key, reference.clone());
        FrozenRevision { reference, revision, bytes }
    }

    /// A release of new revisions of these documents: what only one site may see goes to that site
    /// alone, the rest to this audience.
    ///
    /// # Panics
    /// Where something is used that is neither among them nor was frozen before.
    pub fn release(&mut self, documents: &[DocumentContent], audience: &Audience) -> FrozenRelease {
        let revisions = self.freeze_all(documents);
        let mut parts: Vec<(Audience, Vec<RevisionRef>)> = Vec::new();
        for one in &revisions {
            let to = match one.revision.content.visibility() {
                Visibility::Everyone => audience.clone(),
                Visibility::Site(site) => Audience::site(site),
            };
            match parts.iter_mut().find(|(audience, _)| *audience == to) {
                Some((_, items)) => items.push(one.reference.clone()),
                None => parts.push((to, vec![one.reference.clone()])),
            }
        }
        FrozenRelease { revisions, parts: self.manifests(parts) }
    }

    /// A release of revisions that are stored already.
    pub fn release_again(
        &self,
        items: impl IntoIterator<Item = RevisionRef>,
        audience: Audience,
    ) -> FrozenRelease {
        let parts = self.manifests(vec![(audience, items.into_iter().collect())]);
        FrozenRelease { revisions: Vec::new(), parts }
    }

    /// The manifests of a release with these parts.
    pub fn manifests(&self, parts: Vec<(Audience, Vec<RevisionRef>)>) -> Vec<FrozenPart> {
        let release: chablon_model::ReleaseId =
            Uuid::new_v4().to_string().parse().expect("a UUID is an id");
        let part_count = u32::try_from(parts.len()).expect("few parts");
        let manifest = |((audience, mut items), part): ((Audience, Vec<RevisionRef>), u32)| {
            items.sort();
            let manifest = Manifest {
                release: release.clone(),
                part,
                part_count,
                audience,
                holds_from: self.holds_from,
                at_sites: std::collections::BTreeMap::new(),
                items,
                note: self.note.clone(),
                author: "Group pastry chef".to_owned(),
            };
            FrozenPart { bytes: encode_manifest(&manifest), manifest }
        };
        parts.into_iter().zip(1..).map(manifest).collect()
    }

    /// A request to withdraw a revision, under a name of its own.
    pub fn withdrawal(
        &self,
        revision: &RevisionRef,
        next: NextStep,
        audience: Audience,
    ) -> pb::CreateWithdrawalRequest {
        let withdrawal = Withdrawal {
            revision: revision.clone(),
            next,
            audience,
            holds_from: self.holds_from,
            reason: self.reason.clone(),
            author: "Group pastry chef".to_owned(),
        };
        pb::CreateWithdrawalRequest {
            request_id: Uuid::new_v4().to_string(),
            notice: Some(frozen(encode_withdrawal(&withdrawal))),
        }
    }

    /// Freezes what is used before what uses it.
    fn freeze_all(&mut self, documents: &[DocumentContent]) -> Vec<FrozenRevision> {
        let mut waiting: Vec<&DocumentContent> = documents.iter().collect();
        let mut frozen = Vec::new();
        while !waiting.is_empty() {
            let still: Vec<DocumentKey> = waiting.iter().map(|one| one.key()).collect();
            let uses_none = |one: &DocumentContent| {
                one.uses().iter().all(|used| *used == one.key() || !still.contains(used))
            };
            let (ready, blocked): (Vec<_>, Vec<_>) =
                waiting.into_iter().partition(|one| uses_none(one));
            assert!(!ready.is_empty(), "these documents use each other in a loop: {still:?}");
            frozen.extend(ready.into_iter().map(|one| self.freeze(one)));
            waiting = blocked;
        }
        frozen
    }
}
