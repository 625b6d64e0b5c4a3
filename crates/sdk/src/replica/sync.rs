//! Catching up.

use chablon_model::{Moment, View};
use chablon_store::{CatchUp, Cursor, NewCheckpoint, NewEntry, ReplicaError, Said, Statement};
use chablon_trust::Notice;
use chablon_wire::FeedCursor;

use super::Replica;
use super::inspect::{Seen, inspect};
use super::pin::Trusting;
use super::source::Source;
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
    /// A root of trust was pinned, or a new version of it replaced the hub's key: nothing vouches
    /// for what was held from before.
    Unvouched,
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
    /// What must be told of those whom the replica trusts, such as a root that has expired.
    pub notices: Vec<Notice>,
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
        let (progress, relisted) = self.take_all(client, progress).await?;
        self.contact().await?;
        let (said, unsaid) = self.deliver(client).await?;
        let notices = self.notices().await?;
        Ok(Synced { progress, relisted, said, unsaid, notices })
    }

    /// Takes all that a source has.
    pub(crate) async fn take_all(
        &self,
        source: &dyn Source,
        progress: impl FnMut(&Progress) + Send,
    ) -> Result<(Progress, Option<Relisted>), Error> {
        self.follow_root(source).await?;
        let mut sync = Sync::begin(self, source, progress).await?;
        let relisted = sync.run().await?;
        Ok((sync.progress, relisted))
    }

    /// Notes that all that the hub knows is known here.
    pub(super) async fn contact(&self) -> Result<(), Error> {
        self.store.caught_up((self.clock)()).await.map_err(Error::of_store)
    }
}

/// One catch-up.
pub(super) struct Sync<'a, P> {
    pub(super) replica: &'a Replica,
    pub(super) source: &'a dyn Source,
    pub(super) view: View,
    pub(super) progress: Progress,
    /// Whom the replica trusts; none: whatever is shown is taken.
    pub(super) trusting: Option<Trusting>,
    /// What is held, and up to which cursor, where it was looked through already.
    seen: Option<(Cursor, Seen)>,
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
    pub(super) async fn begin(
        replica: &'a Replica,
        source: &'a dyn Source,
        tell: P,
    ) -> Result<Self, Error> {
        let (view, trusting) = (replica.view(), replica.trusting().await?);
        Ok(Self {
            replica,
            source,
            view,
            progress: Progress::default(),
            trusting,
            seen: None,
            tell,
        })
    }

    /// Takes page after page, to the end of the feed.
    async fn run(&mut self) -> Result<Option<Relisted>, Error> {
        let unvouched = self.trusting.as_ref().is_some_and(|trusting| trusting.mark.is_none());
        // The hub's own cursor is kept from page to page: what is stored of it can't tell that it
        // stands inside a snapshot.
        let mut after = self.replica.cursor().await?;
        if unvouched && after.is_some() {
            return self.list_anew(Relisted::Unvouched).await.map(Some);
        }
        loop {
            let page = match self.source.page(&self.view, after.as_ref()).await {
                Ok(page) => page,
                Err(error) => {
                    let why = why_anew(&error).ok_or(error)?;
                    return self.list_anew(why).await.map(Some);
                }
            };
            let (more, next) = (page.more, page.next.clone());
            no_further(after.as_ref(), &page)?;
            self.look_ahead(&page).await?;
            if let Taken::Anew(why) = self.take(page).await? {
                return self.list_anew(why).await.map(Some);
            }
            if !more {
                return Ok(None);
            }
            after = Some(next);
        }
    }

    /// Notes how far the feed goes: to the end of the only page, or else to where the source says.
    pub(super) async fn look_ahead(&mut self, page: &Changes) -> Result<(), Error> {
        if self.progress.head == 0 {
            let end = page.next.position;
            self.progress.head = if page.more { self.source.head(&self.view).await? } else { end };
        }
        Ok(())
    }

    /// Takes a stretch: first the revisions that it needs, then it and the cursor in one.
    pub(super) async fn take(&mut self, changes: Changes) -> Result<Taken, Error> {
        let next = cursor(&changes.next)?;
        let held = self.replica.store.cursor().await.map_err(Error::of_store)?;
        if let Some(why) = held.as_ref().and_then(|held| other(held, &next)) {
            return Ok(Taken::Anew(why));
        }
        let vouched = self.vouched(held.as_ref(), &changes).await?;
        self.fetch_for(&changes.entries).await?;
        let (checkpoint, seen) = match vouched {
            None => (None, None),
            Some((checkpoint, seen)) => {
                if !changes.more {
                    self.replica.addressed(&seen).await?;
                }
                (Some(checkpoint), Some(seen))
            }
        };
        let catch_up = catch_up(changes.entries, next.clone(), checkpoint, (self.replica.clock)());
        let (position, entries) = (catch_up.cursor.position, catch_up.entries.len() as u64);
        match self.replica.store.apply(catch_up).await {
            Ok(()) => {
                self.seen = seen.map(|seen| (next, seen));
                self.took(position, entries);
            }
            Err(ReplicaError::OtherView { held, given }) => {
                return Ok(Taken::Anew(other(&held, &given).unwrap_or(Relisted::OtherView)));
            }
            Err(ReplicaError::Diverged { .. } | ReplicaError::Gap { .. }) => {
                return Ok(Taken::Anew(Relisted::Diverged));
            }
            Err(error) => return Err(Error::of_store(error)),
        }
        Ok(Taken::Held)
    }

    /// Holds a stretch to what the replica trusts, if it trusts anyone.
    async fn vouched(
        &mut self,
        held: Option<&Cursor>,
        changes: &Changes,
    ) -> Result<Option<(NewCheckpoint, Seen)>, Error> {
        let Some(trusting) = &self.trusting else { return Ok(None) };
        let mut seen = match self.seen.take() {
            Some((cursor, seen)) if Some(&cursor) == held => seen,
            _ => Seen::held_by(self.replica).await?,
        };
        let site = &self.replica.site;
        let vouched = inspect(trusting, trusting.mark.as_ref(), site, &mut seen, changes)?;
        Ok(Some((vouched.kept, seen)))
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

/// Refuses a list that says that it has more and doesn't get any further: it would never end.
pub(super) fn no_further(after: Option<&FeedCursor>, page: &Changes) -> Result<(), Error> {
    if page.more && after.is_some_and(|after| page.next.position <= after.position) {
        let message = "the hub has more to list, but its list doesn't get any further";
        return Err(Error::new(Kind::Unexpected, message));
    }
    Ok(())
}

/// Why the view must be listed anew, if that is what an error says.
pub(crate) fn why_anew(error: &Error) -> Option<Relisted> {
    match error.reason() {
        Some(Reason::WrongEpoch | Reason::FuturePosition) => Some(Relisted::OtherHistory),
        Some(Reason::ViewChanged) => Some(Relisted::OtherView),
        Some(Reason::HistoryCompacted) => Some(Relisted::Compacted),
        _ => None,
    }
}

/// Why what follows one cursor doesn't join another.
fn other(held: &Cursor, next: &Cursor) -> Option<Relisted> {
    if held.epoch == next.epoch {
        (held.view != next.view).then_some(Relisted::OtherView)
    } else {
        Some(Relisted::OtherHistory)
    }
}

/// What to take: the entries, the cursor after them, what vouches for it, and that they were
/// received.
pub(super) fn catch_up(
    entries: Vec<Change>,
    cursor: Cursor,
    checkpoint: Option<NewCheckpoint>,
    at: Moment,
) -> CatchUp {
    let received = |position| Said { position, statement: Statement::Received, at, reason: None };
    let said = entries.iter().map(|entry| received(entry.position)).collect();
    let entries = entries.into_iter().map(new_entry).collect();
    CatchUp { entries, cursor, said, checkpoint }
}

fn new_entry(change: Change) -> NewEntry {
    let Change { position, previous_position, recorded_at, says, bytes, digest, signatures } =
        change;
    let body = chablon_store::Frozen { digest, bytes, signatures };
    NewEntry { position, previous_position, recorded_at, says, body }
}

/// A cursor as it is stored. That of a site always names the history and the view.
pub(super) fn cursor(cursor: &FeedCursor) -> Result<Cursor, Error> {
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
