//! What prices do, as it is sent.

use chablon_arith::shock as exact;
use chablon_exchange::Founded;
use chablon_model::{Day, PriceMove, SiteId};
use chablon_quantity::{Exact, Number};
use chablon_wire::{Violation, Wire, pb};

use super::figures::{basis, percent, unit_cost};

/// The prices that a request moves.
pub(super) fn moved(
    moved: Option<pb::shock_prices_request::Moved>,
) -> Result<PriceMove, Violation> {
    PriceMove::<Number>::from_pb(moved)?.try_map(|part| Ok(part.exact()))
}

/// What they do.
pub(super) fn shock(
    site: &SiteId,
    on: Day,
    found: Founded<exact::SiteShock>,
    replica: Option<pb::ReplicaState>,
) -> pb::PriceShock {
    let Founded { figure: shock, basis: digests, .. } = found;
    pb::PriceShock {
        site: site.to_string(),
        on: Some(on.to_pb()),
        currency: shock.currency.to_string(),
        prices: shock.prices.iter().map(price).collect(),
        without_price: shock.without_price.iter().map(ToString::to_string).collect(),
        recipes: shock.recipes.iter().map(recipe).collect(),
        basis: Some(basis(&digests, replica)),
    }
}

fn price(moved: &exact::PriceMoved) -> pb::PriceMoved {
    pb::PriceMoved {
        ingredient: moved.ingredient.to_string(),
        before_per_kg: moved.before_per_kg.as_ref().map(unit_cost),
        after_per_kg: moved.after_per_kg.as_ref().map(unit_cost),
        change_percent: moved.change.as_ref().map(in_percent),
    }
}

fn recipe(shock: &exact::RecipeShock) -> pb::RecipeShock {
    let [before, after] = &shock.per_kg;
    let piece = |at: usize| shock.per_piece.as_ref().map(|each| unit_cost(&each[at]));
    pb::RecipeShock {
        recipe: shock.recipe.to_string(),
        before_per_kg: Some(unit_cost(before)),
        after_per_kg: Some(unit_cost(after)),
        before_per_piece: piece(0),
        after_per_piece: piece(1),
        change_percent: shock.change.as_ref().map(in_percent),
        share_percent: shock.share.as_ref().map(in_percent),
        complete: shock.complete,
    }
}

fn in_percent(part: &Exact) -> pb::Figure {
    percent(&(part * Exact::from(100)))
}
