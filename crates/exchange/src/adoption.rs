//! Who is on what: what sites say about entries.

use std::collections::{BTreeMap, HashMap};
use std::num::NonZeroU32;
use std::ops::RangeInclusive;

use chablon_model::{Audience, Digest, EntryBody, Moment, SiteId, View};
use chablon_store::{Ack, AckFilter, FeedEntry, HubError, SiteRecord, Statement};
use chablon_wire::Adoption;

use crate::read::says;
use crate::{Exchange, ReadError, StoreFault};

/// How many entries are looked through at a time.
const STEP: NonZeroU32 = NonZeroU32::new(16).unwrap();

/// Why statements aren't taken. None of the batch was.
#[derive(Debug, thiserror::Error)]
pub enum AdoptionError {
    /// No released document describes the site.
    #[error("site `{0}` is unknown; release its site document first")]
    UnknownSite(SiteId),
    /// No entry at this position addresses the site.
    #[error("no entry at position {position} addresses site `{site}`; list the feed again")]
    UnknownEntry {
        /// The site.
        site: SiteId,
        /// The position.
        position: u64,
    },
    /// The entry at this position is another one.
    #[error(
        "the entry at position {position} has the digest `{stored}`, not `{stated}`: the site \
         holds another history; list the feed again from position 0"
    )]
    OtherEntry {
        /// The position.
        position: u64,
        /// The digest that was stated.
        stated: Digest,
        /// The digest of the entry.
        stored: Digest,
    },
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for AdoptionError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::UnknownSite(site) => Self::UnknownSite(site),
            HubError::EntryMismatch { position, stated, stored } => {
                Self::OtherEntry { position, stated, stored }
            }
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

/// Adoption, as far as a page goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Adoptions {
    /// By position and then by site.
    pub adoptions: Vec<Adoption>,
    /// Whether there is more after these.
    pub more: bool,
}

/// Which adoption is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdoptionQuery {
    /// Only of this site.
    pub site: Option<SiteId>,
    /// Only of entries at these positions.
    pub positions: RangeInclusive<u64>,
    /// Only after this entry and site.
    pub after: Option<(u64, SiteId)>,
    /// How many at most.
    pub limit: NonZeroU32,
}

impl AdoptionQuery {
    fn asks_for(&self, position: u64, site: &SiteId) -> bool {
        self.site.as_ref().is_none_or(|wanted| wanted == site)
            && self.after.as_ref().is_none_or(|after| (after.0, &after.1) < (position, site))
    }

    /// The position after which to read.
    fn start(&self) -> u64 {
        let first = self.positions.start().saturating_sub(1);
        // Sites of the last entry shown may be left over, so it is read again.
        let shown = self.after.as_ref().map_or(0, |(position, _)| position.saturating_sub(1));
        first.max(shown)
    }
}

impl Exchange {
    /// Keeps what sites say about entries: all of it or, on an error, none.
    pub async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), AdoptionError> {
        let mut by_site: BTreeMap<&SiteId, Vec<&Ack>> = BTreeMap::new();
        for ack in &acks {
            by_site.entry(&ack.site).or_default().push(ack);
        }
        for (site, acks) in by_site {
            self.addressed(site, acks).await?;
        }
        Ok(self.store.acknowledge(acks).await?)
    }

    /// What is known of entries at the sites that they address now.
    pub async fn adoption(&self, query: &AdoptionQuery) -> Result<Adoptions, ReadError> {
        let sites = self.asked_sites(query.site.as_ref()).await?;
        let limit = query.limit.get() as usize;
        let mut found = Adoptions::default();
        let mut end = query.start();
        loop {
            let stretch = self.stretch(&View::Whole, end, STEP).await?;
            let asked = stretch.entries.into_iter();
            let entries: Vec<FeedEntry> =
                asked.filter(|entry| query.positions.contains(&entry.position)).collect();
            let ended = !stretch.more || stretch.end >= *query.positions.end();
            found.adoptions.extend(self.rows(&entries, &sites, query).await?);
            found.more = found.adoptions.len() > limit;
            if ended || found.more {
                found.adoptions.truncate(limit);
                return Ok(found);
            }
            end = stretch.end;
        }
    }

    async fn asked_sites(&self, site: Option<&SiteId>) -> Result<Vec<SiteRecord>, ReadError> {
        match site {
            Some(site) => Ok(vec![self.record(site).await?]),
            None => Ok(self.store.sites().await?),
        }
    }

    async fn rows(
        &self,
        entries: &[FeedEntry],
        sites: &[SiteRecord],
        query: &AdoptionQuery,
    ) -> Result<Vec<Adoption>, ReadError> {
        let said = self.said(entries, query.site.clone()).await?;
        let mut rows = Vec::new();
        for entry in entries {
            let audience = audience(says(entry)?);
            let addressed = sites.iter().filter(|record| {
                audience.addresses(&record.site, &record.groups)
                    && query.asks_for(entry.position, &record.site)
            });
            rows.extend(addressed.map(|record| row(entry, &record.site, &said)));
        }
        Ok(rows)
    }

    /// What sites said about these entries.
    async fn said(&self, entries: &[FeedEntry], site: Option<SiteId>) -> Result<Said, ReadError> {
        let (Some(first), Some(last)) = (entries.first(), entries.last()) else {
            return Ok(Said::new());
        };
        let filter = AckFilter { positions: first.position..=last.position, site };
        let acks = self.store.acks(&filter).await?;
        let said = |ack: Ack| ((ack.position, ack.site, ack.statement), (ack.at, ack.reason));
        Ok(acks.into_iter().map(said).collect())
    }

    /// Refuses statements about entries that don't address their site.
    async fn addressed(&self, site: &SiteId, mut acks: Vec<&Ack>) -> Result<(), AdoptionError> {
        let view = View::Site(site.clone());
        acks.sort_by_key(|ack| ack.position);
        let mut seen = Window::default();
        for ack in acks {
            let position = ack.position;
            if position > seen.end {
                let stretch = self.stretch(&view, position.saturating_sub(1), STEP).await?;
                seen = Window { end: stretch.end.max(position), entries: stretch.entries };
            }
            seen.check(site, ack)?;
        }
        Ok(())
    }
}

/// When sites said what about which entry, and why.
type Said = HashMap<(u64, SiteId, Statement), (Moment, Option<String>)>;

fn row(entry: &FeedEntry, site: &SiteId, said: &Said) -> Adoption {
    let about = |statement| said.get(&(entry.position, site.clone(), statement));
    let at = |statement| about(statement).map(|(at, _)| *at);
    let refused = about(Statement::Refused);
    Adoption {
        site: site.clone(),
        position: entry.position,
        body_digest: entry.body.digest,
        received_at: at(Statement::Received),
        in_use_at: at(Statement::InUse),
        refused: refused.map(|(at, why)| (*at, why.clone().unwrap_or_default())),
    }
}

fn audience(body: EntryBody) -> Audience {
    match body {
        EntryBody::Release(manifest) => manifest.audience,
        EntryBody::Withdrawal(withdrawal) => withdrawal.audience,
        EntryBody::Deviation(deviation) => Audience::site(deviation.site),
    }
}

/// A part of a site's view.
#[derive(Default)]
struct Window {
    /// The last position that it covers.
    end: u64,
    entries: Vec<FeedEntry>,
}

impl Window {
    /// Whether a statement is about an entry that stands here.
    fn check(&self, site: &SiteId, ack: &Ack) -> Result<(), AdoptionError> {
        let Ack { position, body_digest: stated, .. } = *ack;
        let entry = self.entries.iter().find(|entry| entry.position == position);
        match entry.map(|entry| entry.body.digest) {
            None => Err(AdoptionError::UnknownEntry { site: site.clone(), position }),
            Some(stored) if stored != stated => {
                Err(AdoptionError::OtherEntry { position, stated, stored })
            }
            Some(_) => Ok(()),
        }
    }
}
