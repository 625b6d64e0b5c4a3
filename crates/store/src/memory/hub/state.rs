//! What the store holds.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::num::NonZeroU32;
use std::ops::RangeInclusive;

use chablon_model::{
    Audience, DeviationId, Digest, DocumentKey, DraftId, GroupId, Moment, ReleaseId, RevisionRef,
    SiteId, View,
};

use super::deviations::DeviationRow;
use crate::hub::sees;
use crate::{
    AuditRecord, EntryKind, Epoch, FeedState, Frozen, Ground, Head, Request, RequestId, RootRecord,
    SiteRecord, Statement, StoredDraft, StoredLotNote, StoredRevision,
};

#[derive(Debug)]
pub(super) struct State {
    pub(super) epoch: Epoch,
    pub(super) revisions: HashMap<Digest, RevisionRow>,
    /// The latest revision of each document, in the order of the trait: by the name of the kind.
    pub(super) heads: BTreeMap<(&'static str, DocumentKey), Digest>,
    /// The entry at position n stands at n - 1.
    pub(super) entries: Vec<EntryRow>,
    /// Up to where sites' views were compacted, and what they show no more.
    pub(super) oldest: u64,
    pub(super) passed_over: BTreeSet<u64>,
    pub(super) requests: HashMap<RequestId, (Digest, RangeInclusive<u64>)>,
    pub(super) releases: HashMap<ReleaseId, RangeInclusive<u64>>,
    /// The revision of the site document that counts.
    pub(super) sites: BTreeMap<SiteId, Digest>,
    pub(super) deviations: BTreeMap<DeviationId, DeviationRow>,
    pub(super) lots: Vec<(Request, StoredLotNote)>,
    pub(super) acks: BTreeMap<(u64, SiteId, Statement), (Moment, Option<String>)>,
    pub(super) drafts: BTreeMap<DraftId, StoredDraft>,
    /// Requests for steps of drafts.
    pub(super) steps: HashMap<RequestId, Digest>,
    /// The record of number n stands at n - 1.
    pub(super) audit: Vec<AuditRecord>,
    /// By version, from 1 on.
    pub(super) roots: Vec<RootRecord>,
}

#[derive(Debug)]
pub(super) struct RevisionRow {
    pub(super) stored: StoredRevision,
    pub(super) pins: Vec<Digest>,
    pub(super) groups: BTreeSet<GroupId>,
}

#[derive(Debug)]
pub(super) struct EntryRow {
    pub(super) recorded_at: Moment,
    pub(super) kind: EntryKind,
    /// The last position of the same commit.
    pub(super) commit_last: u64,
    pub(super) audience: Audience,
    /// What it releases, withdraws or departs from.
    pub(super) names: Vec<RevisionRef>,
    pub(super) body: Frozen,
}

impl State {
    pub(super) fn new(epoch: Epoch) -> Self {
        Self {
            epoch,
            revisions: HashMap::new(),
            heads: BTreeMap::new(),
            entries: Vec::new(),
            oldest: 0,
            passed_over: BTreeSet::new(),
            requests: HashMap::new(),
            releases: HashMap::new(),
            sites: BTreeMap::new(),
            deviations: BTreeMap::new(),
            lots: Vec::new(),
            acks: BTreeMap::new(),
            drafts: BTreeMap::new(),
            steps: HashMap::new(),
            audit: Vec::new(),
            roots: Vec::new(),
        }
    }

    pub(super) fn position(&self) -> u64 {
        self.entries.len() as u64
    }

    pub(super) fn feed_state(&self) -> FeedState {
        FeedState { epoch: self.epoch.clone(), position: self.position(), oldest: self.oldest }
    }

    pub(super) fn entry(&self, position: u64) -> Option<&EntryRow> {
        self.entries.get(usize::try_from(position.checked_sub(1)?).ok()?)
    }

    pub(super) fn site(&self, site: &SiteId) -> Option<SiteRecord> {
        let row = self.revisions.get(self.sites.get(site)?)?;
        let (groups, stated_by) = (row.groups.clone(), row.stored.reference.clone());
        Some(SiteRecord { site: site.clone(), groups, stated_by })
    }

    pub(super) fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Vec<Head> {
        let after = after.map(|key| (key.kind.as_str(), key.clone()));
        self.heads
            .iter()
            .filter(|(place, _)| after.as_ref().is_none_or(|after| *place > after))
            .filter_map(|(_, digest)| self.head(view, digest))
            .take(limit.get() as usize)
            .collect()
    }

    pub(super) fn ground(&self, view: &View, documents: &[DocumentKey]) -> Ground {
        let head = |key: &DocumentKey| {
            let digest = self.heads.get(&(key.kind.as_str(), key.clone()))?;
            Some((key.clone(), self.head(view, digest)?))
        };
        let heads = documents.iter().filter_map(head).collect();
        Ground { root: self.roots.last().cloned(), heads }
    }

    fn head(&self, view: &View, digest: &Digest) -> Option<Head> {
        let StoredRevision { reference, visible_to, .. } = &self.revisions.get(digest)?.stored;
        let head = || Head { reference: reference.clone(), visible_to: visible_to.clone() };
        sees(view, visible_to).then(head)
    }
}
