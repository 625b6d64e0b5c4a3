//! A hub's store.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;
use std::path::Path;
use std::sync::Arc;

use async_trait::async_trait;
use chablon_model::{DeviationId, Digest, DocumentKey, ReleaseId, RevisionRef, SiteId, View};
use chablon_store::backend::{
    check_ask, check_decision, check_release, check_root, check_signed, check_withdrawal,
};
use chablon_store::{
    Ack, AckFilter, AskCommit, Committed, Compaction, DecisionCommit, Epoch, FeedEntry, FeedState,
    Ground, Head, HubError, HubStore, LotCommit, LotFilter, Page, ReleaseCommit, RootCommit,
    RootRecord, SigningCommit, SiteRecord, StoredDeviation, StoredLotNote, StoredRevision,
    WithdrawalCommit,
};
use sqlx::migrate::Migrator;
use tokio::sync::watch;

mod access;
mod acks;
mod append;
mod audit;
mod compact;
mod deviations;
mod drafts;
mod feed;
mod lots;
mod release;
mod revisions;
mod sites;
mod state;
mod trust;
mod withdraw;
mod writer;

use writer::Writer;

use crate::backup::{BackupError, back_up};
use crate::database::Database;

type Fault = crate::fault::Fault<HubError>;

static MIGRATIONS: Migrator = sqlx::migrate!("../../migrations/sqlite/hub");

/// A hub's store in an SQLite file.
#[derive(Debug)]
pub struct SqliteHub {
    database: Database,
    writer: Arc<Writer>,
    committed: watch::Sender<u64>,
}

impl SqliteHub {
    /// Opens a hub's store. Where there is none it is made, with a new epoch.
    ///
    /// # Errors
    /// [`HubError::Damaged`] where the file is no store or a broken one, [`HubError::Unavailable`].
    pub async fn open(path: &Path, new_epoch: impl FnOnce() -> Epoch) -> Result<Self, HubError> {
        let database = Database::open(path, &MIGRATIONS).await.map_err(Fault::from)?;
        let FeedState { epoch, position, .. } = state::begin(&database, new_epoch).await?;
        tracing::info!(path = %path.display(), %epoch, position, "opened the hub's store");
        let writer = Writer::new(database.clone());
        Ok(Self { database, writer, committed: watch::Sender::new(position) })
    }

    /// Opens a copy that was restored from a backup, under a new epoch: kitchens may have seen
    /// entries that the copy never had, and must be told that positions got another meaning.
    ///
    /// # Errors
    /// As [`SqliteHub::open`].
    pub async fn open_restored(path: &Path, new_epoch: Epoch) -> Result<Self, HubError> {
        let hub = Self::open(path, || new_epoch.clone()).await?;
        state::renew_epoch(&hub.database, &new_epoch).await?;
        Ok(hub)
    }

    /// Writes a copy of the store, as of one moment, to a file that must not exist yet. Work goes
    /// on meanwhile.
    ///
    /// # Errors
    /// [`BackupError`]; there is then no file of that name.
    pub async fn backup_to(&self, path: &Path) -> Result<(), BackupError> {
        back_up(self.database.readers(), path).await
    }

    /// Waits for changes under way and closes the file.
    pub async fn close(&self) {
        self.database.close().await;
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
impl HubStore for SqliteHub {
    async fn state(&self) -> Result<FeedState, HubError> {
        Ok(state::state(&self.database).await?)
    }

    async fn release(&self, commit: ReleaseCommit) -> Result<Committed, HubError> {
        check_release(&commit)?;
        let made = self.writer.change(commit, |tx, commit| Box::pin(release::release(tx, commit)));
        Ok(self.note(made.await?))
    }

    async fn withdraw(&self, commit: WithdrawalCommit) -> Result<Committed, HubError> {
        check_withdrawal(&commit)?;
        let made =
            self.writer.change(commit, |tx, commit| Box::pin(withdraw::withdraw(tx, commit)));
        Ok(self.note(made.await?))
    }

    async fn compact(&self, compaction: Compaction) -> Result<FeedState, HubError> {
        Ok(self
            .writer
            .change(compaction, |tx, compaction| Box::pin(compact::compact(tx, compaction)))
            .await?)
    }

    async fn ask_deviation(&self, commit: AskCommit) -> Result<(), HubError> {
        check_ask(&commit)?;
        Ok(self.writer.change(commit, |tx, commit| Box::pin(deviations::ask(tx, commit))).await?)
    }

    async fn decide_deviation(&self, commit: DecisionCommit) -> Result<Committed, HubError> {
        check_decision(&commit)?;
        let made =
            self.writer.change(commit, |tx, commit| Box::pin(deviations::decide(tx, commit)));
        Ok(self.note(made.await?))
    }

    async fn deviation(&self, id: &DeviationId) -> Result<Option<StoredDeviation>, HubError> {
        Ok(deviations::one(&self.database, id).await?)
    }

    async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError> {
        Ok(deviations::list(&self.database, site, after, limit).await?)
    }

    async fn note_lot(&self, commit: LotCommit) -> Result<u64, HubError> {
        Ok(self.writer.change(commit, |tx, commit| Box::pin(lots::note(tx, commit))).await?)
    }

    async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError> {
        Ok(lots::list(&self.database, filter, after, limit).await?)
    }

    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError> {
        Ok(revisions::heads(&self.database, view, after, limit).await?)
    }

    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError> {
        Ok(revisions::ground(&self.database, view, documents).await?)
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        Ok(revisions::revisions(&self.database, digests).await?)
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError> {
        Ok(revisions::closure(&self.database, digests).await?)
    }

    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError> {
        Ok(feed::page(&self.database, view, after, limit).await?)
    }

    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError> {
        Ok(feed::history(&self.database, view, key).await?)
    }

    async fn release_positions(
        &self,
        release: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError> {
        Ok(feed::release_positions(&self.database, release).await?)
    }

    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError> {
        let mut tx = self.database.read().await.map_err(Fault::from)?;
        Ok(sites::site(&mut tx, site).await?)
    }

    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError> {
        Ok(sites::sites(&self.database).await?)
    }

    async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), HubError> {
        Ok(self.writer.change(acks, |tx, acks| Box::pin(acks::acknowledge(tx, acks))).await?)
    }

    async fn acks(&self, filter: &AckFilter) -> Result<Vec<Ack>, HubError> {
        Ok(acks::acks(&self.database, filter).await?)
    }

    async fn add_root(&self, commit: RootCommit) -> Result<(), HubError> {
        check_root(&commit.root)?;
        Ok(self.writer.change(commit, |tx, commit| Box::pin(trust::add_root(tx, commit))).await?)
    }

    async fn roots(&self, after: u32) -> Result<Vec<RootRecord>, HubError> {
        Ok(trust::roots(self.database.readers(), after).await?)
    }

    async fn sign_entries(&self, commit: SigningCommit) -> Result<(), HubError> {
        check_signed(&commit.signed)?;
        Ok(self.writer.change(commit, |tx, commit| Box::pin(trust::sign(tx, commit))).await?)
    }

    fn subscribe(&self) -> watch::Receiver<u64> {
        self.committed.subscribe()
    }
}
