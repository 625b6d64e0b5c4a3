//! Asking for deviations and deciding them.

use std::sync::Arc;

use chablon_exchange::DecisionRequest;
use chablon_model::{DeviationId, View};
use chablon_store::{Frozen, StoredDeviation};
use chablon_wire::pb::deviation_service_server::DeviationService;
use chablon_wire::{At, Violation, Wire, decode_deviation, pb};
use tonic::{Request, Response, Status, async_trait};

use super::{entry_to_pb, to_wire};
use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many deviations a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (50, 200);

/// The service over a hub.
pub(crate) struct Deviations(pub(crate) Arc<Desk>);

#[async_trait]
impl DeviationService for Deviations {
    async fn ask_deviation(
        &self,
        request: Request<pb::AskDeviationRequest>,
    ) -> Result<Response<pb::AskDeviationResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("AskDeviation", &request, "");
        call.answer(self.ask(caller, request.into_inner())).await
    }

    async fn decide_deviation(
        &self,
        request: Request<pb::DecideDeviationRequest>,
    ) -> Result<Response<pb::DecideDeviationResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("DecideDeviation", &request, &request.get_ref().request_id);
        call.answer(self.decide(caller, request.into_inner())).await
    }

    async fn list_deviations(
        &self,
        request: Request<pb::ListDeviationsRequest>,
    ) -> Result<Response<pb::ListDeviationsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListDeviations", &request, &request.get_ref().site);
        call.answer(self.list(caller, request.into_inner())).await
    }
}

impl Deviations {
    async fn ask(
        &self,
        caller: Caller,
        request: pb::AskDeviationRequest,
    ) -> Result<pb::AskDeviationResponse, Refusal> {
        let body = deviation(request.deviation)?;
        // Whose it is stands in the bytes; what can't be read is refused in full below.
        if let Ok(read) = decode_deviation(&body.bytes) {
            caller.may_at(Right::AskDeviation, &read.site)?;
        }
        self.0.exchange.ask_deviation(body, caller.named(), self.0.clock.now()).await?;
        Ok(pb::AskDeviationResponse {})
    }

    async fn decide(
        &self,
        caller: Caller,
        request: pb::DecideDeviationRequest,
    ) -> Result<pb::DecideDeviationResponse, Refusal> {
        caller.may(Right::DecideDeviation)?;
        let request = DecisionRequest {
            request_id: fields::request_id(&request.request_id)?,
            deviation: deviation(request.deviation)?,
            seen: fields::digest(request.seen_digest, "seen_digest")?,
        };
        let now = self.0.clock.now();
        let decided = self.0.exchange.decide_deviation(request, caller.named(), now).await?;
        tracing::info!(position = decided.position, "decision on a deviation recorded");
        let (epoch, position) = (decided.epoch.to_string(), decided.position);
        Ok(pb::DecideDeviationResponse { epoch, position })
    }

    async fn list(
        &self,
        caller: Caller,
        request: pb::ListDeviationsRequest,
    ) -> Result<pb::ListDeviationsResponse, Refusal> {
        let pb::ListDeviationsRequest { site, page_size, page_token } = request;
        let paged = Paged::new("ListDeviations", &[&site]);
        let site = match caller.view(&site)? {
            View::Whole => None,
            View::Site(site) => Some(site),
        };
        let place = paged.place::<1>(&page_token)?;
        let after = place.map(|[id]| part::<DeviationId>(&id)).transpose()?;
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let found = self.0.exchange.deviations(site.as_ref(), after.as_ref(), limit).await?;
        let last = found.deviations.last().filter(|_| found.more);
        let token = last.map(|last| paged.token(&[last.id.as_str()]));
        Ok(pb::ListDeviationsResponse {
            deviations: found.deviations.into_iter().map(stored_to_pb).collect(),
            next_page_token: token.unwrap_or_default(),
        })
    }
}

fn deviation(form: Option<pb::FrozenBytes>) -> Result<Frozen, Violation> {
    form.ok_or_else(|| Violation::new("is required")).and_then(fields::frozen).at("deviation")
}

fn stored_to_pb(stored: StoredDeviation) -> pb::StoredDeviation {
    pb::StoredDeviation {
        asked_at_ms: stored.asked_at.0,
        asked: Some(to_wire(stored.asked).to_pb()),
        decided: stored.decided.map(entry_to_pb),
    }
}
