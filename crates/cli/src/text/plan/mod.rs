//! What to weigh, as a sheet that is worked through from top to bottom.

mod block;
mod line;
mod safety;
mod words;

use chablon_arith::Target;
use chablon_model::IngredientId;
use chablon_sdk::declare::allergens::AllergenDeclaration;
use chablon_sdk::figures::{IngredientTotal, Plan, Product};
use owo_colors::OwoColorize;

use super::listing::{Listing, Side, paragraph};
use super::names::{Names, sort_key};
use super::tongue::NO_BREAK;
use super::{closing, declared};
use words::Words;

/// The sheet of a plan, with the allergens of each of its products.
pub(crate) fn sheet(
    plan: &Plan,
    allergens: &[Vec<AllergenDeclaration>],
    names: &Names<'_>,
    width: usize,
) -> String {
    let words = Words(names.tongue);
    let mut text = head(plan, names, width);
    for (at, component) in plan.components.iter().enumerate() {
        text += "\n";
        text += &block::block(plan, at, component, names, width);
    }
    text += "\n";
    text += &totals(plan, names, width);
    text += "\n";
    text += &within(plan, allergens, names, width);
    text += &closing::remarks(&safety::cautions(plan, names), width);
    text += &closing::basis(&plan.basis, words.0);
    text
}

/// What is in each product, with its name where there are several.
fn within(
    plan: &Plan,
    allergens: &[Vec<AllergenDeclaration>],
    names: &Names<'_>,
    width: usize,
) -> String {
    let each = plan.products.iter().zip(allergens).map(|(product, declared)| {
        let several = plan.only_product().is_none().then(|| names.recipe(&product.recipe));
        format!("{}\n", declared::in_short(several, declared, names, width))
    });
    each.collect()
}

fn head(plan: &Plan, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let titles = titles(plan, names);
    let place = plan.site.as_ref().map(|site| names.site_name(site));
    let intro = words.intro(place, &made(plan, names));
    let cautions = closing::cautions(&plan.cautions, names.tongue, width);
    let deviations = closing::deviations(&plan.deviations, names.tongue, width);
    format!("{titles}{}{cautions}{deviations}", paragraph(&intro, 0, width))
}

/// What is made, a line for each product: `Honey loaf: 40 pieces`.
pub(in crate::text) fn titles(plan: &Plan, names: &Names<'_>) -> String {
    let title = |product: &Product| {
        let (title, asked) = (names.recipe(&product.recipe), asked(&product.target, names));
        let title = format!("{title}{} {asked}", names.tongue.colon());
        format!("{}\n", title.bold())
    };
    plan.products.iter().map(title).collect()
}

/// What comes out of a plan: `40 pieces (2 200 g)`, with its name where there are several.
pub(in crate::text) fn made(plan: &Plan, names: &Names<'_>) -> String {
    let words = Words(names.tongue);
    let made = |product: &Product| words.makes(&product.net_g, product.pieces.as_ref());
    if let Some(only) = plan.only_product() {
        return made(only);
    }
    let with_title = |one: &Product| words.of(names.recipe(&one.recipe), &made(one));
    plan.products.iter().map(with_title).collect::<Vec<_>>().join(words.then())
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
