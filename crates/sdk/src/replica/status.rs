//! How a replica stands.

use std::time::Duration;

use chablon_model::{Moment, SiteId};
use chablon_wire::FeedCursor;

use super::Replica;
use crate::Error;

/// How a replica stands.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Status {
    /// Whose replica it is.
    pub site: SiteId,
    /// How far it got; none before the first catch-up.
    pub cursor: Option<FeedCursor>,
    /// When it last knew all that the hub knew.
    pub last_contact: Option<Moment>,
    /// How many statements wait to be delivered.
    pub unsaid: usize,
}

impl Status {
    /// How long ago the hub was last heard of; none where it never was.
    pub fn silent_for(&self, now: Moment) -> Option<Duration> {
        let milliseconds = now.0.saturating_sub(self.last_contact?.0);
        Some(Duration::from_millis(milliseconds.try_into().unwrap_or(0)))
    }
}

impl Replica {
    /// How it stands: how far it got, and when it last heard of the hub.
    pub async fn status(&self) -> Result<Status, Error> {
        let store = &self.store;
        Ok(Status {
            site: self.site.clone(),
            cursor: self.cursor().await?,
            last_contact: store.last_contact().await.map_err(Error::of_store)?,
            unsaid: store.outbox(usize::MAX).await.map_err(Error::of_store)?.len(),
        })
    }
}
