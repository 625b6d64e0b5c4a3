//! Readers who follow the feed from entry to entry.

use std::num::NonZeroU32;

use chablon_model::{SiteId, View};
use chablon_store::SiteRecord;
use chablon_wire::FeedCursor;

use crate::recent::Known;
use crate::{Changes, Exchange, FeedError};

/// How many entries are read at a time where the store is asked.
const STEP: NonZeroU32 = NonZeroU32::new(100).unwrap();

/// A reader who follows a view: a cursor, and what is known where it stands.
///
/// Once it has been given an entry, what comes next is read once for all readers and shared; it asks
/// the store for itself where it is too far behind, and where its view may have changed.
#[derive(Clone, Debug)]
pub struct Reader {
    view: View,
    cursor: FeedCursor,
    standing: Option<Standing>,
}

/// What is known of a reader who was given an entry.
#[derive(Clone, Debug)]
struct Standing {
    /// The site, for a site's view.
    record: Option<SiteRecord>,
    /// The last entry that it was given.
    last: u64,
}

impl Reader {
    /// A reader of a view after a cursor.
    pub fn new(view: View, after: FeedCursor) -> Self {
        Self { view, cursor: after, standing: None }
    }

    /// Whose view it reads.
    pub fn view(&self) -> &View {
        &self.view
    }

    /// How far it got.
    pub fn cursor(&self) -> &FeedCursor {
        &self.cursor
    }
}

impl Exchange {
    /// What a reader is given next, and moves it there. `heard` is the last position of which there
    /// was word.
    ///
    /// # Errors
    /// As [`Exchange::changes`].
    pub async fn read_on(&self, reader: &mut Reader, heard: u64) -> Result<Changes, FeedError> {
        let changes = match self.shared(reader, heard).await? {
            Some(changes) => changes,
            None => self.own(reader).await?,
        };
        if let (Some(last), Some(standing)) = (changes.entries.last(), &mut reader.standing) {
            standing.last = last.position;
        }
        reader.cursor = changes.next.clone();
        Ok(changes)
    }

    /// What follows, out of what is read for all; nothing where that doesn't do.
    async fn shared(&self, reader: &Reader, heard: u64) -> Result<Option<Changes>, FeedError> {
        let Some(Standing { record, last }) = &reader.standing else { return Ok(None) };
        let FeedCursor { epoch, position, .. } = &reader.cursor;
        let shared = match self.recent(epoch, *position, heard).await? {
            Known::TooFarBack => return Ok(None),
            Known::Nothing => {
                let next = reader.cursor.clone();
                return Ok(Some(Changes { entries: Vec::new(), next, more: false }));
            }
            Known::More(shared) => shared,
        };
        if record.as_ref().is_some_and(|record| shared.concerns(&record.site)) {
            return Ok(None);
        }
        let mut previous = *last;
        let mut entries = Vec::new();
        for mut entry in shared.after(*position, |audience| {
            record.as_ref().is_none_or(|site| audience.addresses(&site.site, &site.groups))
        }) {
            entry.previous_position = std::mem::replace(&mut previous, entry.position);
            entries.push(entry);
        }
        let next = FeedCursor { position: shared.end, ..reader.cursor.clone() };
        Ok(Some(Changes { entries, next, more: false }))
    }

    /// What follows, from the store; and what is known of the reader from then on.
    async fn own(&self, reader: &mut Reader) -> Result<Changes, FeedError> {
        let changes = self.changes(&reader.view, &reader.cursor, STEP).await?;
        let before = reader.standing.take();
        // Inside a snapshot, and before the end, there is more than what is new.
        let at_end = !changes.more && changes.next.snapshot == 0;
        let last = changes.entries.last().map(|entry| entry.position);
        if let (true, Some(last)) = (at_end, last.or(before.map(|before| before.last))) {
            let record = self.unchanged(&reader.view, &changes.next).await?;
            reader.standing = record.map(|record| Standing { record, last });
        }
        Ok(changes)
    }

    /// The site of a view as it was when the view was read; nothing where it has changed since.
    async fn unchanged(
        &self,
        view: &View,
        read: &FeedCursor,
    ) -> Result<Option<Option<SiteRecord>>, FeedError> {
        let View::Site(site) = view else { return Ok(Some(None)) };
        let record: Option<SiteRecord> = self.store.site(site as &SiteId).await?;
        let same = record.filter(|record| Some(record.view()) == read.view);
        Ok(same.map(Some))
    }
}
