//! An ingredient.

use std::collections::BTreeMap;

use chablon_model::{Allergen, AllergenState, Constituent, Ingredient};

use super::page::{Page, inline, pair};

pub(super) fn ingredient(ingredient: &Ingredient) -> String {
    let mut page = Page::default();
    page.table("[[ingredient]]");
    page.text("id", &ingredient.id);
    page.by_language("name", &ingredient.name);
    page.by_language("label_name", &ingredient.label_name);
    page.optional("density", ingredient.density);
    page.optional("piece_mass", ingredient.piece_mass);
    page.optional("edible_yield", ingredient.edible_yield);
    let states: BTreeMap<&Allergen, &str> =
        ingredient.allergens.iter().map(|(code, state)| (code, state.as_str())).collect();
    page.entries("allergens", &states);
    page.optional("other_allergens", ingredient.other_allergens.map(AllergenState::as_str));
    if !ingredient.made_of.is_empty() {
        page.raw("made_of", made_of(&ingredient.made_of));
    }
    page.optional("note", ingredient.note.as_ref());
    if !ingredient.content.0.is_empty() || !ingredient.details.0.is_empty() {
        page.table("[ingredient.content]");
        for (nutrient, mass) in &ingredient.content.0 {
            page.text(nutrient.as_str(), mass);
        }
        for (detail, mass) in &ingredient.details.0 {
            page.text(detail.as_str(), mass);
        }
    }
    page.finish()
}

/// A list with a line for each constituent.
fn made_of(constituents: &[Constituent]) -> String {
    let lines = constituents.iter().map(|part| {
        let amount = part.amount.map(|amount| pair("amount", amount));
        let pairs: Vec<String> =
            std::iter::once(pair("ingredient", &part.ingredient)).chain(amount).collect();
        format!("  {},\n", inline(&pairs))
    });
    format!("[\n{}]", lines.collect::<String>())
}
