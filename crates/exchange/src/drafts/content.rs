//! What a draft holds, read and whole in itself.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{DocumentKey, Revision, RevisionRef};
use chablon_store::Frozen;
use chablon_wire::{At, DraftContent, MAX_DRAFT_BYTES, Violation, decode_revision};

use crate::bodies::{BodyError, bounded, item, read_all};

/// What the fields of a draft's content are called.
const REVISIONS: &str = "content.revisions";

/// The revisions that a draft proposes, with what they say.
#[derive(Clone, Debug)]
pub(crate) struct Proposal {
    pub(crate) revisions: Vec<(RevisionRef, Revision, Frozen)>,
}

impl Proposal {
    /// Reads what a draft holds. Each document is there once, and each revision follows the one in
    /// the base and pins what the base names or the draft holds.
    pub(crate) fn read(content: &DraftContent) -> Result<Self, BodyError> {
        let size = content.revisions.iter().map(|(bytes, _)| bytes.len()).sum();
        bounded(REVISIONS, size, MAX_DRAFT_BYTES)?;
        let frozen = |(bytes, digest): &(_, _)| Frozen::stated(*digest, Clone::clone(bytes));
        let frozen: Vec<Frozen> = content.revisions.iter().map(frozen).collect();
        let said = read_all(REVISIONS, &frozen, decode_revision)?;
        let of = |(frozen, revision): (Frozen, Revision)| {
            let (key, number) = (revision.content.key(), revision.number);
            (RevisionRef { key, number, digest: frozen.digest }, revision, frozen)
        };
        let proposal = Self { revisions: frozen.into_iter().zip(said).map(of).collect() };
        proposal.check(&content.base)?;
        Ok(proposal)
    }

    fn check(&self, base: &[RevisionRef]) -> Result<(), BodyError> {
        let base: BTreeMap<&DocumentKey, &RevisionRef> =
            base.iter().map(|one| (&one.key, one)).collect();
        let own: BTreeSet<&RevisionRef> = self.revisions.iter().map(|(one, ..)| one).collect();
        let mut seen = BTreeSet::new();
        let mut violations = Vec::new();
        for (index, (reference, revision, _)) in self.revisions.iter().enumerate() {
            let mut refuse = |reason: String, at: &str| {
                violations.push(Violation::new(reason).at(at).at(&item(REVISIONS, index)));
            };
            if !seen.insert(&reference.key) {
                refuse(format!("`{}` is there twice", reference.key), "id");
            }
            let expected = base.get(&reference.key).map_or(1, |before| before.number + 1);
            if reference.number != expected {
                let found = reference.number;
                refuse(format!("follows the base with number {expected}, not {found}"), "number");
            }
            let known = |pin: &RevisionRef| {
                own.contains(pin) || base.get(&pin.key).is_some_and(|named| *named == pin)
            };
            for (place, pin) in revision.pins.iter().enumerate().filter(|(_, pin)| !known(pin)) {
                let reason = format!("`{}` is neither in the base nor in the draft", pin.key);
                refuse(reason, &item("pins", place));
            }
        }
        if violations.is_empty() {
            return Ok(());
        }
        Err(BodyError::Invalid { revision: None, violations })
    }

    /// The proposed revision of a document.
    pub(crate) fn of(&self, key: &DocumentKey) -> Option<&RevisionRef> {
        self.revisions.iter().map(|(one, ..)| one).find(|one| one.key == *key)
    }
}
