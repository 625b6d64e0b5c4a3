//! Views of the feed.

use std::num::NonZeroU32;

use chablon_model::{DocumentKey, View};

use super::state::{EntryRow, State};
use crate::{FeedEntry, HubError, Page, SiteRecord};

impl State {
    pub(super) fn page(
        &self,
        view: &View,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Page, HubError> {
        let reader = self.reader(view)?;
        let shown = self.view(reader.as_ref());
        let rest: Vec<_> = shown.into_iter().filter(|(at, _, _)| *at > after).collect();
        let last = rest.get(..limit.get() as usize).unwrap_or(&rest).last();
        let end = last.map_or(after, |(_, _, row)| row.commit_last);
        let taken = rest.iter().take_while(|(at, _, _)| *at <= end).count();
        Ok(Page {
            more: taken < rest.len(),
            entries: rest[..taken].iter().copied().map(entry).collect(),
            state: self.feed_state(),
            view: reader.as_ref().map(SiteRecord::view),
        })
    }

    pub(super) fn history(
        &self,
        view: &View,
        key: &DocumentKey,
    ) -> Result<Vec<FeedEntry>, HubError> {
        let shown = self.view(self.reader(view)?.as_ref());
        let about = |row: &EntryRow| row.names.iter().any(|name| name.key == *key);
        Ok(shown.into_iter().filter(|(_, _, row)| about(row)).map(entry).collect())
    }

    fn reader(&self, view: &View) -> Result<Option<SiteRecord>, HubError> {
        match view {
            View::Whole => Ok(None),
            View::Site(site) => {
                self.site(site).map(Some).ok_or_else(|| HubError::UnknownSite(site.clone()))
            }
        }
    }

    /// Position, previous position and row of each entry that a reader sees.
    fn view(&self, reader: Option<&SiteRecord>) -> Vec<(u64, u64, &EntryRow)> {
        let mut previous = 0;
        (1..)
            .zip(&self.entries)
            .filter(|(position, row)| {
                reader.is_none_or(|record| self.shows(record, *position, row))
            })
            .map(|(position, row)| (position, std::mem::replace(&mut previous, position), row))
            .collect()
    }

    fn shows(&self, record: &SiteRecord, position: u64, row: &EntryRow) -> bool {
        let addressed = row.audience.addresses(&record.site, &record.groups);
        addressed && !self.passed_over.contains(&position)
    }
}

fn entry((position, previous_position, row): (u64, u64, &EntryRow)) -> FeedEntry {
    FeedEntry {
        position,
        previous_position,
        recorded_at: row.recorded_at,
        kind: row.kind,
        body: row.body.clone(),
    }
}
