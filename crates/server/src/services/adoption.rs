//! Saying and asking who is on what.

use std::ops::RangeInclusive;
use std::sync::Arc;

use chablon_exchange::AdoptionQuery;
use chablon_model::{SiteId, View};
use chablon_store::{Ack, Statement};
use chablon_wire::pb::adoption_service_server::AdoptionService;
use chablon_wire::{Acknowledgement, At, Wire, pb};
use tonic::{Request, Response, Status, async_trait};

use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many lines a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 1000);

/// How many statements one request may have.
const MAX_STATEMENTS: usize = 1000;

/// The service over a hub.
pub(crate) struct Adoption(pub(crate) Arc<Desk>);

#[async_trait]
impl AdoptionService for Adoption {
    async fn acknowledge(
        &self,
        request: Request<pb::AcknowledgeRequest>,
    ) -> Result<Response<pb::AcknowledgeResponse>, Status> {
        let caller = Caller::of(&request)?;
        let sites = &request.get_ref().acknowledgements;
        let site = sites.first().map(|one| one.site.clone()).unwrap_or_default();
        let call = self.0.call("Acknowledge", &request, &site);
        call.answer(self.take(caller, request.into_inner())).await
    }

    async fn list_adoption(
        &self,
        request: Request<pb::ListAdoptionRequest>,
    ) -> Result<Response<pb::ListAdoptionResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListAdoption", &request, &request.get_ref().site);
        call.answer(self.list(caller, request.into_inner())).await
    }
}

impl Adoption {
    async fn take(
        &self,
        caller: Caller,
        request: pb::AcknowledgeRequest,
    ) -> Result<pb::AcknowledgeResponse, Refusal> {
        let said = fields::bounded(request.acknowledgements, MAX_STATEMENTS, "acknowledgements")?;
        let each = |(index, form)| {
            let said = Acknowledgement::from_pb(form).at_index(index).at("acknowledgements")?;
            caller.may_at(Right::Acknowledge, &said.site)?;
            Ok(ack(said))
        };
        let acks = said.into_iter().enumerate().map(each).collect::<Result<_, Refusal>>()?;
        self.0.exchange.acknowledge(acks).await?;
        Ok(pb::AcknowledgeResponse {})
    }

    async fn list(
        &self,
        caller: Caller,
        request: pb::ListAdoptionRequest,
    ) -> Result<pb::ListAdoptionResponse, Refusal> {
        let positions = positions(&request);
        let pb::ListAdoptionRequest { site, page_size, page_token, .. } = request;
        let (from, to) = (positions.start().to_string(), positions.end().to_string());
        let paged = Paged::new("ListAdoption", &[&site, &from, &to]);
        let query = AdoptionQuery {
            site: match caller.view(&site)? {
                View::Whole => None,
                View::Site(site) => Some(site),
            },
            positions,
            after: place(&paged, &page_token)?,
            limit: fields::page_size(page_size, PAGE.0, PAGE.1),
        };
        let found = self.0.exchange.adoption(&query).await?;
        let last = found.adoptions.last().filter(|_| found.more);
        let token = last.map(|last| paged.token(&[&last.position.to_string(), last.site.as_str()]));
        Ok(pb::ListAdoptionResponse {
            adoptions: found.adoptions.iter().map(Wire::to_pb).collect(),
            next_page_token: token.unwrap_or_default(),
        })
    }
}

fn ack(said: Acknowledgement) -> Ack {
    Ack {
        site: said.site,
        position: said.position,
        body_digest: said.body_digest,
        statement: match said.statement {
            chablon_wire::Statement::Received => Statement::Received,
            chablon_wire::Statement::InUse => Statement::InUse,
            chablon_wire::Statement::Refused => Statement::Refused,
        },
        at: said.at,
        reason: said.reason,
    }
}

fn positions(request: &pb::ListAdoptionRequest) -> RangeInclusive<u64> {
    let to = if request.to_position == 0 { u64::MAX } else { request.to_position };
    request.from_position..=to
}

fn place(paged: &Paged, token: &str) -> Result<Option<(u64, SiteId)>, Refusal> {
    let place = paged.place::<2>(token)?;
    place.map(|[position, site]| Ok((part(&position)?, part(&site)?))).transpose()
}
