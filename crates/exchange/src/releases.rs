//! Listing releases.

use std::num::NonZeroU32;

use chablon_model::{EntryBody, Moment, ReleaseId, View};
use chablon_store::FeedEntry;

use crate::read::says;
use crate::{Exchange, ReadError};

/// How many bytes of bodies a page of several releases may have; one release may have more.
const PAGE_BYTES: usize = 1024 * 1024;

/// A release as one reader sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// The release.
    pub id: ReleaseId,
    /// When the hub recorded it.
    pub recorded_at: Moment,
    /// The parts that address the reader, by position.
    pub parts: Vec<FeedEntry>,
}

impl Release {
    fn bytes(&self) -> usize {
        self.parts.iter().map(|part| part.body.bytes.len()).sum()
    }

    fn end(&self) -> u64 {
        self.parts.last().map_or(0, |part| part.position)
    }
}

/// Releases, as far as a page goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Releases {
    /// In the order of the feed.
    pub releases: Vec<Release>,
    /// The position after which there may be more.
    pub next: Option<u64>,
}

impl Exchange {
    /// The releases of a view after a position.
    pub async fn releases(
        &self,
        view: &View,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Releases, ReadError> {
        let mut page = Releases { releases: Vec::new(), next: Some(after) };
        while let Some(after) = page.next {
            let stretch = self.stretch(view, after, limit).await?;
            page.next = stretch.more.then_some(stretch.end);
            let found = by_release(stretch.entries)?;
            if page.filled(found, limit.get() as usize) {
                break;
            }
        }
        Ok(page)
    }
}

impl Releases {
    /// Takes releases until the page is full, and says whether it is.
    fn filled(&mut self, found: Vec<Release>, limit: usize) -> bool {
        let mut bytes: usize = self.releases.iter().map(Release::bytes).sum();
        for release in found {
            bytes += release.bytes();
            let enough = bytes > PAGE_BYTES || self.releases.len() == limit;
            if enough && !self.releases.is_empty() {
                self.next = self.releases.last().map(Release::end);
                return true;
            }
            self.releases.push(release);
        }
        self.releases.len() >= limit
    }
}

/// Gathers the parts of each release; they stand together.
fn by_release(entries: Vec<FeedEntry>) -> Result<Vec<Release>, ReadError> {
    let mut releases: Vec<Release> = Vec::new();
    for part in entries {
        let EntryBody::Release(manifest) = says(&part)? else { continue };
        match releases.last_mut().filter(|last| last.id == manifest.release) {
            Some(last) => last.parts.push(part),
            None => releases.push(Release {
                id: manifest.release,
                recorded_at: part.recorded_at,
                parts: vec![part],
            }),
        }
    }
    Ok(releases)
}
