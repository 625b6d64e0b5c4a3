//! A hub's store in memory.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;
use std::sync::Mutex;

use async_trait::async_trait;
use chablon_model::{DeviationId, Digest, DocumentKey, ReleaseId, RevisionRef, SiteId, View};
use tokio::sync::watch;

mod access;
mod acks;
mod deviations;
mod drafts;
mod feed;
mod lots;
mod state;
mod trust;
mod write;

use access::Access;
use state::State;

use super::{lock, pick, reach};
use crate::backend::{
    check_ask, check_decision, check_release, check_root, check_signed, check_withdrawal,
};
use crate::{
    Ack, AckFilter, AskCommit, Committed, Compaction, DecisionCommit, Epoch, FeedEntry, FeedState,
    Ground, Head, HubError, HubStore, LotCommit, LotFilter, Page, ReleaseCommit, RootCommit,
    RootRecord, SigningCommit, SiteRecord, StoredDeviation, StoredLotNote, StoredRevision,
    WithdrawalCommit,
};

/// A hub's store in memory.
#[derive(Debug)]
pub struct MemoryHub {
    state: Mutex<State>,
    access: Mutex<Access>,
    committed: watch::Sender<u64>,
}

impl MemoryHub {
    /// An empty store.
    pub fn new(epoch: Epoch) -> Self {
        let (state, access) = (Mutex::new(State::new(epoch)), Mutex::default());
        Self { state, access, committed: watch::Sender::new(0) }
    }

    fn note(&self, committed: Committed) -> Committed {
        self.committed.send_if_modified(|last| {
            let later = committed.last_position > *last;
            *last = committed.last_position.max(*last);
            later
        });
        committed
    }
}

#[async_trait]
impl HubStore for MemoryHub {
    async fn state(&self) -> Result<FeedState, HubError> {
        Ok(lock(&self.state).feed_state())
    }

    async fn release(&self, commit: ReleaseCommit) -> Result<Committed, HubError> {
        check_release(&commit)?;
        let committed = lock(&self.state).release(commit)?;
        Ok(self.note(committed))
    }

    async fn withdraw(&self, commit: WithdrawalCommit) -> Result<Committed, HubError> {
        check_withdrawal(&commit)?;
        let committed = lock(&self.state).withdraw(commit)?;
        Ok(self.note(committed))
    }

    async fn compact(&self, compaction: Compaction) -> Result<FeedState, HubError> {
        lock(&self.state).compact(compaction)
    }

    async fn ask_deviation(&self, commit: AskCommit) -> Result<(), HubError> {
        check_ask(&commit)?;
        lock(&self.state).ask_deviation(&commit)
    }

    async fn decide_deviation(&self, commit: DecisionCommit) -> Result<Committed, HubError> {
        check_decision(&commit)?;
        let committed = lock(&self.state).decide_deviation(commit)?;
        Ok(self.note(committed))
    }

    async fn deviation(&self, id: &DeviationId) -> Result<Option<StoredDeviation>, HubError> {
        Ok(lock(&self.state).deviation(id))
    }

    async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError> {
        Ok(lock(&self.state).deviations(site, after, limit))
    }

    async fn note_lot(&self, commit: LotCommit) -> Result<u64, HubError> {
        lock(&self.state).note_lot(commit)
    }

    async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError> {
        Ok(lock(&self.state).lot_notes(filter, after, limit))
    }

    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError> {
        Ok(lock(&self.state).heads(view, after, limit))
    }

    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError> {
        Ok(lock(&self.state).ground(view, documents))
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        Ok(pick(&lock(&self.state).revisions, digests, |row| row.stored.clone()))
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError> {
        let revisions = &lock(&self.state).revisions;
        let pins = |digest: &Digest| Some(revisions.get(digest)?.pins.as_slice());
        let reached = reach(digests.iter().copied(), pins);
        let mut found: Vec<RevisionRef> = reached
            .iter()
            .filter_map(|digest| Some(revisions.get(digest)?.stored.reference.clone()))
            .collect();
        found.sort();
        Ok(found)
    }

    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError> {
        lock(&self.state).page(view, after, limit)
    }

    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError> {
        lock(&self.state).history(view, key)
    }

    async fn release_positions(
        &self,
        release: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError> {
        Ok(lock(&self.state).releases.get(release).cloned())
    }

    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError> {
        Ok(lock(&self.state).site(site))
    }

    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError> {
        let state = lock(&self.state);
        Ok(state.sites.keys().filter_map(|site| state.site(site)).collect())
    }

    async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), HubError> {
        lock(&self.state).acknowledge(&acks)
    }

    async fn acks(&self, filter: &AckFilter) -> Result<Vec<Ack>, HubError> {
        Ok(lock(&self.state).acks(filter))
    }

    async fn add_root(&self, commit: RootCommit) -> Result<(), HubError> {
        check_root(&commit.root)?;
        lock(&self.state).add_root(commit)
    }

    async fn roots(&self, after: u32) -> Result<Vec<RootRecord>, HubError> {
        Ok(lock(&self.state).roots_after(after))
    }

    async fn sign_entries(&self, commit: SigningCommit) -> Result<(), HubError> {
        check_signed(&commit.signed)?;
        lock(&self.state).sign(&commit)
    }

    fn subscribe(&self) -> watch::Receiver<u64> {
        self.committed.subscribe()
    }
}
