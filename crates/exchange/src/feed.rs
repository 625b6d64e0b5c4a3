//! Following the feed.

use std::num::NonZeroU32;

use chablon_model::{SiteId, View};
use chablon_store::{Epoch, FeedEntry, FeedState, HubError, Page};
use chablon_wire::FeedCursor;

use crate::stretch::Stretch;
use crate::{Exchange, StoreFault};

/// What followed a cursor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changes {
    /// The entries, by position; no release is split.
    pub entries: Vec<FeedEntry>,
    /// From where to go on.
    pub next: FeedCursor,
    /// Whether there is more after these.
    pub more: bool,
}

/// Where the feed stands for a reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standpoint {
    /// The cursor of a reader that has read all.
    pub head: FeedCursor,
    /// The lowest position from which a cursor is served.
    pub oldest: u64,
}

/// Why the feed isn't read on from a cursor.
#[derive(Debug, thiserror::Error)]
pub enum FeedError {
    /// No released document describes the site.
    #[error("site `{0}` is unknown; release its site document first")]
    UnknownSite(SiteId),
    /// The cursor belongs to another history.
    #[error("the cursor belongs to another history; list again from position 0")]
    WrongEpoch {
        /// The history of this hub.
        epoch: Epoch,
        /// The history that the cursor names.
        asked: String,
    },
    /// The cursor belongs to another view.
    #[error("{}; list again from position 0", view_changed(.0.as_ref()))]
    ViewChanged(Option<SiteId>),
    /// The cursor lies ahead of the feed.
    #[error("the cursor is at position {asked}, but the feed ends at {head}; list again from 0")]
    FuturePosition {
        /// The last position.
        head: u64,
        /// The position that the cursor names.
        asked: u64,
    },
    /// The cursor lies where the site's view was compacted since.
    #[error(
        "entries after position {asked} are passed over, for the view was compacted up to {oldest}; \
         list again from position 0"
    )]
    Compacted {
        /// The lowest position from which the view is served.
        oldest: u64,
        /// The position that the cursor names.
        asked: u64,
    },
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

fn view_changed(site: Option<&SiteId>) -> String {
    match site {
        Some(site) => format!("the groups of site `{site}` have changed since the cursor was made"),
        None => "the cursor belongs to a site's view, not to the whole".to_owned(),
    }
}

impl From<HubError> for FeedError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::UnknownSite(site) => Self::UnknownSite(site),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl Exchange {
    /// Where the feed stands, and which view a site has.
    pub async fn feed_state(&self, view: &View) -> Result<Standpoint, FeedError> {
        let end = self.store.state().await?;
        let page = self.store.entries(view, end.position, NonZeroU32::MIN).await?;
        Ok(Standpoint { oldest: oldest(view, &page.state), head: at_end(&page) })
    }

    /// The cursor of a reader that has read all.
    pub(crate) async fn head(&self, view: &View) -> Result<FeedCursor, HubError> {
        let end = self.store.state().await?.position;
        Ok(at_end(&self.store.entries(view, end, NonZeroU32::MIN).await?))
    }

    /// About so many entries of a view after a cursor.
    pub async fn changes(
        &self,
        view: &View,
        after: &FeedCursor,
        limit: NonZeroU32,
    ) -> Result<Changes, FeedError> {
        let stretch = self.stretch(view, after.position, limit).await?;
        check(after, &stretch, view)?;
        let oldest = oldest(view, &stretch.state);
        let Stretch { entries, more, end, state, view } = stretch;
        let snapshot = if end < oldest { oldest } else { 0 };
        let next = FeedCursor { epoch: state.epoch.to_string(), view, position: end, snapshot };
        Ok(Changes { entries, next, more })
    }
}

/// The cursor of a reader who has read all.
fn at_end(page: &Page) -> FeedCursor {
    let (epoch, position) = (page.state.epoch.to_string(), page.state.position);
    FeedCursor { epoch, view: page.view, position, snapshot: 0 }
}

/// Up to where a view was compacted; the whole view never is.
fn oldest(view: &View, state: &FeedState) -> u64 {
    match view {
        View::Whole => 0,
        View::Site(_) => state.oldest,
    }
}

/// Whether a cursor belongs to what was read. One at the start need not say where it belongs.
fn check(after: &FeedCursor, read: &Stretch, view: &View) -> Result<(), FeedError> {
    let starts = after.position == 0;
    let epoch = &read.state.epoch;
    if after.epoch != epoch.as_str() && !(starts && after.epoch.is_empty()) {
        let (epoch, asked) = (epoch.clone(), after.epoch.clone());
        return Err(FeedError::WrongEpoch { epoch, asked });
    }
    if after.view != read.view && !(starts && after.view.is_none()) {
        return Err(FeedError::ViewChanged(reader(view)));
    }
    let head = read.state.position;
    if after.position > head {
        return Err(FeedError::FuturePosition { head, asked: after.position });
    }
    let (oldest, asked) = (oldest(view, &read.state), after.position);
    if 0 < asked && asked < oldest && after.snapshot != oldest {
        return Err(FeedError::Compacted { oldest, asked });
    }
    Ok(())
}

fn reader(view: &View) -> Option<SiteId> {
    match view {
        View::Whole => None,
        View::Site(site) => Some(site.clone()),
    }
}
