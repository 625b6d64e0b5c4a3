//! What prices do, as the hub computes it.

use chablon_model::Day;
use chablon_quantity::Currency;
use chablon_wire::{At, Violation, Wire, pb};

use super::figures::{basis, client, figure, list, number, optional, parsed};
use super::{Grpc, given};
use crate::Error;
use crate::figures::{Figure, PriceMoved, PriceShock, RecipeShock, SiteShock};
use crate::hub::ShockOf;

type Read<T> = Result<T, Violation>;

pub(super) async fn shock(hub: &Grpc, of: &ShockOf) -> Result<PriceShock, Error> {
    let request = hub.request(pb::ShockPricesRequest {
        site: of.site.to_string(),
        on: Some(of.on.to_pb()),
        moved: of.moved.clone().try_map(|part| number(&part))?.to_pb(),
        at_ms: of.at.map(|at| at.0),
    });
    let answer =
        hub.attempt(|link| async move { client(link).shock_prices(request).await }).await?;
    let shock = read(given(answer.shock, "shock")?, of.on);
    shock.map_err(|violation| Error::of_answer(&violation))
}

fn read(shock: pb::PriceShock, on: Day) -> Read<PriceShock> {
    let currency: Currency = parsed(&shock.currency, "shock.currency")?;
    let site = SiteShock {
        site: parsed(&shock.site, "shock.site")?,
        currency,
        prices: list(shock.prices, price).at("shock.prices")?,
        without_price: list(shock.without_price, |id| parsed(&id, "id"))
            .at("shock.without_price")?,
        recipes: list(shock.recipes, recipe).at("shock.recipes")?,
    };
    let basis = basis(shock.basis).at("shock.basis")?;
    Ok(PriceShock { on, sites: vec![site], basis })
}

fn price(moved: pb::PriceMoved) -> Read<PriceMoved> {
    Ok(PriceMoved {
        ingredient: parsed(&moved.ingredient, "ingredient")?,
        before_per_kg: optional(moved.before_per_kg, "before_per_kg", Figure::unit_cost)?,
        after_per_kg: optional(moved.after_per_kg, "after_per_kg", Figure::unit_cost)?,
        change_percent: optional(moved.change_percent, "change_percent", Figure::percent)?,
    })
}

fn recipe(shock: pb::RecipeShock) -> Read<RecipeShock> {
    let before = optional(shock.before_per_piece, "before_per_piece", Figure::unit_cost)?;
    let after = optional(shock.after_per_piece, "after_per_piece", Figure::unit_cost)?;
    Ok(RecipeShock {
        recipe: parsed(&shock.recipe, "recipe")?,
        per_kg: [
            figure(shock.before_per_kg, "before_per_kg", Figure::unit_cost)?,
            figure(shock.after_per_kg, "after_per_kg", Figure::unit_cost)?,
        ],
        per_piece: before.zip(after).map(|(before, after)| [before, after]),
        change_percent: optional(shock.change_percent, "change_percent", Figure::percent)?,
        share_percent: optional(shock.share_percent, "share_percent", Figure::percent)?,
        complete: shock.complete,
    })
}
