//! A kitchen's store.

use std::io;
use std::path::{Path, PathBuf};

use async_trait::async_trait;
use chablon_model::{Digest, DocumentKey, Moment, RevisionRef};
use chablon_store::backend::{check_catch_up, check_revisions, check_trusted, check_whole};
use chablon_store::{
    CatchUp, Cursor, FeedEntry, Frozen, HeldRevision, Identity, Integrity, NewHeldRevision,
    Outgoing, ReplicaError, ReplicaStore, Said, Trust,
};
use sqlx::migrate::Migrator;

mod apply;
mod check;
mod entries;
mod identity;
mod outbox;
mod reach;
mod replace;
mod revisions;
mod trust;

use reach::{Pins, Reached};

use crate::database::{Database, in_task};

type Fault = crate::fault::Fault<ReplicaError>;

static MIGRATIONS: Migrator = sqlx::migrate!("../../migrations/sqlite/kitchen");

/// A kitchen's store in an SQLite file.
#[derive(Debug)]
pub struct SqliteReplica {
    database: Database,
    pins: Pins,
}

impl SqliteReplica {
    /// Opens a kitchen's store, and makes it where there is none.
    ///
    /// # Errors
    /// [`ReplicaError::Damaged`] where the file is no store or a broken one,
    /// [`ReplicaError::Unavailable`].
    pub async fn open(path: &Path) -> Result<Self, ReplicaError> {
        let database = Database::open(path, &MIGRATIONS).await.map_err(Fault::from)?;
        tracing::debug!(path = %path.display(), "opened the kitchen's store");
        Ok(Self { database, pins: Pins::default() })
    }

    /// Removes a store that nobody has open, such as a damaged one, to begin anew in its place.
    ///
    /// # Errors
    /// When a file is there and can't be removed.
    pub async fn remove(path: &Path) -> io::Result<()> {
        for ending in ["-wal", "-shm", ""] {
            let mut name = path.as_os_str().to_owned();
            name.push(ending);
            match tokio::fs::remove_file(PathBuf::from(name)).await {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        Ok(())
    }

    /// Waits for changes under way and closes the file.
    pub async fn close(&self) {
        self.database.close().await;
    }

    /// Runs a change in a task of its own.
    async fn change<F>(&self, change: impl FnOnce(Database) -> F) -> Result<(), ReplicaError>
    where
        F: Future<Output = Result<(), Fault>> + Send + 'static,
    {
        let done = in_task(change(self.database.clone())).await.map_err(Fault::from)?;
        Ok(done?)
    }

    /// Revisions never go away, so the steps needn't see one moment.
    async fn reached(&self, digests: &[Digest]) -> Result<Reached, Fault> {
        let mut connection = self.database.readers().acquire().await?;
        self.pins.reached(&mut connection, digests.iter().copied()).await
    }
}

#[async_trait]
impl ReplicaStore for SqliteReplica {
    async fn identity(&self) -> Result<Option<Identity>, ReplicaError> {
        Ok(identity::identity(&self.database).await?)
    }

    async fn enrol(&self, identity: Identity) -> Result<(), ReplicaError> {
        self.change(|database| async move { identity::enrol(&database, identity).await }).await
    }

    async fn trust(&self) -> Result<Option<Trust>, ReplicaError> {
        Ok(trust::trust(&self.database).await?)
    }

    async fn trust_root(&self, version: u32, root: Frozen) -> Result<(), ReplicaError> {
        check_trusted(version, &root)?;
        let change = |database| async move { trust::trust_root(&database, version, &root).await };
        self.change(change).await
    }

    async fn cursor(&self) -> Result<Option<Cursor>, ReplicaError> {
        Ok(identity::cursor(self.database.readers()).await?)
    }

    async fn last_contact(&self) -> Result<Option<Moment>, ReplicaError> {
        Ok(identity::last_contact(&self.database).await?)
    }

    async fn caught_up(&self, at: Moment) -> Result<(), ReplicaError> {
        self.change(|database| async move { identity::caught_up(&database, at).await }).await
    }

    async fn missing(&self, digests: &[Digest]) -> Result<Vec<Digest>, ReplicaError> {
        Ok(self.reached(digests).await?.missing)
    }

    async fn put_revisions(&self, revisions: Vec<NewHeldRevision>) -> Result<(), ReplicaError> {
        check_revisions(&revisions)?;
        let pins = self.pins.clone();
        let change = |database| async move { revisions::put(&database, &pins, &revisions).await };
        self.change(change).await
    }

    async fn apply(&self, catch_up: CatchUp) -> Result<(), ReplicaError> {
        check_catch_up(&catch_up)?;
        let pins = self.pins.clone();
        let change = |database| async move { apply::apply(&database, &pins, &catch_up).await };
        self.change(change).await
    }

    async fn replace(&self, whole: CatchUp) -> Result<(), ReplicaError> {
        check_catch_up(&whole)?;
        check_whole(&whole)?;
        let pins = self.pins.clone();
        let change = |database| async move { replace::replace(&database, &pins, &whole).await };
        self.change(change).await
    }

    async fn entries(&self) -> Result<Vec<FeedEntry>, ReplicaError> {
        Ok(entries::entries(self.database.readers()).await?)
    }

    async fn history(&self, key: &DocumentKey) -> Result<Vec<FeedEntry>, ReplicaError> {
        Ok(entries::history(&self.database, key).await?)
    }

    async fn revision(&self, digest: Digest) -> Result<Option<HeldRevision>, ReplicaError> {
        Ok(revisions::revisions(&self.database, &[digest]).await?.pop())
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<HeldRevision>, ReplicaError> {
        Ok(revisions::revisions(&self.database, digests).await?)
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, ReplicaError> {
        let held = self.reached(digests).await?.held;
        Ok(revisions::references(&self.database, &held).await?)
    }

    async fn say(&self, said: Said) -> Result<(), ReplicaError> {
        self.change(|database| async move { outbox::say(&database, said).await }).await
    }

    async fn outbox(&self, limit: usize) -> Result<Vec<Outgoing>, ReplicaError> {
        Ok(outbox::unsent(&self.database, limit).await?)
    }

    async fn outbox_sent(&self, ids: &[u64]) -> Result<(), ReplicaError> {
        let ids = ids.to_vec();
        self.change(|database| async move { outbox::sent(&database, &ids).await }).await
    }

    async fn said(&self) -> Result<Vec<Said>, ReplicaError> {
        Ok(outbox::said(&self.database).await?)
    }

    async fn check(&self) -> Result<Integrity, ReplicaError> {
        Ok(check::check(&self.database).await?)
    }
}
