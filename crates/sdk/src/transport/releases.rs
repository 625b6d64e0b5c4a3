//! Releases and withdrawals.

use chablon_model::View;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use chablon_wire::{FeedEntry, Frozen, Wire, moment, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES, each, reader};
use crate::error::Kind;
use crate::hub::Page;
use crate::publish::{ReleaseRequest, WithdrawalRequest};
use crate::{Change, Error, Recorded, Release};

fn client(link: Link) -> ReleaseServiceClient<Link> {
    ReleaseServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn release(hub: &Grpc, request: &ReleaseRequest) -> Result<Recorded, Error> {
    let revisions = request.revisions.iter();
    let parts = request.parts.iter();
    let request = hub.request(pb::CreateReleaseRequest {
        request_id: request.id.to_string(),
        revisions: revisions
            .map(|one| Frozen::unsigned(one.bytes().clone(), one.reference().digest).to_pb())
            .collect(),
        parts: parts.map(Wire::to_pb).collect(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).create_release(request).await }).await?;
    let pb::CreateReleaseResponse { epoch, first_position, last_position, .. } = answer;
    Ok(Recorded { epoch, first_position, last_position })
}

pub(super) async fn withdraw(hub: &Grpc, request: &WithdrawalRequest) -> Result<Recorded, Error> {
    let request = hub.request(pb::CreateWithdrawalRequest {
        request_id: request.id.to_string(),
        notice: Some(request.notice.to_pb()),
    });
    let answer =
        hub.attempt(|link| async move { client(link).create_withdrawal(request).await }).await?;
    let pb::CreateWithdrawalResponse { epoch, position } = answer;
    Ok(Recorded { epoch, first_position: position, last_position: position })
}

pub(super) async fn list(hub: &Grpc, view: &View, page: &str) -> Result<Page<Release>, Error> {
    let request = hub.request(pb::ListReleasesRequest {
        site: reader(view),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_releases(request).await }).await?;
    let items = answer.releases.into_iter().map(one).collect::<Result<_, _>>()?;
    Ok(Page { items, next: answer.next_page_token })
}

fn one(release: pb::Release) -> Result<Release, Error> {
    let parts = each(release.parts, FeedEntry::from_pb)?;
    let malformed = |why: String| {
        Error::new(Kind::Unexpected, format!("the hub's answer breaks the contract: {why}"))
    };
    Ok(Release {
        id: release.release_id.parse().map_err(|error| malformed(format!("{error}")))?,
        recorded_at: moment(release.recorded_at_ms).map_err(|error| Error::of_answer(&error))?,
        parts: parts.into_iter().map(Change::checked).collect::<Result<_, _>>()?,
    })
}
