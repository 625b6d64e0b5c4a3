//! Small books from text.

use chablon_arith::Library;
use chablon_book::{AuthoredBook, Files, read};
use chablon_declare::Declarer;
use chablon_model::{Allergen, AllergenState, Ingredient, RecipeId};
use chablon_quantity::Exact;

const SETTINGS: &str = "name = 'Saltmarsh Kitchens'\ncurrency = 'EUR'\nlanguages = ['en', 'fr']\nlabels = ['eu', 'us']\n";

/// A book of these ingredients and recipes.
pub(crate) fn book(ingredients: &str, recipes: &[String]) -> AuthoredBook {
    let mut files = vec![
        ("book.toml".to_owned(), SETTINGS.to_owned()),
        ("ingredients/all.toml".to_owned(), ingredients.to_owned()),
    ];
    let recipes = recipes.iter().enumerate();
    files.extend(recipes.map(|(at, text)| (format!("recipes/r{at}.toml"), text.clone())));
    let outcome = read(&Files::new(files));
    let findings: Vec<&str> = outcome.findings.iter().map(|one| one.message.as_str()).collect();
    outcome.book.unwrap_or_else(|| panic!("a sound book: {}", findings.join("; ")))
}

/// An ingredient with more keys.
pub(crate) fn ingredient(id: &str, keys: &str) -> String {
    format!("[[ingredient]]\nid = '{id}'\nname = {{ en = '{id}' }}\n{keys}\n")
}

/// A recipe of lines, each a reference and an amount; a component as `component:id`.
pub(crate) fn recipe(id: &str, lines: &[(&str, &str)], more: &str) -> String {
    use std::fmt::Write;
    let mut text = format!("id = '{id}'\ntitle = {{ en = '{id}' }}\n");
    // Tables of the recipe itself stand before its lists of tables or after, as TOML takes either.
    for (uses, amount) in lines {
        let (kind, id) = uses.split_once(':').unwrap_or(("ingredient", uses));
        write!(text, "[[line]]\n{kind} = '{id}'\namount = '{amount}'\n").expect("a string");
    }
    text + more
}

/// A loss of water.
pub(crate) fn boiled(stage: &str, fraction: &str) -> String {
    format!("[[loss]]\nstage = '{stage}'\nkind = 'water'\nfraction = '{fraction}'\n")
}

/// Asks a book.
pub(crate) fn with<T>(book: &AuthoredBook, ask: impl FnOnce(&Declarer<'_>) -> T) -> T {
    let library = Library::new(&book.ingredients, &book.recipes);
    ask(&Declarer::new(&library))
}

pub(crate) fn id(id: &str) -> RecipeId {
    id.parse().expect("an id")
}

pub(crate) fn code(code: &str) -> Allergen {
    code.parse().expect("a code")
}

/// A figure as text: a decimal or a ratio.
pub(crate) fn exact(text: &str) -> Exact {
    match text.parse::<chablon_quantity::Number>() {
        Ok(number) => number.exact(),
        Err(_) => text.parse().expect("a figure"),
    }
}

/// An ingredient that states these allergens.
pub(crate) fn stating(
    stated: &[(&str, AllergenState)],
    others: Option<AllergenState>,
) -> Ingredient {
    Ingredient {
        id: "one".parse().expect("an id"),
        name: chablon_model::Text::default(),
        label_name: chablon_model::Text::default(),
        density: None,
        piece_mass: None,
        edible_yield: None,
        allergens: stated.iter().map(|(one, state)| (code(one), *state)).collect(),
        other_allergens: others,
        content: chablon_model::Content::default(),
        details: chablon_model::Details::default(),
        made_of: Vec::new(),
        note: None,
    }
}
