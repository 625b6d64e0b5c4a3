//! What to weigh, as a sheet that is worked through from top to bottom.

mod block;
mod line;
mod safety;
mod words;

use chablon_arith::Target;
use chablon_sdk::figures::{Component, IngredientTotal, Plan};
use owo_colors::OwoColorize;

use super::closing;
use super::listing::{Listing, Side, paragraph};
use super::names::Names;
use super::tongue::Tongue;
use words::Words;

/// The sheet of a plan.
pub(crate) fn sheet(plan: &Plan, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let mut text = head(plan, names, width);
    for (at, component) in plan.components.iter().enumerate() {
        text += "\n";
        text += &block::block(plan, at, component, names, width);
    }
    text += "\n";
    text += &totals(&plan.ingredients, names, width);
    text += &closing::remarks(&safety::cautions(plan, names), &plan.cautions, words.0, width);
    text += &closing::basis(&plan.basis, words.0);
    text
}

fn head(plan: &Plan, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let title = format!("{}: {}", names.recipe(&plan.recipe), asked(&plan.target, names));
    let made = plan.components.last().map(|root| words.makes(root));
    let place = plan.site.as_ref().map(|site| names.site_name(site));
    let intro = words.intro(place, &made.unwrap_or_default());
    format!("{}\n{}", title.bold(), paragraph(&intro, 0, width))
}

/// What was asked for, in a few words.
pub(in crate::text) fn asked(target: &Target, names: &Names<'_>) -> String {
    let words = Words(names.tongue);
    match target {
        Target::Pieces(count) => words.pieces(count),
        Target::NetMass(mass) => names.tongue.grams(mass),
        Target::Factor(times) => words.times_written(times),
        Target::WrittenBatches(count) => words.written_batches(count),
        Target::OnHand { ingredient, mass } => words.on_hand(names.ingredient(ingredient), mass),
    }
}

/// What comes out of a component.
pub(in crate::text) fn makes(component: &Component, tongue: Tongue) -> String {
    Words(tongue).makes(component)
}

fn totals(ingredients: &[IngredientTotal], names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let mut masses: Vec<String> =
        ingredients.iter().map(|one| names.tongue.number(one.mass_g.exact(), 3)).collect();
    names.tongue.aligned(&mut masses);
    let mut named: Vec<(&str, String)> =
        ingredients.iter().map(|one| names.ingredient(&one.ingredient)).zip(masses).collect();
    named.sort_by_key(|(name, _)| name.to_lowercase());
    let mut listing = Listing::new(3, [Side::Left, Side::Right]);
    for (name, mass) in named {
        listing.row([name.to_owned(), format!("{mass} g")]);
    }
    format!("{}\n{}", words.all_ingredients().bold(), listing.render(width))
}
