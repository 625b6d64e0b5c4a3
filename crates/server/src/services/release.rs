//! Releasing and withdrawing.

use std::sync::Arc;

use chablon_exchange::{Release, ReleaseRequest, Released, WithdrawalRequest};
use chablon_wire::pb::release_service_server::ReleaseService;
use chablon_wire::{At, MAX_PARTS, Violation, pb};
use prost::Message;
use tonic::{Request, Response, Status, async_trait};

use super::entries_to_pb;
use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many releases a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (20, 100);

/// How many new revisions a release may have.
const MAX_REVISIONS: usize = 10_000;

/// The most bytes of a request for a release: 16 MiB.
const MAX_REQUEST_BYTES: usize = 16 * 1024 * 1024;

/// What is still decoded, so that a request that is somewhat too large is told so in our words;
/// beyond it the transport refuses in its own.
pub(crate) const MAX_DECODED_BYTES: usize = 2 * MAX_REQUEST_BYTES;

/// The service over a hub.
pub(crate) struct Releases(pub(crate) Arc<Desk>);

#[async_trait]
impl ReleaseService for Releases {
    async fn create_release(
        &self,
        request: Request<pb::CreateReleaseRequest>,
    ) -> Result<Response<pb::CreateReleaseResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("CreateRelease", &request, &request.get_ref().request_id);
        call.answer(self.release(caller, request.into_inner())).await
    }

    async fn create_withdrawal(
        &self,
        request: Request<pb::CreateWithdrawalRequest>,
    ) -> Result<Response<pb::CreateWithdrawalResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("CreateWithdrawal", &request, &request.get_ref().request_id);
        call.answer(self.withdrawal(caller, request.into_inner())).await
    }

    async fn list_releases(
        &self,
        request: Request<pb::ListReleasesRequest>,
    ) -> Result<Response<pb::ListReleasesResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListReleases", &request, &request.get_ref().site);
        call.answer(self.releases(caller, request.into_inner())).await
    }
}

impl Releases {
    async fn release(
        &self,
        caller: Caller,
        request: pb::CreateReleaseRequest,
    ) -> Result<pb::CreateReleaseResponse, Refusal> {
        caller.may(Right::Release)?;
        let request = release_request(request)?;
        let released = self.0.exchange.release(request, caller.named(), self.0.clock.now()).await?;
        note(&released);
        Ok(pb::CreateReleaseResponse {
            release_id: released.release.to_string(),
            epoch: released.epoch.to_string(),
            first_position: released.first_position,
            last_position: released.last_position,
        })
    }

    async fn withdrawal(
        &self,
        caller: Caller,
        request: pb::CreateWithdrawalRequest,
    ) -> Result<pb::CreateWithdrawalResponse, Refusal> {
        caller.may(Right::Withdraw)?;
        let notice = request.notice.ok_or_else(|| Violation::new("is required"));
        let request = WithdrawalRequest {
            request_id: fields::request_id(&request.request_id)?,
            notice: notice.and_then(fields::frozen).at("notice")?,
        };
        let withdrawn =
            self.0.exchange.withdraw(request, caller.named(), self.0.clock.now()).await?;
        tracing::info!(position = withdrawn.position, "withdrawal recorded");
        Ok(pb::CreateWithdrawalResponse {
            epoch: withdrawn.epoch.to_string(),
            position: withdrawn.position,
        })
    }

    async fn releases(
        &self,
        caller: Caller,
        request: pb::ListReleasesRequest,
    ) -> Result<pb::ListReleasesResponse, Refusal> {
        let pb::ListReleasesRequest { site, page_size, page_token } = request;
        let paged = Paged::new("ListReleases", &[&site]);
        let view = caller.view(&site)?;
        let place = paged.place::<1>(&page_token)?;
        let after = place.map(|[position]| part::<u64>(&position)).transpose()?;
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let page = self.0.exchange.releases(&view, after.unwrap_or_default(), limit).await?;
        Ok(pb::ListReleasesResponse {
            releases: page.releases.into_iter().map(release_to_pb).collect(),
            next_page_token: page
                .next
                .map(|position| paged.token(&[&position.to_string()]))
                .unwrap_or_default(),
        })
    }
}

/// The request, if it is of a bearable size and what there must be is there.
fn release_request(request: pb::CreateReleaseRequest) -> Result<ReleaseRequest, Refusal> {
    let size = request.encoded_len();
    if size > MAX_REQUEST_BYTES {
        let message = format!(
            "the request has {size} bytes, more than the {MAX_REQUEST_BYTES} that are taken; \
             release in several steps, components first"
        );
        return Err(Refusal::too_large(MAX_REQUEST_BYTES, size, message));
    }
    let pb::CreateReleaseRequest { request_id, revisions, parts } = request;
    let request_id = fields::request_id(&request_id)?;
    if revisions.len() > MAX_REVISIONS {
        let reason = format!("has {} items; at most {MAX_REVISIONS} are taken", revisions.len());
        return Err(Violation::new(reason).at("revisions").into());
    }
    let parts = fields::bounded(parts, MAX_PARTS as usize, "parts")?;
    let revisions = fields::frozen_list(revisions, "revisions")?;
    let parts = fields::frozen_list(parts, "parts")?;
    Ok(ReleaseRequest { request_id, revisions, parts })
}

/// Logs that a release was recorded.
pub(super) fn note(released: &Released) {
    let Released { release, first_position, last_position, unknown_addressees, .. } = released;
    tracing::info!(%release, first_position, last_position, "release recorded");
    if !unknown_addressees.is_empty() {
        tracing::warn!(%release, ?unknown_addressees, "a release addresses nobody known");
    }
}

fn release_to_pb(release: Release) -> pb::Release {
    pb::Release {
        release_id: release.id.to_string(),
        recorded_at_ms: release.recorded_at.0,
        parts: entries_to_pb(release.parts),
    }
}
