//! Drafts: proposing, looking at and judging changes before they are released.

use std::num::NonZeroU32;

use chablon_model::{Digest, Draft, DraftId, DraftState, Moment};
use chablon_store::{
    Actor, DraftCommit, DraftStep, Frozen, HubError, Request, RequestId, StoredDraft, digest_of,
};
use chablon_wire::{DraftContent, decode_draft, encode_draft};

mod content;
mod error;
mod findings;
mod look;

pub use error::DraftError;
pub use look::Looked;

pub(crate) use content::Proposal;
pub(crate) use look::book;

use crate::{Exchange, StoreFault, blocking};

/// A step of a draft as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftRequest {
    /// The client's name for the request, by which it may be repeated.
    pub request_id: RequestId,
    /// Who asks.
    pub by: Actor,
    /// Which draft.
    pub draft: DraftId,
}

/// What somebody says of a draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Something.
    Comment,
    /// What it holds is approved.
    Approve {
        /// What it held when it was looked at.
        etag: Digest,
    },
    /// It is handed back.
    Return {
        /// What it held when it was looked at.
        etag: Digest,
    },
}

/// A draft with what it holds, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldDraft {
    /// The draft.
    pub draft: Draft,
    /// What it holds.
    pub content: DraftContent,
}

impl Exchange {
    /// Makes a draft.
    pub async fn create_draft(
        &self,
        request: DraftRequest,
        note: String,
        content: DraftContent,
        now: Moment,
    ) -> Result<Draft, DraftError> {
        let content = checked(content).await?;
        self.take_step(request, now, DraftStep::Create { note, content }).await
    }

    /// Puts other content in a draft that held this.
    pub async fn update_draft(
        &self,
        request: DraftRequest,
        etag: Digest,
        note: String,
        content: DraftContent,
        now: Moment,
    ) -> Result<Draft, DraftError> {
        let content = checked(content).await?;
        self.take_step(request, now, DraftStep::Update { etag, note, content }).await
    }

    /// Gives a draft to review, if nothing is wrong in it and nothing beneath it has moved.
    pub async fn submit_draft(
        &self,
        request: DraftRequest,
        etag: Digest,
        now: Moment,
    ) -> Result<Draft, DraftError> {
        let step = |needed| DraftStep::Submit { etag, needed };
        self.take_judged(request, etag, now, step).await
    }

    /// Says something of a draft.
    pub async fn review_draft(
        &self,
        request: DraftRequest,
        verdict: Verdict,
        text: String,
        now: Moment,
    ) -> Result<Draft, DraftError> {
        match verdict {
            Verdict::Comment => self.take_step(request, now, DraftStep::Comment { text }).await,
            Verdict::Return { etag } => {
                self.take_step(request, now, DraftStep::Return { etag, text }).await
            }
            Verdict::Approve { etag } => {
                self.check_reviewer(&request).await?;
                let step = |needed| DraftStep::Approve { etag, text, needed };
                self.take_judged(request, etag, now, step).await
            }
        }
    }

    /// Gives a draft up that held this.
    pub async fn drop_draft(
        &self,
        request: DraftRequest,
        etag: Digest,
        text: String,
        now: Moment,
    ) -> Result<Draft, DraftError> {
        self.take_step(request, now, DraftStep::Drop { etag, text }).await
    }

    /// One draft with what it holds.
    pub async fn draft(&self, id: &DraftId) -> Result<HeldDraft, DraftError> {
        let StoredDraft { draft, content } = self.kept_draft(id).await?;
        let content = blocking(move || decode_draft(&content.bytes)).await.map_err(|error| {
            StoreFault::unreadable(&format!("what draft `{}` holds", draft.id), &error)
        })?;
        Ok(HeldDraft { draft, content })
    }

    /// Drafts in one of these states, by id, starting after one.
    pub async fn drafts(
        &self,
        states: &[DraftState],
        after: Option<&DraftId>,
        limit: NonZeroU32,
    ) -> Result<Vec<Draft>, DraftError> {
        Ok(self.store.drafts(states, after, limit).await?)
    }

    async fn kept_draft(&self, id: &DraftId) -> Result<StoredDraft, DraftError> {
        let found = self.store.draft(id).await?;
        found.ok_or_else(|| DraftError::of_store(HubError::UnknownDraft(id.clone())))
    }

    /// Takes a step that rests on what the draft holds beside what is released.
    ///
    /// A draft that holds something else by now, or is past such steps, is left to the store: it
    /// knows whether the request was carried out before, and gives the reason otherwise.
    async fn take_judged(
        &self,
        request: DraftRequest,
        etag: Digest,
        now: Moment,
        step: impl FnOnce(u32) -> DraftStep,
    ) -> Result<Draft, DraftError> {
        let draft = self.draft(&request.draft).await?;
        let moved = draft.draft.etag != etag || draft.draft.state.is_final();
        let needed = if moved { u32::MAX } else { self.fit(draft, now).await?.needed };
        self.take_step(request, now, step(needed)).await
    }

    /// What is to be said of a draft that may be given on: nothing is wrong in it, and what it was
    /// made on is what there is.
    pub(crate) async fn fit(&self, draft: HeldDraft, now: Moment) -> Result<Looked, DraftError> {
        let looked = self.look_at(draft, now).await?;
        let id = looked.draft.id.clone();
        if let Some(document) = looked.outdated {
            return Err(DraftError::Outdated { draft: id, document });
        }
        let errors = looked.findings.iter().filter(|finding| finding.is_error).count();
        match looked.findings.first() {
            Some(first) if errors > 0 => {
                let first = first.clone();
                Err(DraftError::Unsound { draft: id, errors, first: Box::new(first) })
            }
            _ => Ok(looked),
        }
    }

    async fn check_reviewer(&self, request: &DraftRequest) -> Result<(), DraftError> {
        let rule = self.review_rule().await?;
        if rule.counts(request.by.role) {
            return Ok(());
        }
        let by = rule.by.iter().map(|one| format!("a {}", one.as_str())).collect::<Vec<_>>();
        let message = format!(
            "by the group's rule the approval of {} counts; somebody else must approve it",
            by.join(" or ")
        );
        let (draft, by) = (request.draft.clone(), request.by.name.clone());
        Err(DraftError::NotAReviewer { draft, by, message })
    }

    async fn take_step(
        &self,
        request: DraftRequest,
        at: Moment,
        step: DraftStep,
    ) -> Result<Draft, DraftError> {
        let DraftRequest { request_id, by, draft } = request;
        let request = Request { id: request_id, digest: digest_of_step(&draft, &by, &step) };
        Ok(self.store.take_step(DraftCommit { request, at, by, draft, step }).await?)
    }
}

/// What a request says, but for what the hub makes of it.
fn digest_of_step(draft: &DraftId, by: &Actor, step: &DraftStep) -> Digest {
    let (etag, content) = match step {
        DraftStep::Create { content, .. } => (None, Some(content.digest)),
        DraftStep::Update { etag, content, .. } => (Some(*etag), Some(content.digest)),
        DraftStep::Comment { .. } => (None, None),
        DraftStep::Submit { etag, .. }
        | DraftStep::Approve { etag, .. }
        | DraftStep::Return { etag, .. }
        | DraftStep::Drop { etag, .. } => (Some(*etag), None),
    };
    let show = |digest: Option<Digest>| digest.map(|digest| digest.to_string()).unwrap_or_default();
    let (act, text) = (step.act().as_str(), step.text());
    let parts = [act, draft.as_str(), &by.name, &show(etag), &show(content), text];
    digest_of(parts.join("\n").as_bytes())
}

/// Content that may be put in a draft, as it is kept.
async fn checked(content: DraftContent) -> Result<Frozen, DraftError> {
    blocking(move || {
        Proposal::read(&content)?;
        Ok(Frozen::new(encode_draft(&content)))
    })
    .await
}
