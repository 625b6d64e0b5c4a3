//! Figures for those who don't compute them on their own machine.

use std::sync::Arc;

use chablon_arith as arith;
use chablon_exchange::FigureQuery;
use chablon_model::{Day, RecipeId};
use chablon_quantity::Grams;
use chablon_wire::pb::figure_service_server::FigureService;
use chablon_wire::{At, Demand, Violation, Wire, pb};
use tonic::{Request, Response, Status, async_trait};

use super::costing::costing;
use super::plan::plan;
use crate::access::Caller;
use crate::desk::Desk;
use crate::fields;
use crate::status::Refusal;

/// The service over a hub.
pub(crate) struct Figures(pub(crate) Arc<Desk>);

#[async_trait]
impl FigureService for Figures {
    async fn scale(
        &self,
        request: Request<pb::ScaleRequest>,
    ) -> Result<Response<pb::ScaleResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("Scale", &request, &request.get_ref().site);
        call.answer(self.plan(caller, request.into_inner())).await
    }

    async fn cost(
        &self,
        request: Request<pb::CostRequest>,
    ) -> Result<Response<pb::CostResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("Cost", &request, &request.get_ref().site);
        call.answer(self.costing(caller, request.into_inner())).await
    }
}

/// What was asked, to be repeated in the answer.
pub(super) struct Asked {
    pub(super) site: String,
    pub(super) recipe: String,
    pub(super) target: Option<pb::Target>,
}

impl Figures {
    async fn plan(
        &self,
        caller: Caller,
        request: pb::ScaleRequest,
    ) -> Result<pb::ScaleResponse, Refusal> {
        let pb::ScaleRequest { site, recipe, target, at_ms } = request;
        let asked = Asked { site, recipe, target };
        let query = self.query(&caller, &asked, at_ms)?;
        let found = self.0.exchange.scale(query).await?;
        Ok(pb::ScaleResponse { plan: Some(plan(asked, found)?) })
    }

    async fn costing(
        &self,
        caller: Caller,
        request: pb::CostRequest,
    ) -> Result<pb::CostResponse, Refusal> {
        let pb::CostRequest { site, recipe, target, on, at_ms } = request;
        let asked = Asked { site, recipe, target };
        let query = self.query(&caller, &asked, at_ms)?;
        let on = on.ok_or_else(|| Violation::new("is required")).and_then(Day::from_pb).at("on")?;
        let found = self.0.exchange.cost(query, on).await?;
        Ok(pb::CostResponse { costing: Some(costing(asked, on, found)?) })
    }

    fn query(
        &self,
        caller: &Caller,
        asked: &Asked,
        at_ms: Option<i64>,
    ) -> Result<FigureQuery, Refusal> {
        let recipe: RecipeId = fields::parsed(&asked.recipe, "recipe")?;
        let demand = asked.target.clone().ok_or_else(|| Violation::new("is required"));
        let demand = demand.and_then(Demand::from_pb).at("target")?;
        Ok(FigureQuery {
            site: caller.site(&asked.site)?,
            demand: arith::Demand::new(recipe, target(demand)),
            at: fields::at(at_ms, &self.0.clock)?,
        })
    }
}

fn target(demand: Demand) -> arith::Target {
    match demand {
        Demand::Pieces(count) => count.quantity().into(),
        Demand::Mass(mass) => arith::Target::grams(mass.quantity().grams()),
        Demand::Factor(times) => arith::Target::Factor(times.exact()),
        Demand::Batches(batches) => arith::Target::WrittenBatches(batches.exact()),
        Demand::OnHand { ingredient, mass } => {
            arith::Target::OnHand { ingredient, mass: mass.quantity().grams() }
        }
    }
}
