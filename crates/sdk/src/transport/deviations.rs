//! Deviations.

use chablon_model::{Deviation, SiteId};
use chablon_wire::pb::deviation_service_client::DeviationServiceClient;
use chablon_wire::{At, BodyKind, FeedEntry, Violation, Wire, decode_deviation, moment, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES};
use crate::deviations::{DecisionRequest, Submitted};
use crate::error::Kind;
use crate::hub::Page;
use crate::{Error, Recorded, SignedBytes};

fn client(link: Link) -> DeviationServiceClient<Link> {
    DeviationServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn ask(hub: &Grpc, deviation: &SignedBytes) -> Result<(), Error> {
    let request = hub.request(pb::AskDeviationRequest { deviation: Some(deviation.to_pb()) });
    hub.attempt(|link| async move { client(link).ask_deviation(request).await }).await?;
    Ok(())
}

pub(super) async fn decide(hub: &Grpc, request: &DecisionRequest) -> Result<Recorded, Error> {
    let request = hub.request(pb::DecideDeviationRequest {
        request_id: request.id.to_string(),
        deviation: Some(request.deviation.to_pb()),
        seen_digest: request.seen.to_pb(),
    });
    let answer = hub.attempt(|link| async move { client(link).decide_deviation(request).await });
    let pb::DecideDeviationResponse { epoch, position } = answer.await?;
    Ok(Recorded { epoch, first_position: position, last_position: position })
}

pub(super) async fn list(
    hub: &Grpc,
    site: Option<&SiteId>,
    page: &str,
) -> Result<Page<Submitted>, Error> {
    let request = hub.request(pb::ListDeviationsRequest {
        site: site.map(ToString::to_string).unwrap_or_default(),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_deviations(request).await }).await?;
    let items = answer.deviations.into_iter().map(submitted).collect::<Result<_, _>>()?;
    Ok(Page { items, next: answer.next_page_token })
}

fn submitted(stored: pb::StoredDeviation) -> Result<Submitted, Error> {
    let missing = || Violation::new("is required");
    let broken = |violation: Violation| Error::of_answer(&violation.at("deviations"));
    let asked = stored.asked.ok_or_else(missing).and_then(SignedBytes::from_pb);
    let frozen = asked.at("asked").map_err(broken)?;
    let asked = read(&frozen)?;
    let decided = stored.decided.map(FeedEntry::from_pb).transpose();
    let decided = decided.at("decided").map_err(broken)?;
    let seen = decided.as_ref().map_or(frozen.digest, |entry| entry.body.digest);
    let decided = decided.map(|entry| match entry.kind {
        BodyKind::Deviation => Ok((entry.position, read(&entry.body)?)),
        _ => Err(broken(Violation::new("is no decision on a deviation").at("decided"))),
    });
    let asked_at = moment(stored.asked_at_ms).at("asked_at_ms").map_err(broken)?;
    Ok(Submitted { asked, asked_at, decided: decided.transpose()?, seen })
}

/// What the bytes say, once they have their digest.
fn read(body: &SignedBytes) -> Result<Deviation, Error> {
    if chablon_wire::digest(&body.bytes) != body.digest {
        let message =
            format!("a deviation came with other bytes than its digest `{}`", body.digest);
        return Err(Error::new(Kind::Damaged, message));
    }
    decode_deviation(&body.bytes).map_err(|error| Error::of_wire(&error).while_doing("a deviation"))
}
