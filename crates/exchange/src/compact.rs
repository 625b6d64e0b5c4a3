//! Views without what decides nothing any more.

use std::num::NonZeroU32;

use chablon_model::{Entry, Moment, View, superseded};
use chablon_store::{Actor, Compaction, HubError};

use crate::read::entries;
use crate::{Exchange, StoreFault, blocking};

/// How many entries are read at a time.
const STEP: NonZeroU32 = NonZeroU32::new(1000).unwrap();

/// What a compaction did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Compacted {
    /// The position up to which sites' views are compacted now.
    pub up_to: u64,
    /// How many of the entries up to it sites' views pass over.
    pub passed_over: u64,
}

/// Why nothing was compacted.
#[derive(Debug, thiserror::Error)]
pub enum CompactionError {
    /// It doesn't fit what was compacted before.
    #[error("{0}")]
    Refused(String),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for CompactionError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::Malformed(what) => Self::Refused(what),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl Exchange {
    /// Takes out of every site's view what was recorded before a moment and decides nothing from
    /// `now` on. Kitchens that are further behind list their views anew, which is then shorter.
    ///
    /// # Errors
    /// [`CompactionError`]; nothing was done.
    pub async fn compact(
        &self,
        before: Moment,
        by: Actor,
        now: Moment,
    ) -> Result<Compacted, CompactionError> {
        let (all, up_to) = self.recorded_before(before).await?;
        let up_to = up_to.max(self.store.state().await?.oldest);
        let passed_over = blocking(move || superseded(&all, up_to, now)).await;
        let count = passed_over.len() as u64;
        let state = self.store.compact(Compaction { at: now, by, up_to, passed_over }).await?;
        Ok(Compacted { up_to: state.oldest, passed_over: count })
    }

    /// All entries, and the position of the last one that was recorded before a moment.
    async fn recorded_before(&self, moment: Moment) -> Result<(Vec<Entry>, u64), CompactionError> {
        let (mut all, mut up_to, mut end) = (Vec::new(), 0, 0);
        loop {
            let stretch = self.stretch(&View::Whole, end, STEP).await?;
            let earlier = stretch.entries.iter().take_while(|entry| entry.recorded_at < moment);
            // Hubs' clocks differ; the first entry that is too young ends it.
            if up_to == end {
                up_to = earlier.last().map_or(up_to, |entry| entry.position);
            }
            all.extend(entries(&stretch.entries, &View::Whole)?);
            end = stretch.end;
            if !stretch.more {
                return Ok((all, up_to));
            }
        }
    }
}
