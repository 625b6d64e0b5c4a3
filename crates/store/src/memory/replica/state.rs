//! What the store holds.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chablon_model::{Digest, DocumentKey, Moment, RevisionRef};

use crate::backend::Spoken;
use crate::memory::reach;
use crate::{Cursor, FeedEntry, HeldRevision, Identity, Outgoing, Said, Trust};

#[derive(Debug, Default)]
pub(super) struct State {
    pub(super) identity: Option<Identity>,
    pub(super) cursor: Option<Cursor>,
    pub(super) last_contact: Option<Moment>,
    pub(super) trust: Option<Trust>,
    /// When the kept checkpoint was made.
    pub(super) checkpoint_at: Option<Moment>,
    pub(super) revisions: HashMap<Digest, RevisionRow>,
    pub(super) entries: BTreeMap<u64, EntryRow>,
    /// By an id that is never used twice.
    pub(super) spoken: BTreeMap<u64, Spoken>,
    pub(super) last_id: u64,
}

#[derive(Debug)]
pub(super) struct RevisionRow {
    pub(super) held: HeldRevision,
    pub(super) pins: Vec<Digest>,
}

#[derive(Debug)]
pub(super) struct EntryRow {
    pub(super) entry: FeedEntry,
    pub(super) documents: BTreeSet<DocumentKey>,
    pub(super) needs: BTreeSet<Digest>,
}

impl State {
    pub(super) fn missing(&self, from: impl IntoIterator<Item = Digest>) -> Vec<Digest> {
        let mut reached = self.reach(from);
        reached.retain(|digest| !self.revisions.contains_key(digest));
        reached.into_iter().collect()
    }

    pub(super) fn closure(&self, from: &[Digest]) -> Vec<RevisionRef> {
        let reached = self.reach(from.iter().copied());
        let rows = reached.iter().filter_map(|digest| self.revisions.get(digest));
        let mut found: Vec<_> = rows.map(|row| row.held.reference.clone()).collect();
        found.sort();
        found
    }

    pub(super) fn outbox(&self, limit: usize) -> Vec<Outgoing> {
        let unsent = self.spoken.iter().filter(|(_, spoken)| !spoken.sent);
        unsent
            .map(|(id, Spoken { said, body_digest, .. })| Outgoing {
                id: *id,
                said: said.clone(),
                body_digest: *body_digest,
            })
            .take(limit)
            .collect()
    }

    pub(super) fn said(&self) -> Vec<Said> {
        let mut said: Vec<Said> = self.spoken.values().map(|spoken| spoken.said.clone()).collect();
        said.sort_by_key(|said| (said.position, said.statement));
        said
    }

    fn reach(&self, from: impl IntoIterator<Item = Digest>) -> BTreeSet<Digest> {
        reach(from, |digest| Some(self.revisions.get(digest)?.pins.as_slice()))
    }
}
