//! What it costs.

use chablon_arith::{Demand, LabourCost};
use chablon_change::Laid;
use chablon_model::{Day, IngredientId, PriceListId, SiteId, SupplierId};
use chablon_quantity::Currency;

use super::{Basis, Caution, Figure};

/// What a plan costs at a site on a day, and what to order for it.
///
/// Where something is [`missing`](Self::missing), sums are lower bounds of what is known.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Costing {
    /// What was asked for, in the order in which it was.
    pub products: Vec<Demand>,
    /// The site whose prices count.
    pub site: SiteId,
    /// The day whose prices and rates count.
    pub on: Day,
    /// The currency of all sums.
    pub currency: Currency,
    /// What isn't known: ingredients without a price, by id, then the labour rate.
    pub missing: Vec<Missing>,
    /// What the food costs as used.
    pub food: Figure,
    /// What hands-on time costs.
    pub labour: Figure,
    /// Both together.
    pub total: Figure,
    /// The total by the piece, where one product is asked for and it yields pieces.
    pub per_piece: Option<Figure>,
    /// The total by the net kilogram of all products.
    pub per_kg: Figure,
    /// The ingredients, by id.
    pub ingredients: Vec<IngredientCost>,
    /// Hands-on time by recipe, in making order. Older hubs don't say.
    pub labour_by_recipe: Vec<LabourCost>,
    /// What to order, by ingredient.
    pub order: Vec<OrderLine>,
    /// What it was computed from.
    pub basis: Basis,
    /// The deviations that lie over the standard.
    pub deviations: Vec<Laid>,
    /// What the kitchen must be told before it makes it.
    pub cautions: Vec<Caution>,
}

impl Costing {
    /// Whether everything is known that the cost needs.
    pub fn is_complete(&self) -> bool {
        self.missing.is_empty()
    }

    /// What one ingredient costs.
    pub fn ingredient(&self, ingredient: &str) -> Option<&IngredientCost> {
        self.ingredients.iter().find(|cost| cost.ingredient.as_str() == ingredient)
    }
}

/// Something that a complete cost would need.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Missing {
    /// One word: the ingredient's id, or `labour_rate`.
    pub key: String,
    /// What it is: a sentence without a full stop.
    pub text: String,
}

/// What one ingredient of a plan costs as used.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct IngredientCost {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// The edible mass.
    pub mass_g: Figure,
    /// The purchased mass.
    pub purchased_g: Figure,
    /// What that costs, where a price is known.
    pub cost: Option<Figure>,
    /// The price that is used.
    pub price: Option<PriceUsed>,
}

/// The price that is used for an ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct PriceUsed {
    /// The mass of a pack.
    pub pack_g: Figure,
    /// What a pack costs, in the price's own currency.
    pub price: Figure,
    /// The price's own currency.
    pub currency: Currency,
    /// The day from which it holds.
    pub from: Day,
    /// Who sells it.
    pub supplier: Option<SupplierId>,
    /// The list that it stands in.
    pub list: PriceListId,
}

/// What to order of one ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct OrderLine {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Whole packs.
    pub packs: u64,
    /// What they cost.
    pub cost: Figure,
}
