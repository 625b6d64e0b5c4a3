//! A hub's store.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;

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
use tokio::sync::watch;

mod access;
mod acks;
mod append;
mod audience;
mod audit;
mod compact;
mod deviations;
mod drafts;
mod feed;
mod lots;
mod release;
mod revisions;
mod sites;
pub(crate) mod state;
mod trust;
mod withdraw;

use crate::config::PostgresConfig;
use crate::database::Database;
use crate::fault::Fault;
use crate::follow::{Follower, News};

/// A hub's store in a PostgreSQL database, which other hubs may have open too.
#[derive(Debug)]
pub struct PostgresHub {
    database: Database,
    news: News,
    _follower: Follower,
}

impl PostgresHub {
    /// Opens a hub's store by a URL such as `postgres://hub@db.example/chablon`, whose tables are up
    /// to date ([`migrate`](crate::migrate)). Where it was never opened before it begins, with a new
    /// epoch.
    ///
    /// The URL may carry the parameters of libpq, such as `sslmode` and `sslrootcert`. It is never
    /// logged, for it may carry a password.
    ///
    /// # Errors
    /// [`HubError::Unavailable`] with the reason, [`HubError::Damaged`].
    pub async fn open(
        url: &str,
        config: &PostgresConfig,
        new_epoch: impl FnOnce() -> Epoch,
    ) -> Result<Self, HubError> {
        let database = Database::open(url, config).await.map_err(Fault::from)?;
        let FeedState { epoch, position, .. } = state::begin(&database, new_epoch).await?;
        tracing::info!(%epoch, position, "opened the hub's store");
        let news = News::new(position);
        let follower = Follower::start(&database, &news, config.poll_every);
        Ok(Self { database, news, _follower: follower })
    }

    /// Opens a database that was restored from a backup, under a new epoch: kitchens may have seen
    /// entries that the backup never had, and must be told that positions got another meaning. Do so
    /// once, before any hub opens it.
    ///
    /// # Errors
    /// As [`PostgresHub::open`].
    pub async fn open_restored(
        url: &str,
        config: &PostgresConfig,
        new_epoch: Epoch,
    ) -> Result<Self, HubError> {
        let hub = Self::open(url, config, || new_epoch.clone()).await?;
        hub.database.change(new_epoch, state::renew_epoch).await?;
        Ok(hub)
    }

    /// Waits for changes under way and closes the connections.
    pub async fn close(&self) {
        self.database.close().await;
    }

    fn note(&self, committed: Committed) -> Committed {
        self.news.note(committed.last_position);
        committed
    }
}

#[async_trait]
impl HubStore for PostgresHub {
    async fn state(&self) -> Result<FeedState, HubError> {
        Ok(self.database.reading(|| state::state(&self.database)).await?)
    }

    async fn release(&self, commit: ReleaseCommit) -> Result<Committed, HubError> {
        check_release(&commit)?;
        Ok(self.note(self.database.change(commit, release::release).await?))
    }

    async fn withdraw(&self, commit: WithdrawalCommit) -> Result<Committed, HubError> {
        check_withdrawal(&commit)?;
        Ok(self.note(self.database.change(commit, withdraw::withdraw).await?))
    }

    async fn compact(&self, compaction: Compaction) -> Result<FeedState, HubError> {
        Ok(self.database.change(compaction, compact::compact).await?)
    }

    async fn ask_deviation(&self, commit: AskCommit) -> Result<(), HubError> {
        check_ask(&commit)?;
        Ok(self.database.change(commit, deviations::ask).await?)
    }

    async fn decide_deviation(&self, commit: DecisionCommit) -> Result<Committed, HubError> {
        check_decision(&commit)?;
        Ok(self.note(self.database.change(commit, deviations::decide).await?))
    }

    async fn deviation(&self, id: &DeviationId) -> Result<Option<StoredDeviation>, HubError> {
        Ok(self.database.reading(|| deviations::one(&self.database, id)).await?)
    }

    async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError> {
        let list = || deviations::list(&self.database, site, after, limit);
        Ok(self.database.reading(list).await?)
    }

    async fn note_lot(&self, commit: LotCommit) -> Result<u64, HubError> {
        Ok(self.database.change(commit, lots::note).await?)
    }

    async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError> {
        let list = || lots::list(&self.database, filter, after, limit);
        Ok(self.database.reading(list).await?)
    }

    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError> {
        Ok(self.database.reading(|| revisions::heads(&self.database, view, after, limit)).await?)
    }

    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError> {
        Ok(self.database.reading(|| revisions::ground(&self.database, view, documents)).await?)
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        Ok(self.database.reading(|| revisions::revisions(&self.database, digests)).await?)
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError> {
        Ok(self.database.reading(|| revisions::closure(&self.database, digests)).await?)
    }

    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError> {
        Ok(self.database.reading(|| feed::page(&self.database, view, after, limit)).await?)
    }

    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError> {
        Ok(self.database.reading(|| feed::history(&self.database, view, key)).await?)
    }

    async fn release_positions(
        &self,
        release: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError> {
        Ok(self.database.reading(|| feed::release_positions(&self.database, release)).await?)
    }

    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError> {
        Ok(self.database.reading(|| sites::one(&self.database, site)).await?)
    }

    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError> {
        Ok(self.database.reading(|| sites::all(&self.database)).await?)
    }

    async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), HubError> {
        Ok(self.database.change(acks, acks::acknowledge).await?)
    }

    async fn acks(&self, filter: &AckFilter) -> Result<Vec<Ack>, HubError> {
        Ok(self.database.reading(|| acks::acks(&self.database, filter)).await?)
    }

    async fn add_root(&self, commit: RootCommit) -> Result<(), HubError> {
        check_root(&commit.root)?;
        Ok(self.database.change(commit, trust::add_root).await?)
    }

    async fn roots(&self, after: u32) -> Result<Vec<RootRecord>, HubError> {
        Ok(self.database.reading(|| trust::roots(self.database.readers(), after)).await?)
    }

    async fn sign_entries(&self, commit: SigningCommit) -> Result<(), HubError> {
        check_signed(&commit.signed)?;
        Ok(self.database.change(commit, trust::sign).await?)
    }

    fn subscribe(&self) -> watch::Receiver<u64> {
        self.news.subscribe()
    }
}
