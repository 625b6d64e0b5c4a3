//! The last entries of the feed, read and decoded once for all who follow it.

use std::collections::{BTreeSet, VecDeque};
use std::num::NonZeroU32;
use std::sync::Arc;
use std::time::Duration;

use chablon_model::{Audience, DocumentKind, EntryBody, RevisionRef, SiteId, View};
use chablon_store::{Epoch, FeedEntry};
use tokio::sync::Mutex;
use tokio::time::Instant;

use crate::read::says;
use crate::stretch::Stretch;
use crate::{Exchange, StoreFault};

/// How many stretches are kept. A stretch has a mebibyte at most, unless a single change has more.
const STRETCHES: usize = 16;

/// How many entries are read at a time.
const STEP: NonZeroU32 = NonZeroU32::new(100).unwrap();

/// How old what is known may be while nobody says that there is more.
const FRESH: Duration = Duration::from_secs(1);

/// The last entries. They are read when the first of those who follow asks; the others wait for it.
#[derive(Clone, Default)]
pub(crate) struct Recent(Arc<Mutex<Option<Held>>>);

struct Held {
    epoch: Epoch,
    stretches: VecDeque<Arc<Shared>>,
    /// Up to where the feed was read.
    end: u64,
    read_at: Instant,
}

/// A stretch of the whole feed, no release of it split.
pub(crate) struct Shared {
    /// The position after which it begins.
    after: u64,
    pub(crate) end: u64,
    entries: Vec<SharedEntry>,
}

struct SharedEntry {
    /// As the whole view shows it. Its bytes are shared by all copies.
    entry: FeedEntry,
    audience: Audience,
    /// The sites whose documents it releases or withdraws: their groups may be others after it.
    sites: BTreeSet<SiteId>,
}

impl Shared {
    fn of(after: u64, stretch: Stretch) -> Result<Self, StoreFault> {
        let entries = stretch.entries.into_iter().map(SharedEntry::of);
        Ok(Self { after, end: stretch.end, entries: entries.collect::<Result<_, _>>()? })
    }

    /// Whether any entry may change the groups of a site.
    pub(crate) fn concerns(&self, site: &SiteId) -> bool {
        self.entries.iter().any(|one| one.sites.contains(site))
    }

    /// The entries after a position that address somebody, as copies that share their bytes.
    pub(crate) fn after(
        &self,
        position: u64,
        addressed: impl Fn(&Audience) -> bool,
    ) -> impl Iterator<Item = FeedEntry> {
        let later = self.entries.iter().filter(move |one| one.entry.position > position);
        later.filter(move |one| addressed(&one.audience)).map(|one| one.entry.clone())
    }
}

impl SharedEntry {
    fn of(entry: FeedEntry) -> Result<Self, StoreFault> {
        let (audience, sites) = match says(&entry)? {
            EntryBody::Release(manifest) => {
                let sites = manifest.items.iter().filter_map(site_of).collect();
                (manifest.audience, sites)
            }
            EntryBody::Withdrawal(withdrawal) => {
                let sites = site_of(&withdrawal.revision).into_iter().collect();
                (withdrawal.audience, sites)
            }
            EntryBody::Deviation(deviation) => (Audience::site(deviation.site), BTreeSet::new()),
        };
        Ok(Self { entry, audience, sites })
    }
}

fn site_of(revision: &RevisionRef) -> Option<SiteId> {
    let key = &revision.key;
    (key.kind == DocumentKind::Site).then(|| SiteId::from(&key.id))
}

impl Held {
    fn at(epoch: Epoch, end: u64) -> Self {
        Self { epoch, stretches: VecDeque::new(), end, read_at: Instant::now() }
    }

    fn add(&mut self, shared: Shared) {
        self.end = shared.end;
        self.stretches.push_back(Arc::new(shared));
        if self.stretches.len() > STRETCHES {
            self.stretches.pop_front();
        }
    }

    fn next(&self, position: u64) -> Option<Arc<Shared>> {
        let holds = |one: &&Arc<Shared>| one.after <= position && position < one.end;
        self.stretches.iter().find(holds).cloned()
    }
}

/// What is known of the feed after a position.
pub(crate) enum Known {
    /// These entries and perhaps more.
    More(Arc<Shared>),
    /// Nothing.
    Nothing,
    /// The position lies before what is kept, or in another history.
    TooFarBack,
}

impl Exchange {
    /// What follows a position in the feed, as far as `heard` at least, without asking the store
    /// where somebody else did.
    pub(crate) async fn recent(
        &self,
        epoch: &str,
        position: u64,
        heard: u64,
    ) -> Result<Known, StoreFault> {
        let mut held = self.recent.0.lock().await;
        let known = held.as_ref().filter(|held| held.epoch.as_str() == epoch);
        if known.is_none_or(|held| held.end < heard || held.read_at.elapsed() > FRESH) {
            self.hold_more(&mut held, position).await?;
        }
        let Some(held) = held.as_ref().filter(|held| held.epoch.as_str() == epoch) else {
            return Ok(Known::TooFarBack);
        };
        Ok(match held.next(position) {
            Some(shared) => Known::More(shared),
            None if position == held.end => Known::Nothing,
            None => Known::TooFarBack,
        })
    }

    /// Forgets what is held, because it was signed anew.
    pub(crate) async fn forget_recent(&self) {
        *self.recent.0.lock().await = None;
    }

    /// Reads what follows what is held, or a position where nothing is.
    async fn hold_more(&self, held: &mut Option<Held>, position: u64) -> Result<(), StoreFault> {
        loop {
            let after = held.as_ref().map_or(position, |held| held.end);
            let stretch = self.stretch(&View::Whole, after, STEP).await.map_err(StoreFault::of)?;
            let epoch = &stretch.state.epoch;
            let same = |held: &Held| held.epoch == *epoch && held.end <= stretch.state.position;
            if !held.as_ref().is_some_and(same) {
                // Another history, or the first that is heard of it.
                *held = Some(Held::at(epoch.clone(), stretch.state.position.min(position)));
                if after != position {
                    continue;
                }
            }
            let held = held.as_mut().expect("made above");
            held.read_at = Instant::now();
            let more = stretch.more;
            if stretch.end > after {
                held.add(Shared::of(after, stretch)?);
            }
            if !more {
                return Ok(());
            }
        }
    }
}
