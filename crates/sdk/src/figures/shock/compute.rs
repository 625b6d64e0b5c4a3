//! From documents and moved prices to what they do.

use chablon_arith::shock::{self as exact, price_shock};
use chablon_arith::{PriceBook, compile};
use chablon_model::{Day, PriceMove, RecipeId, SiteId};
use chablon_quantity::Exact;

use super::{PriceMoved, RecipeShock, SiteShock};
use crate::Error;
use crate::error::Kind;
use crate::figures::{Figure, Kitchen};

impl Kitchen<'_> {
    /// What a move of prices does at the kitchen's site to the recipes that it holds, or to one of
    /// them.
    pub(crate) fn shock(
        &self,
        moved: &PriceMove,
        on: Day,
        only: Option<&RecipeId>,
    ) -> Result<exact::SiteShock, Error> {
        let missing = |what: &str| {
            Error::new(Kind::NotComputable, format!("nothing can be costed without {what}"))
        };
        let site = self.site.ok_or_else(|| missing("a site"))?.value;
        let settings = self.settings.ok_or_else(|| missing("the group's settings"))?.value;
        let lists = self.lists.iter().map(|list| list.value);
        let prices = PriceBook::of_site(site, settings.currency, lists);
        let (book, _) = compile(&self.library);
        let shock = price_shock(&book, &prices, (moved, on), only);
        shock.map_err(|error| Error::new(Kind::NotComputable, error.to_string()))
    }
}

impl SiteShock {
    pub(crate) fn of(site: SiteId, shock: exact::SiteShock) -> Self {
        let exact::SiteShock { currency, prices, without_price, recipes } = shock;
        Self {
            site,
            currency,
            prices: prices.into_iter().map(price_moved).collect(),
            without_price,
            recipes: recipes.into_iter().map(recipe).collect(),
        }
    }
}

fn price_moved(moved: exact::PriceMoved) -> PriceMoved {
    PriceMoved {
        ingredient: moved.ingredient,
        before_per_kg: moved.before_per_kg.map(Figure::unit_cost),
        after_per_kg: moved.after_per_kg.map(Figure::unit_cost),
        change_percent: moved.change.map(percent),
    }
}

fn recipe(shock: exact::RecipeShock) -> RecipeShock {
    let both = |both: [Exact; 2]| both.map(Figure::unit_cost);
    RecipeShock {
        recipe: shock.recipe,
        per_kg: both(shock.per_kg),
        per_piece: shock.per_piece.map(both),
        change_percent: shock.change.map(percent),
        share_percent: shock.share.map(percent),
        complete: shock.complete,
    }
}

fn percent(part: Exact) -> Figure {
    Figure::percent(part * Exact::from(100))
}
