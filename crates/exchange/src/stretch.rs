//! Reading the feed in stretches that fit one answer.

use std::num::NonZeroU32;

use chablon_model::{Digest, View};
use chablon_store::{FeedEntry, FeedState, HubError, Page};

use crate::Exchange;

/// How many bytes of bodies a stretch of several changes may have.
///
/// Readers commonly refuse answers above 4 MiB. A release alone may have 2 MiB and is never split,
/// so half of that leaves a good distance.
const STRETCH_BYTES: usize = 1024 * 1024;

/// How many entries are read from the store at a time: few enough that a stretch of the longest
/// notices isn't held in full only to be cut.
const STEP: NonZeroU32 = NonZeroU32::new(32).unwrap();

/// Entries of a view after a position, no release of them split.
pub(crate) struct Stretch {
    /// The entries, by position.
    pub(crate) entries: Vec<FeedEntry>,
    /// Whether the view has more.
    pub(crate) more: bool,
    /// The position from which to read on.
    pub(crate) end: u64,
    /// Where the feed stood.
    pub(crate) state: FeedState,
    /// What the view consists of, for a site's.
    pub(crate) view: Option<Digest>,
}

impl From<Page> for Stretch {
    fn from(page: Page) -> Self {
        let (end, Page { entries, more, state, view }) = (page.end(), page);
        Self { entries, more, end, state, view }
    }
}

impl Stretch {
    fn room(&self, limit: NonZeroU32) -> Option<NonZeroU32> {
        let taken = u32::try_from(self.entries.len()).unwrap_or(u32::MAX);
        NonZeroU32::new(limit.get().saturating_sub(taken)).filter(|_| self.more)
    }

    /// Takes what follows, unless it belongs to another history or view or would be too much.
    fn joined(&mut self, next: Self) -> bool {
        let same = self.state.epoch == next.state.epoch && self.view == next.view;
        let fits = bytes(&self.entries) + bytes(&next.entries) <= STRETCH_BYTES;
        if same && fits {
            self.entries.extend(next.entries);
            (self.more, self.end, self.state) = (next.more, next.end, next.state);
        }
        same && fits
    }
}

fn bytes(entries: &[FeedEntry]) -> usize {
    entries.iter().map(|entry| entry.body.bytes.len()).sum()
}

impl Exchange {
    /// About so many entries after a position, in an amount that fits one answer.
    pub(crate) async fn stretch(
        &self,
        view: &View,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Stretch, HubError> {
        let mut stretch = self.first_stretch(view, after, limit).await?;
        while let Some(room) = stretch.room(limit) {
            let next = self.store.entries(view, stretch.end, room.min(STEP)).await?;
            if !stretch.joined(next.into()) {
                break;
            }
        }
        Ok(stretch)
    }

    /// At least one change, however large; several only as far as they fit.
    async fn first_stretch(
        &self,
        view: &View,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Stretch, HubError> {
        let mut step = limit.min(STEP);
        loop {
            let stretch = Stretch::from(self.store.entries(view, after, step).await?);
            let half = NonZeroU32::new(step.get() / 2);
            match half.filter(|_| bytes(&stretch.entries) > STRETCH_BYTES) {
                Some(half) => step = half,
                None => return Ok(stretch),
            }
        }
    }
}
