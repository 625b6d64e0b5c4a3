//! The one path from documents to figures.

use std::collections::BTreeSet;

use chablon_arith as arith;
use chablon_arith::{Demand, Library, PriceBook, SiteKit};
use chablon_change::Laid;
use chablon_model::{Book, Day, Digest, PriceList, Site};
use chablon_quantity::{Currency, Exact};

use super::{
    Basis, Caution, Component, Costing, Figure, IngredientCost, IngredientTotal, Line, Missing,
    OrderLine, Plan, PriceUsed, Product, Warning, Weighing,
};
use crate::Error;
use crate::error::Kind;

/// A document with the digest of the revision that it was read from.
#[derive(Debug)]
pub(crate) struct Known<'a, T> {
    pub(crate) digest: Digest,
    pub(crate) value: &'a T,
}

// Derived, these would ask for a `T` that can be copied.
impl<T> Copy for Known<'_, T> {}
impl<T> Clone for Known<'_, T> {
    fn clone(&self) -> Self {
        *self
    }
}

/// All that the figures of some recipes at one site are computed from.
#[derive(Clone, Debug)]
pub(crate) struct Kitchen<'a> {
    pub(crate) library: Library<'a>,
    /// The digests of the recipes and of all that they use.
    pub(crate) digests: BTreeSet<Digest>,
    pub(crate) site: Option<Known<'a, Site>>,
    pub(crate) settings: Option<Known<'a, Book>>,
    pub(crate) lists: Vec<Known<'a, PriceList>>,
    /// The deviations that lie over the recipes of the library already.
    pub(crate) deviations: Vec<Laid>,
    pub(crate) cautions: Vec<Caution>,
}

impl Kitchen<'_> {
    pub(crate) fn scale(&self, demands: &[Demand]) -> Result<Plan, Error> {
        let (_, plan) = self.plan(demands)?;
        let mut digests = self.digests.clone();
        digests.extend(self.site.map(|site| site.digest));
        Ok(Plan {
            products: plan.products.into_iter().map(product).collect(),
            site: self.site.map(|site| site.value.id.clone()),
            components: plan.components.into_iter().map(component).collect::<Result<_, _>>()?,
            ingredients: plan.ingredients.into_iter().map(total).collect(),
            basis: Basis::new(digests),
            deviations: self.deviations.clone(),
            cautions: self.cautions.clone(),
        })
    }

    pub(crate) fn cost(&self, demands: &[Demand], on: Day) -> Result<Costing, Error> {
        let missing = |what: &str| {
            Error::new(Kind::NotComputable, format!("nothing can be costed without {what}"))
        };
        let site = self.site.ok_or_else(|| missing("a site"))?;
        let settings = self.settings.ok_or_else(|| missing("the group's settings"))?;
        let (book, plan) = self.plan(demands)?;
        let lists = self.lists.iter().map(|list| list.value);
        let prices = PriceBook::of_site(site.value, settings.value.currency, lists);
        let cost = arith::cost(&book, &plan, &prices, on);
        self.costing(demands, site.value, on, cost, Basis::new(self.all_digests()))
    }

    /// The digests of all that a cost is computed from.
    pub(crate) fn all_digests(&self) -> BTreeSet<Digest> {
        let mut digests = self.digests.clone();
        digests.extend(self.site.map(|site| site.digest));
        digests.extend(self.settings.map(|settings| settings.digest));
        digests.extend(self.lists.iter().map(|list| list.digest));
        digests
    }

    fn plan(&self, demands: &[Demand]) -> Result<(arith::CompiledBook, arith::Plan), Error> {
        let (book, _) = arith::compile(&self.library);
        let kit = self.site.map(|site| SiteKit::from(site.value));
        let plan = arith::plan(&book, demands, kit.as_ref())?;
        Ok((book, plan))
    }

    fn costing(
        &self,
        demands: &[Demand],
        site: &Site,
        on: Day,
        cost: arith::Costing,
        basis: Basis,
    ) -> Result<Costing, Error> {
        let currency = cost.currency;
        let money = |exact| Figure::total(exact, currency);
        let ingredients = cost.ingredients.into_iter().map(|one| priced(one, currency));
        let order = cost.order.into_iter().map(|line| order_line(line, currency));
        Ok(Costing {
            products: demands.to_vec(),
            site: site.id.clone(),
            on,
            currency,
            missing: cost.missing.iter().map(missing).collect(),
            food: money(cost.food),
            labour: money(cost.labour),
            total: money(cost.total),
            per_piece: cost.per_piece.map(Figure::unit_cost),
            per_kg: Figure::unit_cost(cost.per_kg),
            ingredients: ingredients.collect(),
            labour_by_recipe: cost.labour_by_recipe,
            order: order.collect::<Result<_, _>>()?,
            basis,
            deviations: self.deviations.clone(),
            cautions: self.cautions.clone(),
        })
    }
}

fn product(product: arith::Product) -> Product {
    Product {
        recipe: product.recipe,
        target: product.target,
        net_g: Figure::grams(product.net),
        pieces: product.pieces.map(Figure::pieces),
    }
}

fn component(planned: arith::PlannedRecipe) -> Result<Component, Error> {
    Ok(Component {
        recipe: planned.recipe,
        net_g: Figure::grams(planned.net),
        pieces: planned.pieces.map(Figure::pieces),
        batches: counted(&planned.batches, "batches")?,
        factor: Figure::factor(planned.factor),
        input_g: Figure::grams(planned.input),
        lines: planned.lines.into_iter().map(line).collect::<Result<_, _>>()?,
        trays: planned.trays,
        warnings: planned.warnings.iter().map(warning).collect(),
    })
}

fn line(planned: arith::PlannedLine) -> Result<Line, Error> {
    Ok(Line {
        number: planned.number,
        uses: planned.uses,
        mass_g: Figure::grams(planned.mass),
        per_batch_g: Figure::grams(planned.per_batch),
        to_taste: planned.to_taste,
        bakers_percent: planned.of_base.map(Figure::percent),
        weigh: planned.weigh.map(weighing).transpose()?,
        hints: planned.hints,
    })
}

fn weighing(weighing: arith::Weighing) -> Result<Weighing, Error> {
    Ok(Weighing {
        weighings: counted(&weighing.weighings, "weighings")?,
        error_percent: Figure::percent(weighing.error_percent()),
        reading_g: Figure::grams(weighing.reading),
        scale: weighing.scale,
        flag: weighing.flag,
    })
}

fn warning(warning: &arith::Warning) -> Warning {
    let code = Some(warning.code().to_owned());
    Warning { code, line: warning.line(), text: warning.to_string() }
}

fn total(total: arith::IngredientTotal) -> IngredientTotal {
    IngredientTotal { ingredient: total.ingredient, mass_g: Figure::grams(total.mass) }
}

fn missing(missing: &arith::Missing) -> Missing {
    Missing { key: missing.key().to_owned(), text: missing.to_string() }
}

fn priced(cost: arith::IngredientCost, currency: Currency) -> IngredientCost {
    IngredientCost {
        ingredient: cost.ingredient,
        mass_g: Figure::grams(cost.mass),
        purchased_g: Figure::grams(cost.purchased),
        cost: cost.cost.map(|exact| Figure::total(exact, currency)),
        price: cost.quote.map(price),
    }
}

fn order_line(line: arith::OrderLine, currency: Currency) -> Result<OrderLine, Error> {
    Ok(OrderLine {
        packs: counted(&line.packs, "packs")?,
        ingredient: line.ingredient,
        cost: Figure::total(line.cost, currency),
    })
}

fn price(quote: arith::Quote) -> PriceUsed {
    PriceUsed {
        pack_g: Figure::grams(quote.pack),
        price: Figure::total(quote.price, quote.currency),
        currency: quote.currency,
        from: quote.from,
        supplier: quote.supplier,
        list: quote.list,
    }
}

/// A whole number that somebody has to count to.
fn counted(number: &Exact, what: &str) -> Result<u64, Error> {
    let too_many =
        || Error::new(Kind::NotComputable, format!("{number} {what} are too many; ask for less"));
    number.to_u64().ok_or_else(too_many)
}
