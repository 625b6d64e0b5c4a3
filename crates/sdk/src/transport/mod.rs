//! The calls over gRPC. Only here the SDK names what the schema generates.

use std::future::Future;
use std::sync::Arc;

use async_trait::async_trait;
use chablon_model::{
    Day, Digest, DocumentKey, DocumentKind, Draft, DraftId, DraftState, Moment, RevisionRef,
    SiteId, View,
};
use chablon_wire::{
    Acknowledgement, Adoption, AuditRecord, DraftCheck, FeedCursor, Standard, Violation,
};
use tonic::{Request, Response, Status};

mod access;
mod addresses;
mod adoption;
mod deviations;
pub(crate) mod dial;
mod documents;
mod drafts;
mod feed;
mod figures;
mod link;
mod lots;
mod pins;
mod releases;
mod shock;
mod status;
mod trust;
mod turn;

use addresses::Addresses;
use dial::Dial;
use link::Link;
#[cfg(test)]
pub(crate) use pins::from_a_later_version;
pub(crate) use pins::pins_of_unsupported;
use turn::Turn;

use crate::access::{AccessToken, Account, EnrolmentCode, Identity, Invitation, Shut};
use crate::deviations::{DecisionRequest, Submitted};
use crate::drafts::{DraftRelease, Proposed, Step};
use crate::error::Kind;
use crate::figures::{Costing, Plan, PriceShock};
use crate::hub::{
    AdoptionOf, Answers, EntrySignatures, FigureOf, FiguresOf, HubApi, Page, Roots, ShockOf,
    StandardsOf,
};
use crate::lots::{LotDraft, LotFilter, StoredLotNote};
use crate::publish::{ReleaseRequest, WithdrawalRequest};
use crate::{Changes, Error, FeedHead, FrozenRevision, Options, Recorded, Release, SignedBytes};

/// The longest answer that is taken, in bytes. A page has some megabytes at most; a release that
/// must not be split may come on top.
const MAX_ANSWER_BYTES: usize = 16 << 20;

/// A hub at one or several addresses.
#[derive(Clone)]
pub(crate) struct Grpc {
    addresses: Arc<Addresses>,
    options: Options,
}

impl Grpc {
    /// Takes addresses, and connects to none of them yet.
    pub(crate) fn new(
        addresses: impl IntoIterator<Item = String>,
        options: &Options,
        dial: Dial,
    ) -> Result<Self, Error> {
        let addresses = Arc::new(Addresses::new(addresses, options, dial)?);
        Ok(Self { addresses, options: options.clone() })
    }

    /// A message with the deadline, which tells the hub as well when to give up.
    fn request<M>(&self, message: M) -> Request<M> {
        let mut request = Request::new(message);
        request.set_timeout(self.options.deadline);
        request
    }

    /// One attempt, at the address whose turn it is.
    async fn attempt<T, F>(&self, call: impl FnOnce(Link) -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<Response<T>, Status>>,
    {
        let turn = Turn::of(&self.addresses);
        turn.within(self.options.deadline, call(turn.channel())).await
    }
}

/// What the schema calls a view: the site's id, or nothing for all of it.
fn reader(view: &View) -> String {
    match view {
        View::Whole => String::new(),
        View::Site(site) => site.to_string(),
    }
}

/// Every item of a list, or the first that breaks the contract.
fn each<P, T>(items: Vec<P>, read: impl Fn(P) -> Result<T, Violation>) -> Result<Vec<T>, Error> {
    let items: Result<Vec<T>, Violation> = items.into_iter().map(read).collect();
    items.map_err(|violation| Error::of_answer(&violation))
}

/// A field that every answer has.
fn given<P>(field: Option<P>, name: &str) -> Result<P, Error> {
    field.ok_or_else(|| {
        Error::new(
            Kind::Unexpected,
            format!("the hub's answer breaks the contract: it has no `{name}`"),
        )
    })
}

#[async_trait]
impl HubApi for Grpc {
    async fn documents(
        &self,
        view: &View,
        kind: Option<DocumentKind>,
        page: &str,
    ) -> Result<Page<RevisionRef>, Error> {
        documents::list(self, view, kind, page).await
    }
    async fn revision(&self, view: &View, digest: Digest) -> Result<FrozenRevision, Error> {
        documents::revision(self, view, digest).await
    }
    async fn revisions(
        &self,
        view: &View,
        digests: &[Digest],
    ) -> Result<Answers<FrozenRevision>, Error> {
        documents::revisions(self, view, digests).await
    }
    async fn standard(
        &self,
        site: &SiteId,
        key: &DocumentKey,
        at: Option<Moment>,
    ) -> Result<Standard, Error> {
        documents::standard(self, site, key, at).await
    }
    async fn standards(&self, of: &StandardsOf, page: &str) -> Result<Page<Standard>, Error> {
        documents::standards(self, of, page).await
    }
    async fn release(&self, request: &ReleaseRequest) -> Result<Recorded, Error> {
        releases::release(self, request).await
    }
    async fn withdraw(&self, request: &WithdrawalRequest) -> Result<Recorded, Error> {
        releases::withdraw(self, request).await
    }
    async fn ask_deviation(&self, deviation: &SignedBytes) -> Result<(), Error> {
        deviations::ask(self, deviation).await
    }
    async fn decide_deviation(&self, request: &DecisionRequest) -> Result<Recorded, Error> {
        deviations::decide(self, request).await
    }
    async fn deviations(
        &self,
        site: Option<&SiteId>,
        page: &str,
    ) -> Result<Page<Submitted>, Error> {
        deviations::list(self, site, page).await
    }
    async fn note_lot(&self, draft: &LotDraft) -> Result<u64, Error> {
        lots::note(self, draft).await
    }
    async fn lot_notes(
        &self,
        filter: &LotFilter,
        page: &str,
    ) -> Result<Page<StoredLotNote>, Error> {
        lots::list(self, filter, page).await
    }
    async fn releases(&self, view: &View, page: &str) -> Result<Page<Release>, Error> {
        releases::list(self, view, page).await
    }
    async fn head(&self, view: &View) -> Result<FeedHead, Error> {
        feed::head(self, view).await
    }
    async fn changes(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
        limit: u32,
    ) -> Result<Changes, Error> {
        feed::changes(self, view, after, limit).await
    }
    async fn watch(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
    ) -> Result<Answers<Changes>, Error> {
        feed::watch(self, view, after).await
    }
    async fn acknowledge(&self, said: &[Acknowledgement]) -> Result<(), Error> {
        adoption::acknowledge(self, said).await
    }
    async fn adoption(&self, of: &AdoptionOf, page: &str) -> Result<Page<Adoption>, Error> {
        adoption::list(self, of, page).await
    }
    async fn roots(&self, after: u32) -> Result<Roots, Error> {
        trust::roots(self, after).await
    }
    async fn add_root(&self, root: &SignedBytes) -> Result<u32, Error> {
        trust::add_root(self, root).await
    }
    async fn sign_entries(&self, signed: &[EntrySignatures]) -> Result<(), Error> {
        trust::sign_entries(self, signed).await
    }
    async fn scale(&self, of: &FigureOf) -> Result<Plan, Error> {
        figures::scale(self, of).await
    }
    async fn cost(&self, of: &FigureOf, on: Day) -> Result<Costing, Error> {
        figures::cost(self, of, on).await
    }

    async fn scale_all(&self, of: &FiguresOf) -> Result<Plan, Error> {
        figures::scale_all(self, of).await
    }

    async fn cost_all(&self, of: &FiguresOf, on: Day) -> Result<Costing, Error> {
        figures::cost_all(self, of, on).await
    }

    async fn shock(&self, of: &ShockOf) -> Result<PriceShock, Error> {
        shock::shock(self, of).await
    }
    async fn invite(
        &self,
        id: &str,
        whom: &Invitation,
        code: &EnrolmentCode,
    ) -> Result<Account, Error> {
        access::invite(self, id, whom, code).await
    }
    async fn join(&self, code: &EnrolmentCode, token: &AccessToken) -> Result<Account, Error> {
        access::join(self, code, token).await
    }
    async fn accounts(&self, page: &str) -> Result<Page<Account>, Error> {
        access::list(self, page).await
    }
    async fn shut_out(&self, id: &str, what: &Shut) -> Result<(), Error> {
        access::shut_out(self, id, what).await
    }
    async fn who_am_i(&self) -> Result<Identity, Error> {
        access::who_am_i(self).await
    }
    async fn take(&self, step: &Step) -> Result<Draft, Error> {
        drafts::take(self, step).await
    }
    async fn proposed(&self, id: &DraftId) -> Result<Proposed, Error> {
        drafts::proposed(self, id).await
    }
    async fn drafts(&self, states: &[DraftState], page: &str) -> Result<Page<Draft>, Error> {
        drafts::list(self, states, page).await
    }
    async fn check_draft(&self, id: &DraftId) -> Result<DraftCheck, Error> {
        drafts::check(self, id).await
    }
    async fn release_draft(&self, release: &DraftRelease) -> Result<Recorded, Error> {
        drafts::release(self, release).await
    }
    async fn audit(&self, page: &str) -> Result<Page<AuditRecord>, Error> {
        drafts::audit(self, page).await
    }
}
