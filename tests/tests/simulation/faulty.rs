//! A store that lies to the sites that read the feed: what finds nothing proves nothing unless it
//! finds that.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;
use std::sync::Arc;

use async_trait::async_trait;
use chablon_model::{
    ActorName, DeviationId, Digest, DocumentKey, Draft, DraftId, DraftState, Moment, ReleaseId,
    RevisionRef, SiteId, View,
};
use chablon_store::{
    AccessStore, Account, AccountRecord, Ack, AckFilter, AskCommit, Attempt, AuditEntry, AuditLog,
    Committed, Compaction, DecisionCommit, DraftCommit, DraftStore, EntryKind, FeedEntry,
    FeedState, Ground, Head, HubError, HubStore, KeptToken, LotCommit, LotFilter, MemoryHub,
    NewEnrolment, Page, ReleaseCommit, Revocation, RootCommit, RootRecord, SigningCommit,
    SiteRecord, StoredDeviation, StoredDraft, StoredLotNote, StoredRevision, TokenId,
    WithdrawalCommit,
};
use tokio::sync::watch;

use crate::chef::LAST;

/// What is done to a view before it is shown. What lies before the chef's first correction stays.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Fault {
    /// Every fourth entry is left out, and the seam hidden.
    Drops,
    /// Every fourth entry changes places with the next one.
    Swaps,
    /// The chef's last release is acknowledged and not made.
    Forgets,
    /// The first withdrawal is missing at one site.
    LosesAWithdrawal,
    /// What was decided of other sites' deviations is shown to one site as well.
    GivesAway,
}

/// The chef's first release has a part for all and one for each of two kitchens.
const FIRST_CORRECTION: u64 = 4;

/// The site that is wronged, where it is one.
const WRONGED: &str = "millrace";

impl Fault {
    /// Whether every hub is wronged, so that a kitchen may well be equal to all of them.
    pub(crate) fn is_of_the_store(self) -> bool {
        matches!(self, Self::LosesAWithdrawal | Self::GivesAway)
    }

    /// Changes what a site is shown, given all that there is.
    fn harm(self, site: &SiteId, entries: &mut Vec<FeedEntry>, all: &[FeedEntry]) {
        let wronged = site.as_str() == WRONGED;
        match self {
            Self::Drops => entries.retain(|one| !meant(one)),
            Self::Swaps => {
                for pair in 1..entries.len() {
                    if meant(&entries[pair - 1]) {
                        swap(entries, pair);
                    }
                }
            }
            Self::LosesAWithdrawal if wronged => {
                let first = entries.iter().position(|one| one.kind == EntryKind::Withdrawal);
                first.map(|first| entries.remove(first));
            }
            Self::GivesAway if wronged => {
                let decisions = all.iter().filter(|one| one.kind == EntryKind::Deviation);
                entries.retain(|one| one.kind != EntryKind::Deviation);
                entries.extend(decisions.cloned());
                entries.sort_by_key(|one| one.position);
            }
            Self::Forgets | Self::LosesAWithdrawal | Self::GivesAway => {}
        }
        let mut last = 0;
        for entry in entries {
            entry.previous_position = last;
            last = entry.position;
        }
    }
}

fn meant(entry: &FeedEntry) -> bool {
    entry.position > FIRST_CORRECTION && entry.position.is_multiple_of(4)
}

/// What two neighbours say changes places; their positions stay.
fn swap(entries: &mut [FeedEntry], second: usize) {
    entries.swap(second - 1, second);
    let position = entries[second].position;
    entries[second].position = entries[second - 1].position;
    entries[second - 1].position = position;
}

/// A store through which the feed is seen with a fault. All else is as it is.
pub(crate) struct Faulty(pub(crate) Arc<MemoryHub>, pub(crate) Fault);

impl Faulty {
    async fn harmed(&self, site: &SiteId, after: u64) -> Result<Page, HubError> {
        let all = self.0.entries(&View::Whole, 0, NonZeroU32::MAX).await?.entries;
        let mut page = self.0.entries(&View::Site(site.clone()), 0, NonZeroU32::MAX).await?;
        self.1.harm(site, &mut page.entries, &all);
        page.entries.retain(|one| one.position > after);
        Ok(page)
    }

    /// Whether this is what the chef releases last.
    fn is_last(commit: &ReleaseCommit) -> bool {
        commit.parts.iter().any(|part| part.manifest.note == LAST)
    }
}

#[async_trait]
impl AccessStore for Faulty {
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError> {
        self.0.prepare_enrolment(commit).await
    }

    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError> {
        self.0.enrol(attempt).await
    }

    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        self.0.token(id).await
    }

    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError> {
        self.0.token_used(id, at).await
    }

    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        self.0.accounts(after, limit).await
    }

    async fn revoke(&self, commit: Revocation) -> Result<(), HubError> {
        self.0.revoke(commit).await
    }
}

#[async_trait]
impl DraftStore for Faulty {
    async fn take_step(&self, commit: DraftCommit) -> Result<Draft, HubError> {
        self.0.take_step(commit).await
    }

    async fn draft(&self, id: &DraftId) -> Result<Option<StoredDraft>, HubError> {
        self.0.draft(id).await
    }

    async fn drafts(
        &self,
        states: &[DraftState],
        after: Option<&DraftId>,
        limit: NonZeroU32,
    ) -> Result<Vec<Draft>, HubError> {
        self.0.drafts(states, after, limit).await
    }
}

#[async_trait]
impl AuditLog for Faulty {
    async fn audit(
        &self,
        after: Option<u64>,
        limit: NonZeroU32,
    ) -> Result<Vec<AuditEntry>, HubError> {
        self.0.audit(after, limit).await
    }
}

#[async_trait]
impl HubStore for Faulty {
    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError> {
        match view {
            View::Whole => self.0.entries(view, after, limit).await,
            View::Site(site) => self.harmed(site, after).await,
        }
    }

    async fn state(&self) -> Result<FeedState, HubError> {
        self.0.state().await
    }

    async fn release(&self, commit: ReleaseCommit) -> Result<Committed, HubError> {
        if matches!(self.1, Fault::Forgets) && Self::is_last(&commit) {
            let FeedState { epoch, position, .. } = self.0.state().await?;
            let (first_position, last_position) = (position + 1, position + 1);
            return Ok(Committed { epoch, first_position, last_position, repeated: false });
        }
        self.0.release(commit).await
    }

    async fn withdraw(&self, commit: WithdrawalCommit) -> Result<Committed, HubError> {
        self.0.withdraw(commit).await
    }

    async fn compact(&self, compaction: Compaction) -> Result<FeedState, HubError> {
        self.0.compact(compaction).await
    }

    async fn ask_deviation(&self, commit: AskCommit) -> Result<(), HubError> {
        self.0.ask_deviation(commit).await
    }

    async fn decide_deviation(&self, commit: DecisionCommit) -> Result<Committed, HubError> {
        self.0.decide_deviation(commit).await
    }

    async fn deviation(&self, id: &DeviationId) -> Result<Option<StoredDeviation>, HubError> {
        self.0.deviation(id).await
    }

    async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError> {
        self.0.deviations(site, after, limit).await
    }

    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError> {
        self.0.heads(view, after, limit).await
    }

    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError> {
        self.0.ground(view, documents).await
    }

    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError> {
        self.0.revisions(digests).await
    }

    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError> {
        self.0.closure(digests).await
    }

    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError> {
        self.0.history(view, key).await
    }

    async fn release_positions(
        &self,
        release: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError> {
        self.0.release_positions(release).await
    }

    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError> {
        self.0.site(site).await
    }

    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError> {
        self.0.sites().await
    }

    async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), HubError> {
        self.0.acknowledge(acks).await
    }

    async fn acks(&self, filter: &AckFilter) -> Result<Vec<Ack>, HubError> {
        self.0.acks(filter).await
    }

    async fn add_root(&self, commit: RootCommit) -> Result<(), HubError> {
        self.0.add_root(commit).await
    }

    async fn roots(&self, after: u32) -> Result<Vec<RootRecord>, HubError> {
        self.0.roots(after).await
    }

    async fn sign_entries(&self, commit: SigningCommit) -> Result<(), HubError> {
        self.0.sign_entries(commit).await
    }

    async fn note_lot(&self, commit: LotCommit) -> Result<u64, HubError> {
        self.0.note_lot(commit).await
    }

    async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError> {
        self.0.lot_notes(filter, after, limit).await
    }

    fn subscribe(&self) -> watch::Receiver<u64> {
        self.0.subscribe()
    }
}
