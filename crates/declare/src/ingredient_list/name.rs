//! How an ingredient stands in a list.

use chablon_model::{Ingredient, Language};

/// The name and whether it is in the language asked for: the label's own before the ingredient's,
/// the language asked for before the fallback.
pub(super) fn of<'a>(
    ingredient: &'a Ingredient,
    language: &Language,
    fallback: &Language,
) -> (&'a str, bool) {
    let texts = [&ingredient.label_name, &ingredient.name];
    let by = |language: &Language| texts.iter().find_map(|text| text.0.get(language));
    if let Some(name) = by(language) {
        return (name, true);
    }
    let any = || texts.iter().find_map(|text| text.0.values().next());
    (by(fallback).or_else(any).map_or(ingredient.id.as_str(), String::as_str), false)
}
