//! Our results in the form of the oracle's.

use chablon_declare::allergens::views::Law;
use chablon_declare::content::{Composition, energy};
use chablon_declare::ingredient_list::{IngredientList, ListOptions};
use chablon_declare::label::{Label, LabelBasis, Shown, label};
use chablon_declare::{DeclareError, Declarer};
use chablon_model::{Book, IngredientId, LabelRegime, RecipeId};
use chablon_quantity::Exact;
use serde_json::{Map, Value, json};

pub(crate) fn declaration(declarer: &Declarer<'_>, settings: &Book, recipe: &str) -> Value {
    let recipe: RecipeId = recipe.parse().expect("a recipe's id");
    let found = declared(declarer, settings, &recipe);
    found.unwrap_or_else(|error| json!({ "error": error.code() }))
}

fn declared(
    declarer: &Declarer<'_>,
    settings: &Book,
    recipe: &RecipeId,
) -> Result<Value, DeclareError> {
    let content = declarer.content(recipe)?;
    let piece = declarer.content_per_piece(recipe)?;
    let to_taste: Vec<&str> = content.to_taste.iter().map(chablon_model::Uses::id).collect();
    let mut to_taste = to_taste;
    to_taste.sort_unstable();
    let language = settings.fallback_language().clone();
    let options = ListOptions {
        fallback: language.clone(),
        language,
        law: Law::Eu,
        emphasised: std::collections::BTreeSet::new(),
    };
    Ok(json!({
        "allergens": allergens(declarer, recipe)?,
        "content_per_100g": figures(&content),
        "content_per_piece": piece.as_ref().map(figures),
        "to_taste": to_taste,
        "label": { "eu": rows(&label(&content, LabelRegime::Eu, LabelBasis::Per100G)) },
        "ingredient_list": { "entries": entries(&declarer.ingredient_list(recipe, &options)?) },
    }))
}

fn allergens(declarer: &Declarer<'_>, recipe: &RecipeId) -> Result<Value, DeclareError> {
    let mut all = Map::new();
    for one in declarer.allergens(recipe)? {
        let because: Vec<&str> = one.because.iter().map(|one| one.ingredient.as_str()).collect();
        let state = json!({ "state": one.state.as_str(), "because": because });
        all.insert(one.allergen.code().to_owned(), state);
    }
    Ok(Value::Object(all))
}

fn figure<'a>(
    exact: &Exact,
    decimals: u32,
    missing: impl IntoIterator<Item = &'a IngredientId>,
) -> Value {
    let rounded = exact.round(decimals).to_string();
    let mut figure = json!({ "exact": exact.to_string(), "rounded": rounded });
    let missing: Vec<&str> = missing.into_iter().map(IngredientId::as_str).collect();
    if !missing.is_empty() {
        figure["missing"] = json!(missing);
    }
    figure
}

fn figures(of: &Composition) -> Value {
    let mut all = Map::new();
    for (nutrient, amount) in &of.amounts {
        let figure = figure(&amount.grams, 3, &amount.missing);
        all.insert(nutrient.as_str().to_owned(), figure);
    }
    let energy = energy(of, LabelRegime::Eu);
    let kj = energy.kj.expect("the European factors are in kilojoules");
    all.insert("energy_kj".to_owned(), figure(&kj, 2, &energy.missing));
    all.insert("energy_kcal".to_owned(), figure(&energy.kcal, 2, &energy.missing));
    Value::Object(all)
}

fn rows(label: &Label) -> Value {
    let row = |row: &chablon_declare::label::Row| {
        let below = if matches!(row.shown, Shown::Below(_)) { "<" } else { "" };
        (row.key.to_owned(), json!(format!("{below}{}", row.shown.figure())))
    };
    Value::Object(label.rows.iter().map(row).collect())
}

fn entries(list: &IngredientList) -> Value {
    let entry = |one: &chablon_declare::ingredient_list::Entry| {
        let ids: Vec<&str> = one.ingredients.iter().map(IngredientId::as_str).collect();
        json!({ "name": one.listed_as, "ingredients": ids, "g_per_100g": figure(&one.grams, 3, []) })
    };
    Value::Array(list.entries.iter().map(entry).collect())
}
