//! What a plan costs at a site on a day, and what to order for it (section 7).

mod check;
mod labour;
mod order;
mod prices;
mod rates;
mod standard;

use std::collections::BTreeSet;
use std::fmt;

use chablon_model::{Day, IngredientId, Uses};
use chablon_quantity::{Currency, Exact};

pub use check::{PriceFault, PricePart, PriceProblem, check_prices};
pub use labour::LabourCost;
pub use order::OrderLine;
pub use prices::{NoPrice, PriceBook, Quote};
pub(crate) use standard::edible_gram_costs;
pub use standard::{StandardCost, price_for_share, standard_costs};

use crate::compiled::CompiledBook;
use crate::{IngredientTotal, Plan, size};

/// What a plan costs. Money is in [`Costing::currency`].
///
/// Where something is [`Costing::missing`], sums are lower bounds of what is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Costing {
    /// The currency that is costed in.
    pub currency: Currency,
    /// What isn't known: ingredients without a price, by id, then the labour rate.
    pub missing: Vec<Missing>,
    /// What the food costs as used.
    pub food: Exact,
    /// What hands-on time costs.
    pub labour: Exact,
    /// Both together.
    pub total: Exact,
    /// The total by the piece, for a plan of one product that yields pieces.
    pub per_piece: Option<Exact>,
    /// The total by the net kilogram of all products.
    pub per_kg: Exact,
    /// Every ingredient, by id.
    pub ingredients: Vec<IngredientCost>,
    /// Hands-on time by recipe, for those that have some, in making order.
    pub labour_by_recipe: Vec<LabourCost>,
    /// What to order, by ingredient.
    pub order: Vec<OrderLine>,
}

/// What one ingredient of a plan costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IngredientCost {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Edible grams.
    pub mass: Exact,
    /// Purchased grams.
    pub purchased: Exact,
    /// What they cost, where a price is known.
    pub cost: Option<Exact>,
    /// The price that is used.
    pub quote: Option<Quote>,
    /// Whether some line takes it to taste, which no cost counts.
    pub to_taste: bool,
}

/// Something that a complete cost would need. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// An ingredient has no price.
    Price {
        /// The ingredient.
        ingredient: IngredientId,
        /// Why.
        because: NoPrice,
    },
    /// Hands are busy, and the site has no labour rate, or none in a currency with a rate.
    LabourRate,
    /// A sum has grown beyond what can be written out.
    TooLong,
}

impl Missing {
    /// What is missing, as one word: the ingredient's id, or `labour_rate`.
    pub fn key(&self) -> &str {
        match self {
            Self::Price { ingredient, .. } => ingredient.as_str(),
            Self::LabourRate => "labour_rate",
            Self::TooLong => "number-too-large",
        }
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Price { ingredient, because: NoPrice::NotListed } => {
                write!(f, "`{ingredient}` has no price that holds by the day")
            }
            Self::Price { ingredient, because: NoPrice::NoPackMass } => {
                write!(f, "the pack of `{ingredient}` can't be weighed")
            }
            Self::Price { ingredient, because: NoPrice::NoRate { from, to } } => {
                write!(f, "the price of `{ingredient}` is in {from}, without a rate to {to}")
            }
            Self::LabourRate => f.write_str("hands-on time has no labour rate"),
            Self::TooLong => f.write_str("a sum has grown too long to compute with"),
        }
    }
}

impl Costing {
    /// Whether everything is known that the cost needs.
    pub fn is_complete(&self) -> bool {
        self.missing.is_empty()
    }

    /// What the order costs: whole packs, beside the food as used.
    pub fn order_total(&self) -> Exact {
        self.order.iter().map(|line| &line.cost).sum()
    }
}

/// Costs a plan with the prices that hold on a day. The book is the one that it was planned with.
pub fn cost(book: &CompiledBook, plan: &Plan, prices: &PriceBook<'_>, day: Day) -> Costing {
    let to_taste = to_taste(plan);
    let costs = plan.ingredients.iter().map(|total| priced(book, prices, day, total, &to_taste));
    let (ingredients, because): (Vec<IngredientCost>, Vec<Option<NoPrice>>) = costs.unzip();
    let unpriced = ingredients.iter().zip(because).filter_map(|(one, because)| {
        Some(Missing::Price { ingredient: one.ingredient.clone(), because: because? })
    });
    let mut missing: Vec<Missing> = unpriced.collect();
    let hour = prices.hour(day);
    let labour_by_recipe = labour_by_recipe(book, plan, hour.as_ref());
    if hour.is_none() && !labour_by_recipe.is_empty() {
        missing.push(Missing::LabourRate);
    }
    let food = sum(ingredients.iter().filter_map(|one| one.cost.as_ref()), &mut missing);
    let labour = sum(labour_by_recipe.iter().filter_map(|one| one.cost.as_ref()), &mut missing);
    let total = &food + &labour;
    Costing {
        currency: prices.currency(),
        per_piece: per_piece(plan, &total),
        per_kg: per_kg(plan, &total),
        order: order::order(book, plan, &ingredients),
        missing,
        food,
        labour,
        total,
        ingredients,
        labour_by_recipe,
    }
}

/// The sum of costs. No term is below 0, so a sum that is cut off is a lower bound as well.
fn sum<'a>(costs: impl Iterator<Item = &'a Exact>, missing: &mut Vec<Missing>) -> Exact {
    size::partial_sum(costs).unwrap_or_else(|before| {
        missing.push(Missing::TooLong);
        before
    })
}

fn per_piece(plan: &Plan, total: &Exact) -> Option<Exact> {
    match &plan.products[..] {
        [one] => total.checked_div(one.pieces.as_ref()?),
        _ => None,
    }
}

fn per_kg(plan: &Plan, total: &Exact) -> Exact {
    let net: Exact = plan.products.iter().map(|product| &product.net).sum();
    total.checked_div(&net).unwrap_or_else(|| Exact::from(0)) * Exact::from(1000)
}

fn to_taste(plan: &Plan) -> BTreeSet<&IngredientId> {
    let lines = plan.components.iter().flat_map(|component| &component.lines);
    let lines = lines.filter(|line| line.to_taste);
    let ids = lines.filter_map(|line| match &line.uses {
        Uses::Ingredient(id) => Some(id),
        Uses::Component(_) => None,
    });
    ids.collect()
}

/// The cost of one ingredient's total, and why it has none where it hasn't.
fn priced(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    day: Day,
    IngredientTotal { ingredient, mass }: &IngredientTotal,
    to_taste: &BTreeSet<&IngredientId>,
) -> (IngredientCost, Option<NoPrice>) {
    let index = book.find_ingredient(ingredient);
    let quote = index.ok_or(NoPrice::NotListed).and_then(|index| prices.quote(book, index, day));
    let purchased = index.map_or(mass.clone(), |index| mass / &book.ingredient(index).edible_yield);
    let cost = quote.as_ref().ok().map(|quote| &purchased * quote.per_gram());
    let because = quote.as_ref().err().copied();
    let (to_taste, ingredient) = (to_taste.contains(ingredient), ingredient.clone());
    let mass = mass.clone();
    let quote = quote.ok();
    (IngredientCost { ingredient, mass, purchased, cost, quote, to_taste }, because)
}

fn labour_by_recipe(book: &CompiledBook, plan: &Plan, hour: Option<&Exact>) -> Vec<LabourCost> {
    let costs = plan.components.iter().filter_map(|planned| {
        let recipe = book.recipe(book.find_recipe(&planned.recipe)?);
        let seconds = labour::seconds(recipe, planned);
        let cost = hour.map(|hour| labour::cost(&seconds, hour));
        Some(LabourCost { recipe: planned.recipe.clone(), seconds, cost })
    });
    costs.filter(|cost| cost.seconds.is_positive()).collect()
}
