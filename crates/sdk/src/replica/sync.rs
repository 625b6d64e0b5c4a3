//! Catching up.

use chablon_model::{Moment, View};
use chablon_store::{CatchUp, Cursor, NewEntry, ReplicaError, Said, Statement};
use chablon_wire::FeedCursor;

use super::Replica;
use crate::error::Kind;
use crate::{Change, Changes, Client, Error, Reason};

/// How far a catch-up got.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Progress {
    /// The position of the feed up to which all is taken.
    pub position: u64,
    /// The position that the feed had at the beginning.
    pub head: u64,
    /// The entries that were taken.
    pub entries: u64,
    /// The revisions that were fetched.
    pub revisions: u64,
    /// Those that are known to be still needed for the next entries.
    pub revisions_to_fetch: u64,
    /// The bytes of entries and revisions that came.
    pub bytes: u64,
}

/// Why a view was listed from its beginning, in place of what was held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Relisted {
    /// The hub's store was made anew or restored from a backup.
    OtherHistory,
    /// The site's groups changed, so that other entries concern it.
    OtherView,
    /// The hub no longer lists what was superseded long ago, and the replica was further behind.
    Compacted,
    /// The hub shows other entries than before under the same name. That should not be: tell
    /// whoever runs it.
    Diverged,
}

/// What a catch-up did.
#[derive(Debug)]
#[non_exhaustive]
pub struct Synced {
    /// What came.
    pub progress: Progress,
    /// Whether all had to be listed anew, and why.
    pub relisted: Option<Relisted>,
    /// How many statements were delivered to the hub.
    pub said: u64,
    /// Why some are still waiting. They are delivered by the next catch-up.
    pub unsaid: Option<Error>,
}

impl Replica {
    /// Catches up with the hub: takes all that concerns the site, and says what was received.
    ///
    /// # Errors
    /// What was taken before it is kept. [`Error::may_retry`] where the hub is out of reach;
    /// [`Error::is_not_found`] where it doesn't know the site; [`Error::is_damaged`] where what
    /// came isn't what it is said to be; [`Error::is_unsupported`] where an entry can't be read
    /// until this program is brought up to date. A revision that can't be read is kept all the
    /// same.
    pub async fn sync(&self, client: &Client) -> Result<Synced, Error> {
        self.sync_with(client, |_| ()).await
    }

    /// The same, and tells how far it is: after each stretch of the feed, and while fetching.
    pub async fn sync_with(
        &self,
        client: &Client,
        progress: impl FnMut(&Progress) + Send,
    ) -> Result<Synced, Error> {
        let mut sync = Sync::new(self, client, progress);
        sync.progress.head = client.head(&sync.view).await?.cursor.position;
        let relisted = sync.run().await?;
        self.contact().await?;
        let (said, unsaid) = self.deliver(client).await?;
        Ok(Synced { progress: sync.progress, relisted, said, unsaid })
    }

    /// Notes that all that the hub knows is known here.
    pub(super) async fn contact(&self) -> Result<(), Error> {
        self.store.caught_up((self.clock)()).await.map_err(Error::of_store)
    }
}

/// One catch-up.
pub(super) struct Sync<'a, P> {
    pub(super) replica: &'a Replica,
    pub(super) client: &'a Client,
    pub(super) view: View,
    pub(super) progress: Progress,
    tell: P,
}

/// What became of a stretch of the feed.
pub(super) enum Taken {
    /// It is held.
    Held,
    /// It doesn't join what is held.
    Anew(Relisted),
}

impl<'a, P: FnMut(&Progress) + Send> Sync<'a, P> {
    pub(super) fn new(replica: &'a Replica, client: &'a Client, tell: P) -> Self {
        let view = replica.view();
        Self { replica, client, view, progress: Progress::default(), tell }
    }

    /// Takes page after page, to the end of the feed.
    async fn run(&mut self) -> Result<Option<Relisted>, Error> {
        // The hub's own cursor is kept from page to page: what is stored of it can't tell that it
        // stands inside a snapshot.
        let mut after = self.replica.cursor().await?;
        loop {
            let page = match self.client.changes_once(&self.view, after.as_ref()).await {
                Ok(page) => page,
                Err(error) => {
                    let why = why_anew(&error).ok_or(error)?;
                    return self.list_anew(why).await.map(Some);
                }
            };
            let (more, next) = (page.more, page.next.clone());
            if more && after.is_some_and(|after| next.position <= after.position) {
                let message = "the hub has more to list, but its list doesn't get any further";
                return Err(Error::new(Kind::Unexpected, message));
            }
            if let Taken::Anew(why) = self.take(page).await? {
                return self.list_anew(why).await.map(Some);
            }
            if !more {
                return Ok(None);
            }
            after = Some(next);
        }
    }

    /// Takes a stretch: first the revisions that it needs, then it and the cursor in one.
    pub(super) async fn take(&mut self, changes: Changes) -> Result<Taken, Error> {
        self.fetch_for(&changes.entries).await?;
        let catch_up = catch_up(changes.entries, &changes.next, (self.replica.clock)())?;
        let (position, entries) = (catch_up.cursor.position, catch_up.entries.len() as u64);
        match self.replica.store.apply(catch_up).await {
            Ok(()) => self.took(position, entries),
            Err(ReplicaError::OtherView { held, given }) if held.epoch != given.epoch => {
                return Ok(Taken::Anew(Relisted::OtherHistory));
            }
            Err(ReplicaError::OtherView { .. }) => return Ok(Taken::Anew(Relisted::OtherView)),
            Err(ReplicaError::Diverged { .. } | ReplicaError::Gap { .. }) => {
                return Ok(Taken::Anew(Relisted::Diverged));
            }
            Err(error) => return Err(Error::of_store(error)),
        }
        Ok(Taken::Held)
    }

    pub(super) fn took(&mut self, position: u64, entries: u64) {
        self.progress.position = position;
        self.progress.head = self.progress.head.max(position);
        self.progress.entries += entries;
        self.tell();
    }

    pub(super) fn tell(&mut self) {
        (self.tell)(&self.progress);
    }
}

/// Why the view must be listed anew, if that is what an error says.
pub(super) fn why_anew(error: &Error) -> Option<Relisted> {
    match error.reason() {
        Some(Reason::WrongEpoch | Reason::FuturePosition) => Some(Relisted::OtherHistory),
        Some(Reason::ViewChanged) => Some(Relisted::OtherView),
        Some(Reason::HistoryCompacted) => Some(Relisted::Compacted),
        _ => None,
    }
}

/// What to take: the entries, the cursor after them, and that they were received.
pub(super) fn catch_up(
    entries: Vec<Change>,
    next: &FeedCursor,
    at: Moment,
) -> Result<CatchUp, Error> {
    let received = |position| Said { position, statement: Statement::Received, at, reason: None };
    let said = entries.iter().map(|entry| received(entry.position)).collect();
    let entries = entries.into_iter().map(new_entry).collect();
    Ok(CatchUp { entries, cursor: cursor(next)?, said })
}

fn new_entry(change: Change) -> NewEntry {
    let Change { position, previous_position, recorded_at, says, bytes, digest } = change;
    let body = chablon_store::Frozen { digest, bytes };
    NewEntry { position, previous_position, recorded_at, says, body }
}

/// A cursor as it is stored. That of a site always names the history and the view.
fn cursor(cursor: &FeedCursor) -> Result<Cursor, Error> {
    let broken = |what: &str| {
        let message = format!("the hub's answer breaks the contract: its cursor names no {what}");
        Error::new(Kind::Unexpected, message)
    };
    Ok(Cursor {
        epoch: cursor.epoch.parse().map_err(|_| broken("history"))?,
        view: cursor.view.ok_or_else(|| broken("view"))?,
        position: cursor.position,
    })
}
