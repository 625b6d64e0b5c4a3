//! Figures for those who don't compute them on their own machine.

use std::collections::BTreeSet;
use std::sync::Arc;

use chablon_arith as arith;
use chablon_exchange::{DeclareQuery, FigureQuery, ShockQuery};
use chablon_model::{Day, IdError, IngredientId, RecipeId};
use chablon_quantity::Grams;
use chablon_wire::pb::figure_service_server::FigureService;
use chablon_wire::{At, Demand, Violation, Wire, pb};
use tonic::{Request, Response, Status, async_trait};

use super::costing::costing;
use super::declaration::declaration;
use super::plan::plan;
use super::shock;
use crate::access::Caller;
use crate::desk::Desk;
use crate::fields;
use crate::status::Refusal;

/// How many ingredients may be emphasised.
const MAX_EMPHASISED: usize = 100;

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

    async fn scale_all(
        &self,
        request: Request<pb::ScaleAllRequest>,
    ) -> Result<Response<pb::ScaleAllResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ScaleAll", &request, &request.get_ref().site);
        call.answer(self.plan_of_all(caller, request.into_inner())).await
    }

    async fn cost_all(
        &self,
        request: Request<pb::CostAllRequest>,
    ) -> Result<Response<pb::CostAllResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("CostAll", &request, &request.get_ref().site);
        call.answer(self.costing_of_all(caller, request.into_inner())).await
    }

    async fn shock_prices(
        &self,
        request: Request<pb::ShockPricesRequest>,
    ) -> Result<Response<pb::ShockPricesResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ShockPrices", &request, &request.get_ref().site);
        call.answer(self.shock(caller, request.into_inner())).await
    }

    async fn declare_recipe(
        &self,
        request: Request<pb::DeclareRecipeRequest>,
    ) -> Result<Response<pb::DeclareRecipeResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("DeclareRecipe", &request, &request.get_ref().site);
        call.answer(self.declare(caller, request.into_inner())).await
    }
}

/// What was asked, to be repeated in the answer.
pub(super) struct Asked {
    pub(super) site: String,
    pub(super) products: Vec<pb::ProductDemand>,
    /// How old the replica is that answers, where it isn't a hub. Taken before anything is read, so
    /// that the answer is no older.
    pub(super) replica: Option<pb::ReplicaState>,
}

impl Asked {
    /// Several products.
    async fn all(
        desk: &Desk,
        site: String,
        products: Vec<pb::ProductDemand>,
    ) -> Result<Self, Refusal> {
        Ok(Self { site, products, replica: desk.replica().await? })
    }

    /// One product.
    async fn one(
        desk: &Desk,
        site: String,
        recipe: String,
        target: Option<pb::Target>,
    ) -> Result<Self, Refusal> {
        Self::all(desk, site, vec![pb::ProductDemand { recipe, target }]).await
    }

    /// The product, where one was asked for and not several; else nothing of it.
    pub(super) fn only(&self) -> pb::ProductDemand {
        match &self.products[..] {
            [one] => one.clone(),
            _ => pb::ProductDemand::default(),
        }
    }
}

impl Figures {
    async fn plan(
        &self,
        caller: Caller,
        request: pb::ScaleRequest,
    ) -> Result<pb::ScaleResponse, Refusal> {
        let pb::ScaleRequest { site, recipe, target, at_ms } = request;
        let asked = Asked::one(&self.0, site, recipe, target).await?;
        let query = self.query(&caller, &asked, asked_of_one(&asked), at_ms)?;
        let found = self.0.exchange.scale(query).await?;
        Ok(pb::ScaleResponse { plan: Some(plan(asked, found)?) })
    }

    async fn costing(
        &self,
        caller: Caller,
        request: pb::CostRequest,
    ) -> Result<pb::CostResponse, Refusal> {
        let pb::CostRequest { site, recipe, target, on, at_ms } = request;
        let asked = Asked::one(&self.0, site, recipe, target).await?;
        let query = self.query(&caller, &asked, asked_of_one(&asked), at_ms)?;
        let on = day(on)?;
        let found = self.0.exchange.cost(query, on).await?;
        Ok(pb::CostResponse { costing: Some(costing(asked, on, found)?) })
    }

    async fn plan_of_all(
        &self,
        caller: Caller,
        request: pb::ScaleAllRequest,
    ) -> Result<pb::ScaleAllResponse, Refusal> {
        let pb::ScaleAllRequest { site, products, at_ms } = request;
        let asked = Asked::all(&self.0, site, products).await?;
        let query = self.query(&caller, &asked, asked_of_all(&asked), at_ms)?;
        let found = self.0.exchange.scale(query).await?;
        Ok(pb::ScaleAllResponse { plan: Some(plan(asked, found)?) })
    }

    async fn costing_of_all(
        &self,
        caller: Caller,
        request: pb::CostAllRequest,
    ) -> Result<pb::CostAllResponse, Refusal> {
        let pb::CostAllRequest { site, products, on, at_ms } = request;
        let asked = Asked::all(&self.0, site, products).await?;
        let query = self.query(&caller, &asked, asked_of_all(&asked), at_ms)?;
        let on = day(on)?;
        let found = self.0.exchange.cost(query, on).await?;
        Ok(pb::CostAllResponse { costing: Some(costing(asked, on, found)?) })
    }

    async fn shock(
        &self,
        caller: Caller,
        request: pb::ShockPricesRequest,
    ) -> Result<pb::ShockPricesResponse, Refusal> {
        let pb::ShockPricesRequest { site, on, moved, at_ms } = request;
        let (on, moved) = (day(on)?, shock::moved(moved)?);
        let at = fields::at(at_ms, &self.0.clock)?;
        let site = caller.site(&site)?;
        let query = ShockQuery { site: site.clone(), moved, on, at };
        let replica = self.0.replica().await?;
        let found = self.0.exchange.shock(query).await?;
        Ok(pb::ShockPricesResponse { shock: Some(shock::shock(&site, on, found, replica)) })
    }

    async fn declare(
        &self,
        caller: Caller,
        request: pb::DeclareRecipeRequest,
    ) -> Result<pb::DeclareRecipeResponse, Refusal> {
        let pb::DeclareRecipeRequest { site, recipe, emphasised, at_ms } = request;
        let recipe = fields::parsed(&recipe, "recipe")?;
        let emphasised = emphasis(&emphasised)?;
        let at = fields::at(at_ms, &self.0.clock)?;
        let site = caller.site(&site)?;
        let query = DeclareQuery { site: site.clone(), recipe, emphasised, at };
        let replica = self.0.replica().await?;
        let found = self.0.exchange.declare(query).await?;
        let declaration = Some(declaration(&site, found, replica));
        Ok(pb::DeclareRecipeResponse { declaration })
    }

    fn query(
        &self,
        caller: &Caller,
        asked: &Asked,
        demands: Result<Vec<arith::Demand>, Violation>,
        at_ms: Option<i64>,
    ) -> Result<FigureQuery, Refusal> {
        let demands = demands?;
        Ok(FigureQuery {
            site: caller.site(&asked.site)?,
            demands,
            at: fields::at(at_ms, &self.0.clock)?,
        })
    }
}

/// The ingredients whose share is to be stated.
fn emphasis(ids: &[String]) -> Result<BTreeSet<IngredientId>, Violation> {
    if ids.len() > MAX_EMPHASISED {
        let many = format!("has {} items; at most {MAX_EMPHASISED} are taken", ids.len());
        return Err(Violation::new(many)).at("emphasised");
    }
    let each = ids.iter().enumerate();
    let parsed = |id: &String| id.parse().map_err(|e: IdError| Violation::new(e.to_string()));
    each.map(|(index, id)| parsed(id).at_index(index).at("emphasised")).collect()
}

fn day(on: Option<pb::Date>) -> Result<Day, Violation> {
    on.ok_or_else(|| Violation::new("is required")).and_then(Day::from_pb).at("on")
}

/// The demand of a request for one product, whose fields are the request's own.
fn asked_of_one(asked: &Asked) -> Result<Vec<arith::Demand>, Violation> {
    asked.products.iter().map(demand).collect()
}

/// The demands of a request for several.
fn asked_of_all(asked: &Asked) -> Result<Vec<arith::Demand>, Violation> {
    if asked.products.is_empty() {
        return Err(Violation::new("names nothing to make; at least one is required"))
            .at("products");
    }
    let each = asked.products.iter().enumerate();
    each.map(|(index, one)| demand(one).at_index(index).at("products")).collect()
}

fn demand(product: &pb::ProductDemand) -> Result<arith::Demand, Violation> {
    let recipe: RecipeId = fields::parsed(&product.recipe, "recipe")?;
    let how_much = product.target.clone().ok_or_else(|| Violation::new("is required"));
    let how_much = how_much.and_then(Demand::from_pb).at("target")?;
    Ok(arith::Demand::new(recipe, target(how_much)))
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
