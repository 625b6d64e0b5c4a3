//! Proposing changes, looking at them, and releasing them.

use std::sync::Arc;

use chablon_exchange::{DraftReleaseRequest, DraftRequest, HeldDraft, Looked, Verdict};
use chablon_model::{Digest, DraftAct, DraftId, DraftState};
use chablon_wire::pb::draft_service_server::DraftService;
use chablon_wire::{
    At, DraftCheck, DraftContent, MAX_PARTS, Violation, Wire, draft_act, draft_state, pb,
};
use tonic::{Request, Response, Status, async_trait};

use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many drafts a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (20, 100);

/// The most bytes of a note or of what is said of a draft: 4 KiB.
const MAX_TEXT_BYTES: usize = 4096;

/// The service over a hub.
pub(crate) struct Drafts(pub(crate) Arc<Desk>);

#[async_trait]
impl DraftService for Drafts {
    async fn create_draft(
        &self,
        request: Request<pb::CreateDraftRequest>,
    ) -> Result<Response<pb::CreateDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("CreateDraft", &request, &request.get_ref().request_id);
        call.answer(self.create(caller, request.into_inner())).await
    }

    async fn get_draft(
        &self,
        request: Request<pb::GetDraftRequest>,
    ) -> Result<Response<pb::GetDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("GetDraft", &request, "");
        call.answer(self.get(caller, request.into_inner())).await
    }

    async fn list_drafts(
        &self,
        request: Request<pb::ListDraftsRequest>,
    ) -> Result<Response<pb::ListDraftsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListDrafts", &request, "");
        call.answer(self.list(caller, request.into_inner())).await
    }

    async fn update_draft(
        &self,
        request: Request<pb::UpdateDraftRequest>,
    ) -> Result<Response<pb::UpdateDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("UpdateDraft", &request, &request.get_ref().request_id);
        call.answer(self.update(caller, request.into_inner())).await
    }

    async fn check_draft(
        &self,
        request: Request<pb::CheckDraftRequest>,
    ) -> Result<Response<pb::CheckDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("CheckDraft", &request, "");
        call.answer(self.check(caller, request.into_inner())).await
    }

    async fn submit_draft(
        &self,
        request: Request<pb::SubmitDraftRequest>,
    ) -> Result<Response<pb::SubmitDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("SubmitDraft", &request, &request.get_ref().request_id);
        call.answer(self.submit(caller, request.into_inner())).await
    }

    async fn review_draft(
        &self,
        request: Request<pb::ReviewDraftRequest>,
    ) -> Result<Response<pb::ReviewDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("ReviewDraft", &request, &request.get_ref().request_id);
        call.answer(self.review(caller, request.into_inner())).await
    }

    async fn drop_draft(
        &self,
        request: Request<pb::DropDraftRequest>,
    ) -> Result<Response<pb::DropDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("DropDraft", &request, &request.get_ref().request_id);
        call.answer(self.give_up(caller, request.into_inner())).await
    }

    async fn release_draft(
        &self,
        request: Request<pb::ReleaseDraftRequest>,
    ) -> Result<Response<pb::ReleaseDraftResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("ReleaseDraft", &request, &request.get_ref().request_id);
        call.answer(self.release(caller, request.into_inner())).await
    }
}

impl Drafts {
    async fn create(
        &self,
        caller: Caller,
        request: pb::CreateDraftRequest,
    ) -> Result<pb::CreateDraftResponse, Refusal> {
        caller.may(Right::Draft)?;
        let pb::CreateDraftRequest { request_id, draft_id, note, content } = request;
        let asked = asked(&caller, &request_id, &draft_id)?;
        let (note, content) = (words(note, "note")?, given(content)?);
        let now = self.0.clock.now();
        let draft = self.0.exchange.create_draft(asked, note, content, now).await?;
        Ok(pb::CreateDraftResponse { draft: Some(draft.to_pb()) })
    }

    async fn get(
        &self,
        caller: Caller,
        request: pb::GetDraftRequest,
    ) -> Result<pb::GetDraftResponse, Refusal> {
        caller.may(Right::Review)?;
        let id = id(&request.draft_id)?;
        let HeldDraft { draft, content } = self.0.exchange.draft(&id).await?;
        Ok(pb::GetDraftResponse { draft: Some(draft.to_pb()), content: Some(content.to_pb()) })
    }

    async fn list(
        &self,
        caller: Caller,
        request: pb::ListDraftsRequest,
    ) -> Result<pb::ListDraftsResponse, Refusal> {
        caller.may(Right::Review)?;
        let pb::ListDraftsRequest { states, page_size, page_token } = request;
        let asked: Vec<String> = states.iter().map(ToString::to_string).collect();
        let paged = Paged::new("ListDrafts", &[&asked.join(",")]);
        let place = paged.place::<1>(&page_token)?;
        let after = place.map(|[draft]| part::<DraftId>(&draft)).transpose()?;
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let states = wanted(&states)?;
        let drafts = self.0.exchange.drafts(&states, after.as_ref(), limit).await?;
        let full = drafts.len() >= limit.get() as usize;
        let last = drafts.last().filter(|_| full).map(|draft| paged.token(&[draft.id.as_str()]));
        Ok(pb::ListDraftsResponse {
            drafts: drafts.iter().map(Wire::to_pb).collect(),
            next_page_token: last.unwrap_or_default(),
        })
    }

    async fn update(
        &self,
        caller: Caller,
        request: pb::UpdateDraftRequest,
    ) -> Result<pb::UpdateDraftResponse, Refusal> {
        caller.may(Right::Draft)?;
        let pb::UpdateDraftRequest { request_id, draft_id, etag, note, content } = request;
        let asked = asked(&caller, &request_id, &draft_id)?;
        let etag = seen(&etag)?;
        let (note, content) = (words(note, "note")?, given(content)?);
        let now = self.0.clock.now();
        let draft = self.0.exchange.update_draft(asked, etag, note, content, now).await?;
        Ok(pb::UpdateDraftResponse { draft: Some(draft.to_pb()) })
    }

    async fn check(
        &self,
        caller: Caller,
        request: pb::CheckDraftRequest,
    ) -> Result<pb::CheckDraftResponse, Refusal> {
        caller.may(Right::Review)?;
        let id = id(&request.draft_id)?;
        let looked = self.0.exchange.check_draft(&id, self.0.clock.now()).await?;
        let Looked { draft, findings, class, needed, outdated } = looked;
        let class = class.map(|class| class.as_str().to_owned());
        let outdated = outdated.map(|document| document.to_string());
        Ok(DraftCheck { draft, findings, class, needed, outdated }.to_pb())
    }

    async fn submit(
        &self,
        caller: Caller,
        request: pb::SubmitDraftRequest,
    ) -> Result<pb::SubmitDraftResponse, Refusal> {
        caller.may(Right::Draft)?;
        let pb::SubmitDraftRequest { request_id, draft_id, etag } = request;
        let asked = asked(&caller, &request_id, &draft_id)?;
        let now = self.0.clock.now();
        let draft = self.0.exchange.submit_draft(asked, seen(&etag)?, now).await?;
        Ok(pb::SubmitDraftResponse { draft: Some(draft.to_pb()) })
    }

    async fn review(
        &self,
        caller: Caller,
        request: pb::ReviewDraftRequest,
    ) -> Result<pb::ReviewDraftResponse, Refusal> {
        caller.may(Right::Review)?;
        let pb::ReviewDraftRequest { request_id, draft_id, etag, verdict, text } = request;
        let asked = asked(&caller, &request_id, &draft_id)?;
        let (verdict, text) = judged(verdict, &etag, text)?;
        let now = self.0.clock.now();
        let draft = self.0.exchange.review_draft(asked, verdict, text, now).await?;
        Ok(pb::ReviewDraftResponse { draft: Some(draft.to_pb()) })
    }

    async fn give_up(
        &self,
        caller: Caller,
        request: pb::DropDraftRequest,
    ) -> Result<pb::DropDraftResponse, Refusal> {
        caller.may(Right::Draft)?;
        let pb::DropDraftRequest { request_id, draft_id, etag, text } = request;
        let asked = asked(&caller, &request_id, &draft_id)?;
        let (etag, text) = (seen(&etag)?, short(text, "text")?);
        let draft = self.0.exchange.drop_draft(asked, etag, text, self.0.clock.now()).await?;
        Ok(pb::DropDraftResponse { draft: Some(draft.to_pb()) })
    }

    async fn release(
        &self,
        caller: Caller,
        request: pb::ReleaseDraftRequest,
    ) -> Result<pb::ReleaseDraftResponse, Refusal> {
        caller.may(Right::Release)?;
        let pb::ReleaseDraftRequest { request_id, draft_id, etag, parts } = request;
        let DraftRequest { request_id, by, draft } = asked(&caller, &request_id, &draft_id)?;
        let parts = fields::bounded(parts, MAX_PARTS as usize, "parts")?;
        let parts = fields::frozen_list(parts, "parts")?;
        let request = DraftReleaseRequest { request_id, draft, etag: seen(&etag)?, parts };
        let released = self.0.exchange.release_draft(request, by, self.0.clock.now()).await?;
        super::release::note(&released);
        Ok(pb::ReleaseDraftResponse {
            release_id: released.release.to_string(),
            epoch: released.epoch.to_string(),
            first_position: released.first_position,
            last_position: released.last_position,
        })
    }
}

fn asked(caller: &Caller, request_id: &str, draft_id: &str) -> Result<DraftRequest, Refusal> {
    let by = caller.actor()?;
    Ok(DraftRequest { request_id: fields::request_id(request_id)?, by, draft: id(draft_id)? })
}

fn id(text: &str) -> Result<DraftId, Violation> {
    fields::parsed(text, "draft_id")
}

fn seen(etag: &str) -> Result<Digest, Violation> {
    let wrong = |_| Violation::new("isn't the etag of any draft").at("etag");
    if etag.is_empty() {
        return Err(Violation::new("is required").at("etag"));
    }
    etag.parse().map_err(wrong)
}

fn given(content: Option<pb::DraftContent>) -> Result<DraftContent, Violation> {
    let content = content.ok_or_else(|| Violation::new("is required"));
    content.and_then(DraftContent::from_pb).at("content")
}

/// A text that must say something.
fn words(text: String, field: &str) -> Result<String, Violation> {
    if text.trim().is_empty() {
        return Err(Violation::new("is required").at(field));
    }
    short(text, field)
}

fn short(text: String, field: &str) -> Result<String, Violation> {
    let size = text.len();
    if size > MAX_TEXT_BYTES {
        let reason = format!("has {size} bytes; at most {MAX_TEXT_BYTES} are taken");
        return Err(Violation::new(reason).at(field));
    }
    Ok(text)
}

fn judged(verdict: i32, etag: &str, text: String) -> Result<(Verdict, String), Violation> {
    match draft_act(verdict, "verdict")? {
        DraftAct::Comment => Ok((Verdict::Comment, words(text, "text")?)),
        DraftAct::Return => Ok((Verdict::Return { etag: seen(etag)? }, words(text, "text")?)),
        DraftAct::Approve => Ok((Verdict::Approve { etag: seen(etag)? }, short(text, "text")?)),
        other => {
            let reason = format!("a draft isn't reviewed by `{}`", other.as_str());
            Err(Violation::new(reason).at("verdict"))
        }
    }
}

/// The states that are asked for: unless said otherwise, those in which something can be done.
fn wanted(states: &[i32]) -> Result<Vec<DraftState>, Violation> {
    let usual = DraftState::ALL.into_iter().filter(|state| !state.is_final());
    if states.is_empty() {
        return Ok(usual.collect());
    }
    let each = |(index, state): (usize, &i32)| draft_state(*state).at_index(index).at("states");
    states.iter().enumerate().map(each).collect()
}
