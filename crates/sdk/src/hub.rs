//! What a client asks of a hub: one attempt each, in values of the model.
//!
//! The transport is behind this, so that it can be replaced and so that nothing generated from the
//! schema gets past it. Repetition, pauses and resumption are before it.

use async_trait::async_trait;
use chablon_arith::{Demand, Target};
use chablon_model::{
    Day, Digest, DocumentKey, DocumentKind, Draft, DraftId, DraftState, Moment, RecipeId,
    RevisionRef, Signature, SiteId, View,
};
use chablon_wire::{Acknowledgement, Adoption, AuditRecord, DraftCheck, FeedCursor, Standard};
use futures::stream::BoxStream;

use crate::access::{AccessToken, Account, EnrolmentCode, Identity, Invitation, Shut};
use crate::deviations::{DecisionRequest, Submitted};
use crate::drafts::{DraftRelease, Proposed, Step};
use crate::figures::{Costing, Plan, PriceMove, PriceShock};
use crate::lots::{LotDraft, LotFilter, StoredLotNote};
use crate::publish::{ReleaseRequest, WithdrawalRequest};
use crate::{Changes, Error, FeedHead, FrozenRevision, Recorded, Release, SignedBytes};

/// A page of a list.
#[derive(Clone, Debug)]
pub(crate) struct Page<T> {
    pub(crate) items: Vec<T>,
    /// For the next page; empty: this is the last.
    pub(crate) next: String,
}

/// What is asked about standards.
#[derive(Clone, Debug)]
pub(crate) struct StandardsOf {
    pub(crate) site: SiteId,
    pub(crate) kind: Option<DocumentKind>,
    pub(crate) at: Option<Moment>,
}

/// Which statements are asked for.
#[derive(Clone, Debug)]
pub(crate) struct AdoptionOf {
    pub(crate) site: Option<SiteId>,
    pub(crate) from_position: u64,
    pub(crate) to_position: u64,
}

/// Of which figure.
#[derive(Clone, Debug)]
pub(crate) struct FigureOf {
    pub(crate) site: SiteId,
    pub(crate) recipe: RecipeId,
    pub(crate) target: Target,
    pub(crate) at: Option<Moment>,
}

/// Some versions of the root of trust.
#[derive(Clone, Debug)]
pub(crate) struct Roots {
    /// In order.
    pub(crate) roots: Vec<SignedBytes>,
    /// Whether there are more after these.
    pub(crate) more: bool,
}

/// The signatures of an entry.
#[derive(Clone, Debug)]
pub(crate) struct EntrySignatures {
    pub(crate) position: u64,
    pub(crate) body_digest: Digest,
    pub(crate) signatures: Vec<Signature>,
}

/// Of the figures of several products.
#[derive(Clone, Debug)]
pub(crate) struct FiguresOf {
    pub(crate) site: SiteId,
    pub(crate) demands: Vec<Demand>,
    pub(crate) at: Option<Moment>,
}

/// Of which prices it is asked what they do.
#[derive(Clone, Debug)]
pub(crate) struct ShockOf {
    pub(crate) site: SiteId,
    pub(crate) moved: PriceMove,
    pub(crate) on: Day,
    pub(crate) at: Option<Moment>,
}

/// A stream of answers.
pub(crate) type Answers<T> = BoxStream<'static, Result<T, Error>>;

/// One attempt of each call.
#[async_trait]
pub(crate) trait HubApi: Send + Sync {
    async fn documents(
        &self,
        view: &View,
        kind: Option<DocumentKind>,
        page: &str,
    ) -> Result<Page<RevisionRef>, Error>;
    async fn revision(&self, view: &View, digest: Digest) -> Result<FrozenRevision, Error>;
    async fn revisions(
        &self,
        view: &View,
        digests: &[Digest],
    ) -> Result<Answers<FrozenRevision>, Error>;
    async fn standard(
        &self,
        site: &SiteId,
        key: &DocumentKey,
        at: Option<Moment>,
    ) -> Result<Standard, Error>;
    async fn standards(&self, of: &StandardsOf, page: &str) -> Result<Page<Standard>, Error>;
    async fn release(&self, request: &ReleaseRequest) -> Result<Recorded, Error>;
    async fn withdraw(&self, request: &WithdrawalRequest) -> Result<Recorded, Error>;
    async fn ask_deviation(&self, deviation: &SignedBytes) -> Result<(), Error>;
    async fn decide_deviation(&self, request: &DecisionRequest) -> Result<Recorded, Error>;
    async fn deviations(&self, site: Option<&SiteId>, page: &str)
    -> Result<Page<Submitted>, Error>;
    async fn note_lot(&self, draft: &LotDraft) -> Result<u64, Error>;
    async fn lot_notes(&self, filter: &LotFilter, page: &str)
    -> Result<Page<StoredLotNote>, Error>;
    async fn releases(&self, view: &View, page: &str) -> Result<Page<Release>, Error>;
    async fn head(&self, view: &View) -> Result<FeedHead, Error>;
    async fn changes(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
        limit: u32,
    ) -> Result<Changes, Error>;
    async fn watch(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
    ) -> Result<Answers<Changes>, Error>;
    async fn acknowledge(&self, said: &[Acknowledgement]) -> Result<(), Error>;
    async fn adoption(&self, of: &AdoptionOf, page: &str) -> Result<Page<Adoption>, Error>;
    async fn roots(&self, after: u32) -> Result<Roots, Error>;
    async fn add_root(&self, root: &SignedBytes) -> Result<u32, Error>;
    async fn sign_entries(&self, signed: &[EntrySignatures]) -> Result<(), Error>;
    async fn scale(&self, of: &FigureOf) -> Result<Plan, Error>;
    async fn cost(&self, of: &FigureOf, on: Day) -> Result<Costing, Error>;
    async fn scale_all(&self, of: &FiguresOf) -> Result<Plan, Error>;
    async fn cost_all(&self, of: &FiguresOf, on: Day) -> Result<Costing, Error>;
    async fn shock(&self, of: &ShockOf) -> Result<PriceShock, Error>;
    async fn invite(
        &self,
        id: &str,
        whom: &Invitation,
        code: &EnrolmentCode,
    ) -> Result<Account, Error>;
    async fn join(&self, code: &EnrolmentCode, token: &AccessToken) -> Result<Account, Error>;
    async fn accounts(&self, page: &str) -> Result<Page<Account>, Error>;
    async fn shut_out(&self, id: &str, what: &Shut) -> Result<(), Error>;
    async fn who_am_i(&self) -> Result<Identity, Error>;
    async fn take(&self, step: &Step) -> Result<Draft, Error>;
    async fn proposed(&self, id: &DraftId) -> Result<Proposed, Error>;
    async fn drafts(&self, states: &[DraftState], page: &str) -> Result<Page<Draft>, Error>;
    async fn check_draft(&self, id: &DraftId) -> Result<DraftCheck, Error>;
    async fn release_draft(&self, release: &DraftRelease) -> Result<Recorded, Error>;
    async fn audit(&self, page: &str) -> Result<Page<AuditRecord>, Error>;
}
