//! A kitchen's store in memory.

use std::sync::Mutex;

use async_trait::async_trait;
use chablon_model::{Digest, DocumentKey, Moment, RevisionRef};

mod check;
mod state;
mod write;

use state::State;

use super::{lock, pick};
use crate::backend::{check_catch_up, check_revisions, check_trusted, check_whole};
use crate::{
    CatchUp, Cursor, FeedEntry, Frozen, HeldRevision, Identity, Integrity, NewHeldRevision,
    Outgoing, ReplicaError, ReplicaStore, Said, Trust,
};

/// A kitchen's store in memory.
#[derive(Debug, Default)]
pub struct MemoryReplica {
    state: Mutex<State>,
}

impl MemoryReplica {
    /// An empty store.
    pub fn new() -> Self {
        Self::default()
    }
}

#[async_trait]
impl ReplicaStore for MemoryReplica {
    async fn identity(&self) -> Result<Option<Identity>, ReplicaError> {
        Ok(lock(&self.state).identity.clone())
    }

    async fn enrol(&self, identity: Identity) -> Result<(), ReplicaError> {
        lock(&self.state).enrol(identity)
    }

    async fn trust(&self) -> Result<Option<Trust>, ReplicaError> {
        Ok(lock(&self.state).trust.clone())
    }

    async fn trust_root(&self, version: u32, root: Frozen) -> Result<(), ReplicaError> {
        check_trusted(version, &root)?;
        lock(&self.state).trust_root(version, root)
    }

    async fn cursor(&self) -> Result<Option<Cursor>, ReplicaError> {
        Ok(lock(&self.state).cursor.clone())
    }

    async fn last_contact(&self) -> Result<Option<Moment>, ReplicaError> {
        Ok(lock(&self.state).last_contact)
    }

    async fn caught_up(&self, at: Moment) -> Result<(), ReplicaError> {
        lock(&self.state).caught_up(at)
    }

    async fn missing(&self, digests: &[Digest]) -> Result<Vec<Digest>, ReplicaError> {
        Ok(lock(&self.state).missing(digests.iter().copied()))
    }

    async fn put_revisions(&self, revisions: Vec<NewHeldRevision>) -> Result<(), ReplicaError> {
        check_revisions(&revisions)?;
        lock(&self.state).put_revisions(revisions);
        Ok(())
    }

    async fn apply(&self, catch_up: CatchUp) -> Result<(), ReplicaError> {
        check_catch_up(&catch_up)?;
        lock(&self.state).apply(&catch_up)
    }

    async fn replace(&self, whole: CatchUp) -> Result<(), ReplicaError> {
        check_catch_up(&whole)?;
        check_whole(&whole)?;
        lock(&self.state).replace(&whole)
    }

    async fn entries(&self) -> Result<Vec<FeedEntry>, ReplicaError> {
        Ok(lock(&self.state).entries.values().map(|row| row.entry.clone()).collect())
    }

    async fn history(&self, key: &DocumentKey) -> Result<Vec<FeedEntry>, ReplicaError> {
        let state = lock(&self.state);
        let rows = state.entries.values().filter(|row| row.documents.contains(key));
        Ok(rows.map(|row| row.entry.clone()).collect())
    }

    async fn revision(&self, digest: Digest) -> Result<Option<HeldRevision>, ReplicaError> {
        Ok(lock(&self.state).revisions.get(&digest).map(|row| row.held.clone()))
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<HeldRevision>, ReplicaError> {
        Ok(pick(&lock(&self.state).revisions, digests, |row| row.held.clone()))
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, ReplicaError> {
        Ok(lock(&self.state).closure(digests))
    }

    async fn say(&self, said: Said) -> Result<(), ReplicaError> {
        lock(&self.state).say(said)
    }

    async fn outbox(&self, limit: usize) -> Result<Vec<Outgoing>, ReplicaError> {
        Ok(lock(&self.state).outbox(limit))
    }

    async fn outbox_sent(&self, ids: &[u64]) -> Result<(), ReplicaError> {
        lock(&self.state).outbox_sent(ids);
        Ok(())
    }

    async fn said(&self) -> Result<Vec<Said>, ReplicaError> {
        Ok(lock(&self.state).said())
    }

    async fn check(&self) -> Result<Integrity, ReplicaError> {
        lock(&self.state).check()
    }
}
