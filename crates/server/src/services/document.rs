//! Reading documents, revisions and standards.

use std::sync::Arc;

use chablon_exchange::{Standards, StandardsQuery};
use chablon_model::{DocumentKey, Moment};
use chablon_wire::pb::document_service_server::DocumentService;
use chablon_wire::{FeedCursor, Wire, pb};
use futures::stream::BoxStream;
use tonic::{Request, Response, Status, async_trait};

use super::revision_to_pb;
use super::revisions::{Form, Revisions};
use crate::access::Caller;
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many documents a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 1000);

/// How many revisions may be asked for in one batch.
const MAX_BATCH: usize = 1000;

/// The service over a hub.
pub(crate) struct Documents(pub(crate) Arc<Desk>);

#[async_trait]
impl DocumentService for Documents {
    async fn list_documents(
        &self,
        request: Request<pb::ListDocumentsRequest>,
    ) -> Result<Response<pb::ListDocumentsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListDocuments", &request, &request.get_ref().site);
        call.answer(self.documents(caller, request.into_inner())).await
    }

    async fn get_revision(
        &self,
        request: Request<pb::GetRevisionRequest>,
    ) -> Result<Response<pb::GetRevisionResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("GetRevision", &request, &request.get_ref().site);
        call.answer(self.revision(caller, request.into_inner())).await
    }

    type BatchGetRevisionsStream =
        BoxStream<'static, Result<pb::BatchGetRevisionsResponse, Status>>;

    async fn batch_get_revisions(
        &self,
        request: Request<pb::BatchGetRevisionsRequest>,
    ) -> Result<Response<Self::BatchGetRevisionsStream>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("BatchGetRevisions", &request, &request.get_ref().site);
        call.answer(self.revisions(caller, request.into_inner())).await
    }

    async fn get_standard(
        &self,
        request: Request<pb::GetStandardRequest>,
    ) -> Result<Response<pb::GetStandardResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("GetStandard", &request, &request.get_ref().site);
        call.answer(self.standard(caller, request.into_inner())).await
    }

    async fn list_standards(
        &self,
        request: Request<pb::ListStandardsRequest>,
    ) -> Result<Response<pb::ListStandardsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListStandards", &request, &request.get_ref().site);
        call.answer(self.standards(caller, request.into_inner())).await
    }
}

impl Documents {
    async fn documents(
        &self,
        caller: Caller,
        request: pb::ListDocumentsRequest,
    ) -> Result<pb::ListDocumentsResponse, Refusal> {
        let pb::ListDocumentsRequest { site, kind, page_size, page_token } = request;
        let paged = Paged::new("ListDocuments", &[&site, &kind.to_string()]);
        let view = caller.view(&site)?;
        let kind = fields::kind(kind)?;
        let place = paged.place::<1>(&page_token)?;
        let after = place.map(|[document]| part::<DocumentKey>(&document)).transpose()?;
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let replica = self.0.replica().await?;
        let heads = self.0.exchange.heads(&view, kind, after, limit).await?;
        let last = heads.documents.last().filter(|_| heads.more);
        Ok(pb::ListDocumentsResponse {
            next_page_token: last
                .map(|last| paged.token(&[&last.key.to_string()]))
                .unwrap_or_default(),
            documents: heads.documents.iter().map(Wire::to_pb).collect(),
            replica,
        })
    }

    async fn revision(
        &self,
        caller: Caller,
        request: pb::GetRevisionRequest,
    ) -> Result<pb::GetRevisionResponse, Refusal> {
        let view = caller.view(&request.site)?;
        let digest = fields::digest(request.digest, "digest")?;
        let revision = self.0.exchange.revision(&view, digest).await?;
        Ok(pb::GetRevisionResponse { revision: Some(revision_to_pb(revision)) })
    }

    async fn revisions(
        &self,
        caller: Caller,
        request: pb::BatchGetRevisionsRequest,
    ) -> Result<BoxStream<'static, Result<pb::BatchGetRevisionsResponse, Status>>, Refusal> {
        let (view, form) = (caller.view(&request.site)?, Form::of(&request));
        let digests = fields::digests(request.digests, MAX_BATCH)?;
        let desk = Arc::clone(&self.0);
        let revisions = Revisions::begin(desk, caller, view, digests, form).await?;
        Ok(Box::pin(self.0.slots.hold(revisions.stream())?))
    }

    async fn standard(
        &self,
        caller: Caller,
        request: pb::GetStandardRequest,
    ) -> Result<pb::GetStandardResponse, Refusal> {
        let site = caller.site(&request.site)?;
        let document = fields::document(request.document)?;
        let at = fields::at(request.at_ms, &self.0.clock)?;
        let replica = self.0.replica().await?;
        let found = self.0.exchange.standard(&site, &document, at).await?;
        Ok(pb::GetStandardResponse {
            standard: Some(found.standard.to_pb()),
            revision: found.revision.map(revision_to_pb),
            at_ms: at.0,
            as_of: Some(found.as_of.to_pb()),
            replica,
        })
    }

    async fn standards(
        &self,
        caller: Caller,
        request: pb::ListStandardsRequest,
    ) -> Result<pb::ListStandardsResponse, Refusal> {
        let pb::ListStandardsRequest { site, kind, at_ms, page_size, page_token } = request;
        let asked = at_ms.map(|at| at.to_string()).unwrap_or_default();
        let paged = Paged::new("ListStandards", &[&site, &kind.to_string(), &asked]);
        let query = StandardsQuery {
            site: caller.site(&site)?,
            kind: fields::kind(kind)?,
            at: fields::at(at_ms, &self.0.clock)?,
            after: None,
            as_of: None,
            limit: fields::page_size(page_size, PAGE.0, PAGE.1),
        };
        let query = go_on(query, &paged, &page_token)?;
        let at = query.at;
        let replica = self.0.replica().await?;
        let found = self.0.exchange.standards(query).await?;
        Ok(pb::ListStandardsResponse {
            next_page_token: next_page(&found, at, &paged),
            standards: found.standards.iter().map(Wire::to_pb).collect(),
            at_ms: at.0,
            as_of: Some(found.as_of.to_pb()),
            replica,
        })
    }
}

/// The query for the page that a token stands for: at the moment and the position of the first.
fn go_on(query: StandardsQuery, paged: &Paged, token: &str) -> Result<StandardsQuery, Refusal> {
    let Some([at, epoch, view, position, document]) = paged.place::<5>(token)? else {
        return Ok(query);
    };
    let (view, position) = (Some(part(&view)?), part(&position)?);
    Ok(StandardsQuery {
        at: Moment(part(&at)?),
        after: Some(part(&document)?),
        as_of: Some(FeedCursor { epoch, view, position, snapshot: 0 }),
        ..query
    })
}

fn next_page(found: &Standards, at: Moment, paged: &Paged) -> String {
    let (Some(last), Some(view), true) = (found.standards.last(), found.as_of.view, found.more)
    else {
        return String::new();
    };
    paged.token(&[
        &at.0.to_string(),
        &found.as_of.epoch,
        &view.to_string(),
        &found.as_of.position.to_string(),
        &last.document.to_string(),
    ])
}
