//! A kitchen's replica: all that its site needs, on its own machine.

use std::fmt;
use std::sync::Arc;

use chablon_model::{DocumentKey, Entry, EntryBody, Moment, SiteId, Standing, View};
use chablon_store::{EntryKind, FeedEntry, Identity, Integrity, MemoryReplica, ReplicaStore};
#[cfg(feature = "sqlite")]
use chablon_store_sqlite::SqliteReplica;
use chablon_wire::{BodyKind, FeedCursor, Standard as Listed};

mod anew;
mod deviations;
mod fetch;
#[cfg(feature = "sqlite")]
mod file;
mod follow;
mod import;
mod inspect;
mod pin;
mod say;
pub(crate) mod source;
mod standard;
mod status;
mod sync;
mod together;
mod where_used;

pub use follow::Event;
pub use import::Imported;
pub use pin::Pin;
pub use say::decided_by;
pub use standard::Standard;
pub use status::{OVERDUE_AFTER, Status, TrustStatus};
pub(crate) use sync::why_anew;
pub use sync::{Progress, Relisted, Synced};
pub use together::Together;

use crate::clock::Clock;
use crate::{Error, feed, now};

/// A kitchen's replica.
///
/// It holds the site's view of the feed and every revision that it needs, so that it answers with
/// the hub out of reach. [`sync`](Self::sync) catches up and [`follow`](Self::follow) stays so.
/// Both may be dropped, or their process killed, at any moment: what was taken is whole, and the
/// next one goes on from there. Two of them at once, in one process or several, do no harm.
///
/// It is cheap to clone.
#[derive(Clone)]
pub struct Replica {
    store: Arc<dyn ReplicaStore>,
    #[cfg(feature = "sqlite")]
    file: Option<Arc<SqliteReplica>>,
    site: SiteId,
    clock: Clock,
}

impl fmt::Debug for Replica {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Replica").field("site", &self.site).finish_non_exhaustive()
    }
}

impl Replica {
    /// A replica that lives as long as the process: for programs that look once, and for tests.
    pub async fn in_memory(site: SiteId) -> Result<Self, Error> {
        Self::enrolled(Arc::new(MemoryReplica::new()), site).await
    }

    async fn enrolled(store: Arc<dyn ReplicaStore>, site: SiteId) -> Result<Self, Error> {
        let replica = Self::over(store, site.clone());
        let enrolled_at = (replica.clock)();
        let enrolled = replica.store.enrol(Identity { site, enrolled_at }).await;
        enrolled.map(|()| replica).map_err(Error::of_store)
    }

    fn over(store: Arc<dyn ReplicaStore>, site: SiteId) -> Self {
        Self {
            store,
            #[cfg(feature = "sqlite")]
            file: None,
            site,
            clock: Arc::new(now),
        }
    }

    /// With another clock. It says when something was received, put in use, or last heard of; what
    /// is in force is asked with a moment of its own.
    #[must_use]
    pub fn with_clock(self, clock: impl Fn() -> Moment + Send + Sync + 'static) -> Self {
        Self { clock: Arc::new(clock), ..self }
    }

    /// Whose replica it is.
    pub fn site(&self) -> &SiteId {
        &self.site
    }

    /// Looks through everything that is held, byte by byte.
    ///
    /// # Errors
    /// [`Error::is_damaged`]: [`rebuild`](Self::rebuild) it.
    pub async fn check(&self) -> Result<Integrity, Error> {
        self.store.check().await.map_err(Error::of_store)
    }

    /// What is in force at a moment of every document that was ever released to the site, by kind
    /// and then by id.
    pub async fn standards(&self, at: Moment) -> Result<Vec<Listed>, Error> {
        let entries = self.entries().await?;
        let standings = chablon_model::standings(&entries, at);
        let listed =
            |(key, standing): (&DocumentKey, Standing<'_>)| Listed::of(key.clone(), &standing);
        Ok(standings.into_iter().filter_map(listed).collect())
    }

    /// The site's view of the feed as far as it is held.
    pub async fn entries(&self) -> Result<Vec<Entry>, Error> {
        let stored = self.store.entries().await.map_err(Error::of_store)?;
        self.read(&stored)
    }

    /// What stored entries say at this site.
    fn read(&self, stored: &[FeedEntry]) -> Result<Vec<Entry>, Error> {
        stored.iter().map(|entry| Ok(read(entry)?.at_site(&self.site))).collect()
    }

    fn view(&self) -> View {
        View::Site(self.site.clone())
    }

    async fn cursor(&self) -> Result<Option<FeedCursor>, Error> {
        let cursor = self.store.cursor().await.map_err(Error::of_store)?;
        Ok(cursor.map(|cursor| FeedCursor {
            epoch: cursor.epoch.to_string(),
            view: Some(cursor.view),
            position: cursor.position,
            snapshot: 0,
        }))
    }
}

/// What a stored entry says.
fn read(entry: &FeedEntry) -> Result<Entry, Error> {
    let kind = match entry.kind {
        EntryKind::Release => BodyKind::Release,
        EntryKind::Withdrawal => BodyKind::Withdrawal,
        EntryKind::Deviation => BodyKind::Deviation,
    };
    let body: EntryBody = feed::read(entry.position, kind, &entry.body.bytes)?;
    Ok(Entry { position: entry.position, body })
}
