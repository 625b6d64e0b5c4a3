//! Allergens: what is in it, why, and what nobody has stated.

use chablon_model::AllergenState;
use chablon_sdk::declare::Declaration;
use chablon_sdk::declare::allergens::{AllergenDeclaration, Cause};

use super::INDENT;
use crate::text::listing::{Listing, Side, paragraph};
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// Every group and kind that isn't free, and in one line those that are.
pub(super) fn allergens(declaration: &Declaration, names: &Names<'_>, width: usize) -> String {
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Left]);
    let present = |one: &&AllergenDeclaration| one.state != AllergenState::Free;
    for declared in declaration.allergens.iter().filter(present) {
        listing.row([declared.allergen.code(), state(declared.state, names.tongue)]);
        let causes: Vec<String> = declared.because.iter().map(|one| cause(one, names)).collect();
        listing.remark(causes.join("; "));
    }
    let mut text = listing.render(width);
    let free = declaration.allergens.iter().filter(|one| one.state == AllergenState::Free);
    let free: Vec<&str> = free.map(|one| one.allergen.code()).collect();
    if !free.is_empty() {
        let label = names.tongue.pick("free of", "exempt de");
        text += &paragraph(&format!("{label}: {}", free.join(", ")), INDENT, width);
    }
    for blocker in &declaration.blockers {
        text += &paragraph(&format!("! {blocker}"), INDENT, width);
    }
    for contradiction in &declaration.contradictions {
        text += &paragraph(&format!("! {contradiction}"), INDENT, width);
    }
    text
}

fn state(state: AllergenState, tongue: Tongue) -> &'static str {
    match state {
        AllergenState::Contains => tongue.pick("contains", "contient"),
        AllergenState::MayContain => tongue.pick("may contain", "peut contenir"),
        AllergenState::Unknown => tongue.pick("not known", "inconnu"),
        AllergenState::Free => tongue.pick("free", "exempt"),
    }
}

/// The ingredient and the way to it from the recipe down.
fn cause(cause: &Cause, names: &Names<'_>) -> String {
    let way: Vec<&str> = cause.path.iter().map(|recipe| names.recipe(recipe)).collect();
    let ingredient = names.ingredient(&cause.ingredient);
    if way.is_empty() {
        return ingredient.to_owned();
    }
    let within = names.tongue.pick("in", "dans");
    let way: Vec<&str> = way.into_iter().rev().collect();
    format!("{ingredient} {within} {}", way.join(&format!(" {within} ")))
}
