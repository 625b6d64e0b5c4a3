//! Deviations from standards of the demonstration book.

mod applied;
mod assessed;
mod fitted;
mod laid;

use std::collections::BTreeSet;

use chablon_model::{
    Decision, Departure, Deviation, DeviationLimits, Digest, DocumentContent, Grant, LineRef,
    Moment, NewAmount, Recipe, RecipeId, RevisionRef, Uses,
};

use crate::book::Edit;

/// A drink of nuts that the book doesn't have.
pub(crate) const CASHEW_DRINK: Edit<'static> = (
    "ingredients/plant.toml",
    "",
    r#"
[[ingredient]]
id = "cashew-drink"
name = { en = "Cashew drink", fr = "Boisson à la noix de cajou" }
density = "1.02 g/mL"
allergens = { "nuts.cashew" = "contains" }
other_allergens = "free"
[ingredient.content]
water = "93 g"
fat = "2.3 g"
saturates = "0.2 g"
carbohydrate = "2.6 g"
sugars = "2.4 g"
polyols = "0 g"
fibre = "0.4 g"
protein = "0.9 g"
salt = "0.1 g"
alcohol = "0 g"
"#,
);

pub(crate) fn revision(recipe: &str, number: u32) -> RevisionRef {
    let key = (&recipe.parse::<RecipeId>().unwrap()).into();
    RevisionRef { key, number, digest: Digest([u8::try_from(number).unwrap(); 32]) }
}

pub(crate) fn grant() -> Grant {
    Grant {
        by: "chef".to_owned(),
        at: Moment(50),
        note: None,
        allergens: BTreeSet::new(),
        critical_limits: false,
    }
}

/// A deviation of harbour from the first revision of a recipe, granted from 100 to 200.
pub(crate) fn deviation(recipe: &str, departures: Vec<Departure>) -> Deviation {
    Deviation {
        id: "departure".parse().unwrap(),
        site: "harbour".parse().unwrap(),
        based_on: revision(recipe, 1),
        departures,
        limits: DeviationLimits::default(),
        from: Moment(100),
        until: Moment(200),
        reason: "the supplier has none".to_owned(),
        decision: Decision::Granted(grant()),
    }
}

pub(crate) fn line(number: u32, ingredient: &str) -> LineRef {
    LineRef { number, uses: Uses::Ingredient(ingredient.parse().unwrap()) }
}

pub(crate) fn times(factor: &str) -> NewAmount {
    NewAmount::Times(factor.parse().unwrap())
}

pub(crate) fn exactly(mass: &str) -> NewAmount {
    NewAmount::Exactly(chablon_model::Amount::Mass(mass.parse().unwrap()))
}

pub(crate) fn take(number: u32, ingredient: &str, to: NewAmount) -> Departure {
    Departure::Amount { line: line(number, ingredient), to }
}

pub(crate) fn instead(number: u32, ingredient: &str, with: &str, amount: NewAmount) -> Departure {
    Departure::Ingredient { line: line(number, ingredient), with: with.parse().unwrap(), amount }
}

/// The recipe of this id.
pub(crate) fn recipe(documents: &[DocumentContent], id: &str) -> Recipe {
    let found = documents.iter().find_map(|one| match one {
        DocumentContent::Recipe(recipe) if recipe.id.as_str() == id => Some(recipe.clone()),
        _ => None,
    });
    found.unwrap()
}
