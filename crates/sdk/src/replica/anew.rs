//! Listing a view from its beginning, in place of what is held.

use chablon_model::Checkpoint;
use chablon_store::CatchUp;
use chablon_wire::FeedCursor;

use super::inspect::{Seen, Vouched, inspect};
use super::sync::{Progress, Relisted, Sync, catch_up, cursor, no_further, why_anew};
use crate::retry::BEGINNINGS;
use crate::{Change, Changes, Error};

impl<P: FnMut(&Progress) + Send> Sync<'_, P> {
    /// Lists all and puts it in the place of what is held, in one. Revisions that are held already
    /// are not fetched again.
    pub(super) async fn list_anew(&mut self, why: Relisted) -> Result<Relisted, Error> {
        let site = self.replica.site();
        tracing::warn!(%site, ?why, "listing the view anew");
        let mut last = None;
        // As `retry::listing`, which a list that is noted on the way can't be handed to.
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
        let mut seen = Seen::nothing();
        loop {
            let page = self.source.page(&self.view, after.as_ref()).await?;
            no_further(after.as_ref(), &page)?;
            self.look_ahead(&page).await?;
            let vouched = self.vouched_anew(&mut seen, &page)?;
            self.fetch_for(&page.entries).await?;
            entries.extend(page.entries);
            if !page.more {
                if let Some(vouched) = &vouched {
                    self.nothing_is_lost(&seen, &vouched.checkpoint).await?;
                }
                let (at, kept) = ((self.replica.clock)(), vouched.map(|vouched| vouched.kept));
                return Ok(catch_up(entries, cursor(&page.next)?, kept, at));
            }
            after = Some(page.next);
        }
    }

    /// Holds a page to what the replica trusts. The last page must go on from what was vouched for
    /// last; those before it reach less far, as they must.
    fn vouched_anew(&self, seen: &mut Seen, page: &Changes) -> Result<Option<Vouched>, Error> {
        let Some(trusting) = &self.trusting else { return Ok(None) };
        let mark = trusting.mark.as_ref().filter(|_| !page.more);
        Ok(Some(inspect(trusting, mark, &self.replica.site, seen, page)?))
    }

    /// Whether a view that takes the place of what is held still has all of it that counts. Where the
    /// hub's key was replaced what is held is given up.
    async fn nothing_is_lost(&self, seen: &Seen, shown: &Checkpoint) -> Result<(), Error> {
        let groups = self.replica.addressed(seen).await?;
        if let Some(mark) = self.trusting.as_ref().and_then(|trusting| trusting.mark.as_ref()) {
            let held = Seen::held_by(self.replica).await?;
            seen.lacks_nothing_of(&held, mark, shown, &groups)?;
        }
        Ok(())
    }
}
