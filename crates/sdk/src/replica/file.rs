//! Replicas in files.

use std::path::Path;
use std::sync::Arc;

use chablon_model::SiteId;
use chablon_store::{ReplicaStore as _, Trust};
use chablon_store_sqlite::SqliteReplica;

use super::Replica;
use crate::Error;
use crate::error::Kind;

impl Replica {
    /// Opens the replica of a site in a file, and makes it where there is none.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where the file is another site's. [`Error::is_damaged`] where it is
    /// no replica, or one that makes no sense: [`rebuild`](Self::rebuild) it.
    pub async fn open(path: impl AsRef<Path>, site: SiteId) -> Result<Self, Error> {
        let file = Arc::new(open(path.as_ref()).await?);
        let replica = Self::enrolled(file.clone(), site).await?;
        Ok(Self { file: Some(file), ..replica })
    }

    /// Opens a replica that is there, whichever site's it is.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where there is none; as [`Replica::open`] otherwise.
    pub async fn reopen(path: impl AsRef<Path>) -> Result<Self, Error> {
        let path = path.as_ref();
        let none = || {
            let message = format!("there is no replica at {}; sync one first", path.display());
            Error::new(Kind::NotFound, message)
        };
        if !path.is_file() {
            return Err(none());
        }
        let file = Arc::new(open(path).await?);
        let identity = file.identity().await.map_err(Error::of_store)?.ok_or_else(none)?;
        Ok(Self { file: Some(file.clone()), ..Self::over(file, identity.site) })
    }

    /// Removes a replica, whole or damaged, and begins anew in its place. Nobody may have it open.
    ///
    /// What it had said of entries is said again once it has caught up, but for what was in use. The
    /// root that it trusts goes over to the new one, where it can still be read:
    /// [`trusted_root`](Self::trusted_root) says so. How far the hub had got is forgotten.
    ///
    /// # Errors
    /// Where the file can't be removed.
    pub async fn rebuild(path: impl AsRef<Path>, site: SiteId) -> Result<Self, Error> {
        let path = path.as_ref();
        let trusted = trusted(path).await;
        SqliteReplica::remove(path).await.map_err(|error| {
            let message = format!("{} can't be removed: {error}", path.display());
            Error::new(Kind::Precondition, message).with_source(error)
        })?;
        let replica = Self::open(path, site).await?;
        if let Some(Trust { version, root, .. }) = trusted {
            replica.store.trust_root(version, root).await.map_err(Error::of_store)?;
        }
        Ok(replica)
    }

    /// Waits for changes under way and closes the file. Without this it is closed when it is
    /// convenient; nothing that was taken is lost either way.
    pub async fn close(self) {
        if let Some(file) = self.file {
            file.close().await;
        }
    }
}

/// The root that a replica trusts, where it is there and whole enough to say so.
async fn trusted(path: &Path) -> Option<Trust> {
    if !path.is_file() {
        return None;
    }
    let old = SqliteReplica::open(path).await.ok()?;
    let trusted = old.trust().await.ok().flatten();
    old.close().await;
    trusted.filter(|trust| trust.root.holds())
}

async fn open(path: &Path) -> Result<SqliteReplica, Error> {
    let opened = SqliteReplica::open(path).await;
    opened.map_err(|error| Error::of_store(error).while_doing(path.display()))
}
