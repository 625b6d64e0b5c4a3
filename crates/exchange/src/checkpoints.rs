//! What the hub vouches for.
//!
//! A checkpoint covers a prefix of a site's view. Its chain is carried on from the last one that was
//! made for that site, so that a reader that goes through a long feed page by page costs each entry
//! once. What is in force is worked out at the end of the feed alone, and again only when an entry
//! comes or a moment passes from which something holds.

use std::collections::{BTreeMap, HashMap};
use std::num::NonZeroU32;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use chablon_model::{ChainPlace, Checkpoint, Digest, Entry, EntryBody, Moment, SiteId, View};
use chablon_store::{FeedEntry, Frozen, SiteRecord};
use chablon_trust::{Chain, Payload, SigningKey, state_digest};
use chablon_wire::{FeedCursor, encode_checkpoint};

use crate::read::{payload, says};
use crate::{Changes, Exchange, FeedError, ReadError, blocking};

/// How many places of a site's chain are kept: readers of one site are few, and most are at its end.
const PLACES: usize = 16;

/// How many entries are read at a time to carry a chain on.
const STEP: NonZeroU32 = NonZeroU32::new(1000).unwrap();

/// A key, and what was worked out already.
pub(crate) struct Checkpoints {
    key: SigningKey,
    valid_for: Duration,
    known: Mutex<HashMap<SiteId, Known>>,
}

/// What is known of a site's view.
#[derive(Clone, Debug, Default)]
struct Known {
    epoch: String,
    view: Option<Digest>,
    chains: BTreeMap<u64, Chain>,
    /// Where the snapshot ends, which every reader is told.
    snapshot: Option<(u64, Chain)>,
    state: Option<State>,
}

/// What is in force by a position, from one moment up to another.
#[derive(Clone, Copy, Debug)]
struct State {
    position: u64,
    from: Moment,
    until: Moment,
    digest: Digest,
}

impl Checkpoints {
    pub(crate) fn new(key: SigningKey, valid_for: Duration) -> Self {
        Self { key, valid_for, known: Mutex::default() }
    }

    /// The lock guards what can be worked out again, so that of a thread that panicked is no harm.
    fn lock(&self) -> MutexGuard<'_, HashMap<SiteId, Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Works with what is known of a site's view as a cursor names it.
    fn with<T>(&self, site: &SiteId, at: &FeedCursor, work: impl FnOnce(&mut Known) -> T) -> T {
        let mut all = self.lock();
        let known = all.entry(site.clone()).or_default();
        if (&known.epoch, known.view) != (&at.epoch, at.view) {
            *known = Known { epoch: at.epoch.clone(), view: at.view, ..Known::default() };
        }
        work(known)
    }

    /// The furthest place of the chain that is known, up to a cursor.
    fn place(&self, site: &SiteId, at: &FeedCursor) -> (u64, Chain) {
        let found = self.with(site, at, |known| {
            let last = known.chains.range(..=at.position).next_back();
            let last = last.map(|(at, chain)| (*at, *chain));
            let snapshot = known.snapshot.filter(|(end, _)| *end <= at.position);
            last.into_iter().chain(snapshot).max_by_key(|(at, _)| *at)
        });
        found.unwrap_or((0, Chain::new()))
    }

    fn keep(&self, site: &SiteId, at: &FeedCursor, chain: Chain) {
        self.with(site, at, |known| {
            known.chains.insert(at.position, chain);
            while known.chains.len() > PLACES {
                known.chains.pop_first();
            }
        });
    }

    fn state(&self, site: &SiteId, at: &FeedCursor, now: Moment) -> Option<Digest> {
        let holds = |state: &State| {
            state.position == at.position && (state.from..state.until).contains(&now)
        };
        self.with(site, at, |known| known.state.filter(holds).map(|state| state.digest))
    }

    fn sign(&self, checkpoint: &Checkpoint) -> Frozen {
        let frozen = Frozen::new(encode_checkpoint(checkpoint));
        let signature = self.key.sign(Payload::Checkpoint, &frozen.bytes);
        Frozen { signatures: vec![signature], ..frozen }
    }

    fn expiry(&self, now: Moment) -> Moment {
        let valid_for = i64::try_from(self.valid_for.as_millis()).unwrap_or(i64::MAX);
        Moment(now.0.saturating_add(valid_for.max(1)))
    }
}

impl Exchange {
    /// What the hub vouches for with changes that a site is shown; nothing without a key.
    pub async fn vouch(
        &self,
        view: &View,
        changes: &Changes,
        now: Moment,
    ) -> Result<Option<Frozen>, FeedError> {
        let (Some(checkpoints), View::Site(site), Some(its_view)) =
            (&self.checkpoints, view, changes.next.view)
        else {
            return Ok(None);
        };
        let record = self.store.site(site).await.map_err(FeedError::from)?;
        let record = record.filter(|record| record.view() == its_view);
        let record = record.ok_or_else(|| FeedError::ViewChanged(Some(site.clone())))?;
        let chain = self.chain(checkpoints, &record, &changes.next).await?;
        let snapshot = self.snapshot(checkpoints, &record, &changes.next).await?;
        let state = if changes.more {
            None
        } else {
            Some(self.in_force(checkpoints, site, &changes.next, now).await?)
        };
        let checkpoint = Checkpoint {
            site: site.clone(),
            epoch: changes.next.epoch.clone(),
            view: its_view,
            position: changes.next.position,
            chain: chain.digest(),
            snapshot,
            state,
            issued_at: now,
            expires_at: checkpoints.expiry(now),
        };
        Ok(Some(checkpoints.sign(&checkpoint)))
    }

    /// Where the snapshot ends with which the view begins, if it was compacted.
    async fn snapshot(
        &self,
        checkpoints: &Checkpoints,
        record: &SiteRecord,
        at: &FeedCursor,
    ) -> Result<Option<ChainPlace>, FeedError> {
        let position = self.store.state().await?.oldest;
        if position == 0 {
            return Ok(None);
        }
        let end = FeedCursor { position, ..at.clone() };
        let chain = self.chain(checkpoints, record, &end).await?;
        checkpoints.with(&record.site, &end, |known| known.snapshot = Some((position, chain)));
        Ok(Some(ChainPlace { position, chain: chain.digest() }))
    }

    /// The chain of a view's entries up to a cursor. It runs over those that a compacted view passes
    /// over, too, so the whole view is read, which never is compacted.
    async fn chain(
        &self,
        checkpoints: &Checkpoints,
        record: &SiteRecord,
        to: &FeedCursor,
    ) -> Result<Chain, FeedError> {
        let SiteRecord { site, groups, .. } = record;
        let (mut at, mut chain) = checkpoints.place(site, to);
        while at < to.position {
            let stretch = self.stretch(&View::Whole, at, STEP).await?;
            if stretch.state.epoch.as_str() != to.epoch || stretch.end <= at {
                return Err(FeedError::ViewChanged(Some(site.clone())));
            }
            for entry in stretch.entries.iter().filter(|entry| entry.position <= to.position) {
                if says(entry)?.addresses(site, groups) {
                    chain = then(chain, entry);
                }
            }
            at = stretch.end;
        }
        checkpoints.keep(site, to, chain);
        Ok(chain)
    }

    /// What is in force by a cursor.
    async fn in_force(
        &self,
        checkpoints: &Checkpoints,
        site: &SiteId,
        at: &FeedCursor,
        now: Moment,
    ) -> Result<Digest, FeedError> {
        if let Some(digest) = checkpoints.state(site, at, now) {
            return Ok(digest);
        }
        let entries = self.view_entries(&View::Site(site.clone()), Some(at)).await;
        let (entries, _) = entries.map_err(|error| of_reading(error, site))?;
        let state = blocking({
            let position = at.position;
            move || State {
                position,
                from: now,
                until: next_turn(&entries, now),
                digest: state_digest(&entries, now),
            }
        })
        .await;
        checkpoints.with(site, at, |known| known.state = Some(state));
        Ok(state.digest)
    }
}

fn then(chain: Chain, entry: &FeedEntry) -> Chain {
    chain.then(entry.position, payload(entry.kind), &entry.body.digest)
}

/// The next moment from which something else may be in force.
fn next_turn(entries: &[Entry], now: Moment) -> Moment {
    let holds_from = |entry: &Entry| match &entry.body {
        EntryBody::Release(manifest) => Some(manifest.holds_from),
        EntryBody::Withdrawal(withdrawal) => Some(withdrawal.holds_from),
        // It lies over what is in force and puts nothing else in force.
        EntryBody::Deviation(_) => None,
    };
    let ahead = entries.iter().filter_map(holds_from).filter(|from| *from > now);
    ahead.min().unwrap_or(Moment(i64::MAX))
}

fn of_reading(error: ReadError, site: &SiteId) -> FeedError {
    match error {
        ReadError::UnknownSite(site) => FeedError::UnknownSite(site),
        ReadError::Store(fault) => FeedError::Store(fault),
        // The list that was begun isn't there any more: the groups have changed.
        _ => FeedError::ViewChanged(Some(site.clone())),
    }
}
