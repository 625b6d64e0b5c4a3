//! The cost, line by line, with its sums.

use chablon_quantity::Exact;
use chablon_sdk::figures::{Costing, Figure, IngredientCost, Plan, PriceUsed};
use owo_colors::Style;

use super::super::listing::{Listing, Side};
use super::super::names::{Names, sort_key};
use super::super::plan::is_to_taste;
use super::super::tongue::{NO_BREAK, Tongue};
use super::words::Words;
use super::{Costed, PriceForShare};

/// How far a table stands in.
pub(super) const INDENT: usize = 3;
/// What is missing where hands-on time has no price.
pub(super) const LABOUR_RATE: &str = "labour_rate";

/// The ingredients and the sums.
pub(super) fn table(costed: &Costed<'_>, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let mut listing =
        Listing::new(INDENT, [Side::Left, Side::Right, Side::Right, Side::Right, Side::Right]);
    listing.head(["", words.used(), words.purchased(), words.price(), words.cost()]);
    let mut ingredients: Vec<&IngredientCost> = costed.costing.ingredients.iter().collect();
    ingredients.sort_by_cached_key(|one| sort_key(names.ingredient(&one.ingredient)));
    let used = masses(&ingredients, |one| &one.mass_g, names.tongue);
    let purchased = masses(&ingredients, |one| &one.purchased_g, names.tongue);
    for ((one, used), purchased) in ingredients.into_iter().zip(used).zip(purchased) {
        let style = if one.cost.is_none() { Style::new().yellow() } else { Style::new() };
        listing.styled(cells(costed.plan, one, [used, purchased], names), style);
    }
    listing.gap();
    sums(&mut listing, costed, words);
    if let Some(for_share) = costed.for_share {
        listing.gap();
        share(&mut listing, for_share, words);
    }
    listing.render(width)
}

/// What stands in the row of an ingredient.
fn cells(
    plan: &Plan,
    one: &IngredientCost,
    [used, purchased]: [String; 2],
    names: &Names<'_>,
) -> [String; 5] {
    let words = Words(names.tongue);
    let price = one.price.as_ref().map(|price| pack(price, names.tongue)).unwrap_or_default();
    let name = names.ingredient(&one.ingredient).to_owned();
    if !one.mass_g.exact().is_positive() && is_to_taste(plan, &one.ingredient) {
        let not_counted = words.not_counted().to_owned();
        return [name, words.to_taste().to_owned(), String::new(), price, not_counted];
    }
    let cost = one.cost.as_ref().map(|cost| names.tongue.fixed(&cost.rounded()));
    let cost = cost.unwrap_or_else(|| words.no_price().to_owned());
    [name, used, purchased, price, cost]
}

/// A pack and its price: `78.40 EUR for 10 000 g`.
fn pack(price: &PriceUsed, tongue: Tongue) -> String {
    let amount = tongue.fixed(&price.price.rounded());
    Words(tongue).pack(&amount, price.currency.code(), &tongue.grams(price.pack_g.exact()))
}

fn masses(
    ingredients: &[&IngredientCost],
    mass: impl Fn(&IngredientCost) -> &Figure,
    tongue: Tongue,
) -> Vec<String> {
    let mut numbers: Vec<String> =
        ingredients.iter().map(|one| tongue.number(mass(one).exact(), 3)).collect();
    tongue.aligned(&mut numbers);
    numbers.into_iter().map(|number| format!("{number}{NO_BREAK}g")).collect()
}

fn sums(listing: &mut Listing, costed: &Costed<'_>, words: Words) {
    let Costed { costing, .. } = costed;
    let seconds: Exact = costing.labour_by_recipe.iter().map(|one| &one.seconds).sum();
    let (bold, plain) = (Style::new().bold(), Style::new());
    let labour_missing = costing.missing.iter().any(|one| one.key == LABOUR_RATE);
    let food_missing = costing.missing.iter().any(|one| one.key != LABOUR_RATE);
    let missing = labour_missing || food_missing;
    let mut sum = |label: &str, figure: &Figure, missing: bool, style: Style| {
        let label = if missing { words.at_least(label) } else { label.to_owned() };
        listing.sum(&label, &words.0.fixed(&figure.rounded()), style);
    };
    sum(words.food(), &costing.food, food_missing, bold);
    sum(&words.labour(&seconds), &costing.labour, labour_missing, bold);
    sum(words.total(), &costing.total, missing, bold);
    if let Some(per_piece) = &costing.per_piece {
        sum(words.per_piece(), per_piece, missing, plain);
    }
    sum(words.per_kg(), &costing.per_kg, missing, plain);
}

fn share(listing: &mut Listing, for_share: &PriceForShare, words: Words) {
    let mut sum = |label: &str, figure: &Figure, style: Style| {
        listing.sum(label, &words.0.fixed(&figure.rounded()), style);
    };
    sum(&words.for_share(&for_share.percent), &for_share.total, Style::new().bold());
    if let Some(per_piece) = &for_share.per_piece {
        sum(words.per_piece(), per_piece, Style::new());
    }
    sum(words.per_kg(), &for_share.per_kg, Style::new());
}

/// Whether the rounded costs of the ingredients sum to something else than the rounded sum.
pub(super) fn column_differs(costing: &Costing) -> bool {
    let costs = costing.ingredients.iter().filter_map(|one| one.cost.as_ref());
    let column: Exact = costs.map(|cost| cost.rounded().exact()).sum();
    column != costing.food.rounded().exact()
}
