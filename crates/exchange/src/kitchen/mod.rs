//! A kitchen's replica as a store that is read: so that tools in the kitchen get figures by the very
//! code that a hub computes with.

use std::collections::BTreeMap;
use std::num::NonZeroU32;
use std::ops::RangeInclusive;
use std::sync::Arc;

use async_trait::async_trait;
use chablon_model::{
    DeviationId, Digest, DocumentContent, DocumentKey, EntryBody, ReleaseId, RevisionRef, SiteId,
    View, Visibility,
};
use chablon_store::{
    Ack, AckFilter, AskCommit, Committed, Compaction, DecisionCommit, FeedEntry, FeedState, Ground,
    Head, HeldRevision, HubError, HubStore, LotCommit, LotFilter, Page, ReleaseCommit,
    ReplicaError, ReplicaStore, RootCommit, RootRecord, SigningCommit, SiteRecord, StoredDeviation,
    StoredLotNote, StoredRevision, WithdrawalCommit,
};
use chablon_trust::groups_of;
use chablon_wire::{AccessToken, decode_revision};
use tokio::sync::watch;

mod age;
mod visitor;

use visitor::Visitor;

use crate::StoreFault;
use crate::read::{entries, says};

/// A kitchen's replica as the store of one that serves.
///
/// It shows the view of its own site as far as the kitchen has caught up, and nothing else: to every
/// other view it answers that there is no such site. Whatever would change something fails, and so
/// does what a replica doesn't hold.
pub struct KitchenStore {
    replica: Arc<dyn ReplicaStore>,
    site: SiteId,
    visitor: Option<Visitor>,
    committed: watch::Sender<u64>,
}

impl KitchenStore {
    /// The replica of a site.
    pub fn new(replica: Arc<dyn ReplicaStore>, site: SiteId) -> Self {
        Self { replica, site, visitor: None, committed: watch::Sender::new(0) }
    }

    /// Knowing one token, by which the site's view may be read.
    #[must_use]
    pub fn with_visitor(self, token: &AccessToken) -> Self {
        Self { visitor: Some(Visitor::new(token)), ..self }
    }

    /// Whose replica it is.
    pub fn whose(&self) -> &SiteId {
        &self.site
    }

    /// Whether the kitchen has taken anything yet.
    pub async fn has_begun(&self) -> Result<bool, StoreFault> {
        let cursor = self.replica.cursor().await;
        Ok(cursor.map_err(|error| StoreFault::of(fault(error)))?.is_some())
    }

    fn own(&self, view: &View) -> Result<(), HubError> {
        match view {
            View::Site(site) if *site == self.site => Ok(()),
            View::Site(other) => Err(HubError::UnknownSite(other.clone())),
            View::Whole => Err(not_here("the whole group's view")),
        }
    }

    fn shown(&self, HeldRevision { reference, bytes }: HeldRevision) -> StoredRevision {
        StoredRevision { reference, visible_to: Visibility::Site(self.site.clone()), bytes }
    }

    fn head(&self, reference: RevisionRef) -> Head {
        Head { reference, visible_to: Visibility::Site(self.site.clone()) }
    }

    /// The latest revision that was ever released to the site of each document.
    async fn latest(&self) -> Result<BTreeMap<DocumentKey, RevisionRef>, HubError> {
        let mut latest: BTreeMap<DocumentKey, RevisionRef> = BTreeMap::new();
        for entry in self.replica.entries().await.map_err(fault)? {
            let EntryBody::Release(manifest) = read(&entry)? else { continue };
            for item in manifest.items {
                let known = latest.entry(item.key.clone()).or_insert_with(|| item.clone());
                if known.number < item.number {
                    *known = item;
                }
            }
        }
        Ok(latest)
    }

    /// The revision of the site's own document that says which groups it belongs to.
    async fn stated_by(&self) -> Result<Option<RevisionRef>, HubError> {
        let own = DocumentKey::from(&self.site);
        let history = self.replica.history(&own).await.map_err(fault)?;
        let said = entries(&history, &View::Site(self.site.clone()))
            .map_err(|error| unreadable(&error))?;
        Ok(groups_of(&said, &self.site).cloned())
    }
}

#[async_trait]
impl HubStore for KitchenStore {
    async fn state(&self) -> Result<FeedState, HubError> {
        let cursor = self.replica.cursor().await.map_err(fault)?;
        let cursor =
            cursor.ok_or_else(|| not_here("anything, until it has caught up with a hub"))?;
        Ok(FeedState { epoch: cursor.epoch, position: cursor.position, oldest: 0 })
    }

    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError> {
        self.own(view)?;
        let order = |key: &DocumentKey| (key.kind.as_str(), key.id.clone());
        let mut latest: Vec<RevisionRef> = self.latest().await?.into_values().collect();
        latest.sort_by_key(|one| order(&one.key));
        let later =
            latest.into_iter().filter(|one| after.is_none_or(|key| order(&one.key) > order(key)));
        Ok(later.take(limit.get() as usize).map(|one| self.head(one)).collect())
    }

    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError> {
        self.own(view)?;
        let trust = self.replica.trust().await.map_err(fault)?;
        let root = trust.map(|trust| RootRecord { version: trust.version, frozen: trust.root });
        let mut latest = self.latest().await?;
        let heads = documents.iter().filter_map(|key| latest.remove_entry(key));
        Ok(Ground { root, heads: heads.map(|(key, one)| (key, self.head(one))).collect() })
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        let held = self.replica.revisions(digests).await.map_err(fault)?;
        Ok(held.into_iter().map(|held| self.shown(held)).collect())
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError> {
        self.replica.closure(digests).await.map_err(fault)
    }

    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError> {
        self.own(view)?;
        // The cursor is read first: entries that come meanwhile lie after it and are left for later.
        let cursor = self.replica.cursor().await.map_err(fault)?;
        let cursor = cursor.ok_or_else(|| HubError::UnknownSite(self.site.clone()))?;
        let (epoch, position) = (cursor.epoch, cursor.position);
        let within = |one: &FeedEntry| after < one.position && one.position <= position;
        let mut entries = self.replica.entries().await.map_err(fault)?;
        entries.retain(within);
        let more = cut(&mut entries, limit)?;
        let state = FeedState { epoch, position, oldest: 0 };
        Ok(Page { entries, more, state, view: Some(cursor.view) })
    }

    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError> {
        self.own(view)?;
        self.replica.history(key).await.map_err(fault)
    }

    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError> {
        if *site != self.site {
            return Ok(None);
        }
        let Some(stated_by) = self.stated_by().await? else { return Ok(None) };
        let held = self.replica.revision(stated_by.digest).await.map_err(fault)?;
        let lost = || HubError::Damaged(format!("revision `{}` is gone", stated_by.digest));
        let unread = |error| HubError::Damaged(format!("`{site}` can't be read: {error}"));
        let revision = decode_revision(&held.ok_or_else(lost)?.bytes).map_err(unread)?;
        let DocumentContent::Site(described) = revision.content else { return Ok(None) };
        let groups = described.groups.into_iter().collect();
        Ok(Some(SiteRecord { site: site.clone(), groups, stated_by }))
    }

    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError> {
        Ok(self.site(&self.site).await?.into_iter().collect())
    }

    fn subscribe(&self) -> watch::Receiver<u64> {
        self.committed.subscribe()
    }

    async fn release(&self, _: ReleaseCommit) -> Result<Committed, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn withdraw(&self, _: WithdrawalCommit) -> Result<Committed, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn compact(&self, _: Compaction) -> Result<FeedState, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn ask_deviation(&self, _: AskCommit) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }

    async fn decide_deviation(&self, _: DecisionCommit) -> Result<Committed, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn deviation(&self, _: &DeviationId) -> Result<Option<StoredDeviation>, HubError> {
        Err(not_here("requests for deviations"))
    }

    async fn deviations(
        &self,
        _: Option<&SiteId>,
        _: Option<&DeviationId>,
        _: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError> {
        Err(not_here("requests for deviations"))
    }

    async fn release_positions(
        &self,
        _: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError> {
        Err(not_here("other views' positions"))
    }

    async fn acknowledge(&self, _: Vec<Ack>) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }

    async fn acks(&self, _: &AckFilter) -> Result<Vec<Ack>, HubError> {
        Err(not_here("what others said"))
    }

    async fn add_root(&self, _: RootCommit) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }

    async fn roots(&self, _: u32) -> Result<Vec<RootRecord>, HubError> {
        Err(not_here("the versions of the root"))
    }

    async fn sign_entries(&self, _: SigningCommit) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }

    async fn note_lot(&self, _: LotCommit) -> Result<u64, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn lot_notes(
        &self,
        _: &LotFilter,
        _: u64,
        _: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError> {
        Err(not_here("notes on lots"))
    }
}

/// Cuts a page so that no release is split; whether there is more after it.
fn cut(entries: &mut Vec<FeedEntry>, limit: NonZeroU32) -> Result<bool, HubError> {
    let mut end = (limit.get() as usize).min(entries.len());
    while end > 0 && end < entries.len() {
        let (last, next) = (release(&entries[end - 1])?, release(&entries[end])?);
        if last.is_none() || last != next {
            break;
        }
        end += 1;
    }
    let more = end < entries.len();
    entries.truncate(end);
    Ok(more)
}

/// The release of which an entry is a part, if of any.
fn release(entry: &FeedEntry) -> Result<Option<ReleaseId>, HubError> {
    Ok(match read(entry)? {
        EntryBody::Release(manifest) => Some(manifest.release),
        EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => None,
    })
}

fn read(entry: &FeedEntry) -> Result<EntryBody, HubError> {
    says(entry).map_err(|error| unreadable(&error))
}

fn unreadable(error: &StoreFault) -> HubError {
    HubError::Damaged(error.to_string())
}

/// What a failure of a replica is to whoever reads it as a store.
fn fault(error: ReplicaError) -> HubError {
    match error {
        ReplicaError::Damaged(what) => HubError::Damaged(what),
        ReplicaError::Unavailable(source) => HubError::Unavailable(source),
        other => HubError::Damaged(other.to_string()),
    }
}

/// What was asked of a replica that only a hub has.
fn not_here(what: &str) -> HubError {
    HubError::Unavailable(format!("a kitchen's replica doesn't hold {what}; ask a hub").into())
}
