//! What to weigh, as a sheet that is worked through from top to bottom.

mod block;
mod line;
mod safety;
mod words;

use chablon_arith::Target;
use chablon_model::{IngredientId, RecipeId};
use chablon_sdk::figures::{Component, IngredientTotal, Plan};
use owo_colors::OwoColorize;

use super::closing;
use super::listing::{Listing, Side, paragraph};
use super::names::{Names, sort_key};
use super::tongue::{NO_BREAK, Tongue};
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
    text += &totals(plan, names, width);
    text += "\n";
    text += &closing::remarks(&safety::cautions(plan, names), width);
    text += &closing::basis(&plan.basis, words.0);
    text
}

fn head(plan: &Plan, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let title = title(&plan.recipe, &plan.target, names);
    let made = plan.components.last().map(|root| words.makes(root));
    let place = plan.site.as_ref().map(|site| names.site_name(site));
    let intro = words.intro(place, &made.unwrap_or_default());
    let cautions = closing::cautions(&plan.cautions, names.tongue, width);
    format!("{}\n{}{cautions}", title.bold(), paragraph(&intro, 0, width))
}

/// What is made: `Honey loaf: 40 pieces`.
pub(in crate::text) fn title(recipe: &RecipeId, target: &Target, names: &Names<'_>) -> String {
    format!("{}{} {}", names.recipe(recipe), names.tongue.colon(), asked(target, names))
}

/// What was asked for, in a few words.
fn asked(target: &Target, names: &Names<'_>) -> String {
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

/// The mass of every ingredient over the plan, by name.
fn totals(plan: &Plan, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let mut ingredients: Vec<&IngredientTotal> = plan.ingredients.iter().collect();
    ingredients.sort_by_cached_key(|one| sort_key(names.ingredient(&one.ingredient)));
    let number = |one: &&IngredientTotal| names.tongue.number(one.mass_g.exact(), 3);
    let mut masses: Vec<String> = ingredients.iter().map(number).collect();
    names.tongue.aligned(&mut masses);
    let mut listing = Listing::new(block::INDENT, [Side::Left, Side::Right]);
    for (one, mass) in ingredients.into_iter().zip(masses) {
        let name = names.ingredient(&one.ingredient).to_owned();
        let mass = format!("{mass}{NO_BREAK}g");
        listing.row(match (is_to_taste(plan, &one.ingredient), one.mass_g.exact().is_positive()) {
            (false, _) => [name, mass],
            (true, true) => [words.and_to_taste(&name), mass],
            (true, false) => [name, words.to_taste().to_owned()],
        });
    }
    format!("{}\n{}", words.all_ingredients().bold(), listing.render(width))
}

/// Whether some line takes it to taste, which no total counts.
pub(in crate::text) fn is_to_taste(plan: &Plan, ingredient: &IngredientId) -> bool {
    let mut lines = plan.components.iter().flat_map(|component| &component.lines);
    lines.any(|line| line.to_taste && line.uses.id() == ingredient.as_str())
}
