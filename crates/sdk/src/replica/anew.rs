//! Listing a view from its beginning, in place of what is held.

use chablon_store::CatchUp;
use chablon_wire::FeedCursor;

use super::sync::{Progress, Relisted, Sync, catch_up, why_anew};
use crate::{Change, Error};

/// How often the list may be begun again because the view changed while it was read.
const BEGINNINGS: usize = 5;

impl<P: FnMut(&Progress) + Send> Sync<'_, P> {
    /// Lists all and puts it in the place of what is held, in one. Revisions that are held already
    /// are not fetched again.
    pub(super) async fn list_anew(&mut self, why: Relisted) -> Result<Relisted, Error> {
        let site = self.replica.site();
        tracing::warn!(%site, ?why, "listing the view anew");
        let mut last = None;
        for _ in 0..BEGINNINGS {
            match self.list_all().await {
                Ok(whole) => {
                    let (position, entries) = (whole.cursor.position, whole.entries.len() as u64);
                    self.replica.store.replace(whole).await.map_err(Error::of_store)?;
                    self.took(position, entries);
                    return Ok(why);
                }
                Err(error) if why_anew(&error).is_some() => last = Some(error),
                Err(error) => return Err(error),
            }
        }
        Err(last.expect("it was begun at least once"))
    }

    /// The whole view, with every revision that it needs stored.
    async fn list_all(&mut self) -> Result<CatchUp, Error> {
        let mut entries: Vec<Change> = Vec::new();
        let mut after: Option<FeedCursor> = None;
        loop {
            let page = self.client.changes_once(&self.view, after.as_ref()).await?;
            self.fetch_for(&page.entries).await?;
            entries.extend(page.entries);
            if !page.more {
                return catch_up(entries, &page.next, (self.replica.clock)());
            }
            after = Some(page.next);
        }
    }
}
