//! Drafts, and the log of changes.

use bytes::Bytes;
use chablon_model::{Digest, Draft, DraftAct, DraftId, DraftState, RevisionRef};
use chablon_wire::pb::audit_service_client::AuditServiceClient;
use chablon_wire::pb::draft_service_client::DraftServiceClient;
use chablon_wire::{
    AuditRecord, DraftCheck, DraftContent, Wire, decode_revision, draft_act_code, draft_state_code,
    pb,
};

use super::link::Link;
use super::{Grpc, MAX_ANSWER_BYTES, each, given};
use crate::drafts::{Content, DraftRelease, Proposed, Step, What};
use crate::hub::Page;
use crate::{Error, FrozenRevision, Recorded};

/// A draft holds up to 16 MiB, and more may stand beside that.
fn client(channel: Link) -> DraftServiceClient<Link> {
    DraftServiceClient::new(channel).max_decoding_message_size(2 * MAX_ANSWER_BYTES)
}

pub(super) async fn take(hub: &Grpc, step: &Step) -> Result<Draft, Error> {
    let request_id = step.request.to_string();
    let draft_id = step.draft.to_string();
    let draft = match step.what.clone() {
        What::Create { note, content } => {
            let content = Some(content_to_pb(&content));
            let request = pb::CreateDraftRequest { request_id, draft_id, note, content };
            let request = hub.request(request);
            hub.attempt(|channel| async move { client(channel).create_draft(request).await })
                .await?
                .draft
        }
        What::Update { etag, note, content } => {
            let (etag, content) = (etag.to_string(), Some(content_to_pb(&content)));
            let request = pb::UpdateDraftRequest { request_id, draft_id, etag, note, content };
            let request = hub.request(request);
            hub.attempt(|channel| async move { client(channel).update_draft(request).await })
                .await?
                .draft
        }
        What::Submit { etag } => {
            let request = pb::SubmitDraftRequest { request_id, draft_id, etag: etag.to_string() };
            let request = hub.request(request);
            hub.attempt(|channel| async move { client(channel).submit_draft(request).await })
                .await?
                .draft
        }
        What::Drop { etag, text } => {
            let etag = etag.to_string();
            let request = hub.request(pb::DropDraftRequest { request_id, draft_id, etag, text });
            hub.attempt(|channel| async move { client(channel).drop_draft(request).await })
                .await?
                .draft
        }
        What::Comment { text } => {
            review(hub, request_id, draft_id, (DraftAct::Comment, String::new(), text)).await?
        }
        What::Approve { etag, text } => {
            review(hub, request_id, draft_id, (DraftAct::Approve, etag.to_string(), text)).await?
        }
        What::Return { etag, text } => {
            review(hub, request_id, draft_id, (DraftAct::Return, etag.to_string(), text)).await?
        }
    };
    one(draft)
}

async fn review(
    hub: &Grpc,
    request_id: String,
    draft_id: String,
    (act, etag, text): (DraftAct, String, String),
) -> Result<Option<pb::Draft>, Error> {
    let verdict = draft_act_code(act);
    let request = pb::ReviewDraftRequest { request_id, draft_id, etag, verdict, text };
    let request = hub.request(request);
    let answer =
        hub.attempt(|channel| async move { client(channel).review_draft(request).await }).await?;
    Ok(answer.draft)
}

pub(super) async fn proposed(hub: &Grpc, id: &DraftId) -> Result<Proposed, Error> {
    let request = hub.request(pb::GetDraftRequest { draft_id: id.to_string() });
    let answer =
        hub.attempt(|channel| async move { client(channel).get_draft(request).await }).await?;
    let content = DraftContent::from_pb(given(answer.content, "content")?);
    let DraftContent { base, revisions } =
        content.map_err(|violation| Error::of_answer(&violation))?;
    let frozen = |(bytes, digest): (Bytes, Digest)| {
        let revision = decode_revision(&bytes).map_err(|error| Error::of_wire(&error))?;
        let (key, number) = (revision.content.key(), revision.number);
        FrozenRevision::checked(RevisionRef { key, number, digest }, bytes)
    };
    let revisions = revisions.into_iter().map(frozen).collect::<Result<_, _>>()?;
    Ok(Proposed { draft: one(answer.draft)?, base, revisions })
}

pub(super) async fn list(
    hub: &Grpc,
    states: &[DraftState],
    page: &str,
) -> Result<Page<Draft>, Error> {
    let request = hub.request(pb::ListDraftsRequest {
        states: states.iter().map(|state| draft_state_code(*state)).collect(),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|channel| async move { client(channel).list_drafts(request).await }).await?;
    Ok(Page { items: each(answer.drafts, Draft::from_pb)?, next: answer.next_page_token })
}

pub(super) async fn check(hub: &Grpc, id: &DraftId) -> Result<DraftCheck, Error> {
    let request = hub.request(pb::CheckDraftRequest { draft_id: id.to_string() });
    let answer =
        hub.attempt(|channel| async move { client(channel).check_draft(request).await }).await?;
    DraftCheck::from_pb(answer).map_err(|violation| Error::of_answer(&violation))
}

pub(super) async fn release(hub: &Grpc, release: &DraftRelease) -> Result<Recorded, Error> {
    let request = hub.request(pb::ReleaseDraftRequest {
        request_id: release.request().to_string(),
        draft_id: release.draft.to_string(),
        etag: release.etag.to_string(),
        parts: release.bodies().iter().map(Wire::to_pb).collect(),
    });
    let answer =
        hub.attempt(|channel| async move { client(channel).release_draft(request).await }).await?;
    let pb::ReleaseDraftResponse { epoch, first_position, last_position, .. } = answer;
    Ok(Recorded { epoch, first_position, last_position })
}

pub(super) async fn audit(hub: &Grpc, page: &str) -> Result<Page<AuditRecord>, Error> {
    let request = hub.request(pb::ListAuditRecordsRequest {
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer = hub
        .attempt(|channel| async move {
            AuditServiceClient::new(channel)
                .max_decoding_message_size(MAX_ANSWER_BYTES)
                .list_audit_records(request)
                .await
        })
        .await?;
    Ok(Page { items: each(answer.records, AuditRecord::from_pb)?, next: answer.next_page_token })
}

fn content_to_pb(content: &Content) -> pb::DraftContent {
    let revisions = content.revisions.iter();
    let revisions = revisions.map(|one| (one.bytes().clone(), one.reference().digest)).collect();
    DraftContent { base: content.base.clone(), revisions }.to_pb()
}

fn one(draft: Option<pb::Draft>) -> Result<Draft, Error> {
    Draft::from_pb(given(draft, "draft")?).map_err(|violation| Error::of_answer(&violation))
}
