//! Random kitchens: ingredients and recipes that use what stands before them.

use std::collections::BTreeMap;

use chablon_arith::Library;
use chablon_declare::Declarer;
use chablon_model::{
    Allergen, AllergenState, Amount, Batch, Content, Ingredient, IngredientId, Line, Loss,
    LossKind, Nutrient, Recipe, RecipeId, Scaling, Text, Uses,
};
use chablon_quantity::{Authored, Exact, MassUnit, Share, ShareUnit};
use proptest::prelude::*;
use proptest::sample::select;

use crate::fixture::stating;

fn state() -> impl Strategy<Value = AllergenState> {
    select(AllergenState::ALL.to_vec())
}

/// Statements as an author makes them: some codes by name, perhaps all others.
fn statements() -> impl Strategy<Value = (BTreeMap<Allergen, AllergenState>, Option<AllergenState>)>
{
    let codes: Vec<Allergen> =
        Allergen::codes().iter().map(|code| code.parse().expect("a code")).collect();
    (prop::collection::btree_map(select(codes), state(), 0..6), prop::option::of(state()))
}

pub(crate) fn grams(value: i64) -> Authored<MassUnit> {
    format!("{value} g").parse().expect("a mass")
}

/// Content whose parts come to 100 g at most; some of it left out.
fn content() -> impl Strategy<Value = Content> {
    let parts = [
        Nutrient::Water,
        Nutrient::Fat,
        Nutrient::Carbohydrate,
        Nutrient::Fibre,
        Nutrient::Protein,
        Nutrient::Salt,
        Nutrient::Alcohol,
    ];
    let stated = prop::collection::vec((0i64..=14, prop::bool::weighted(0.95)), 10);
    stated.prop_map(move |stated| {
        let whole = parts.iter().zip(&stated);
        let of = [Nutrient::Saturates, Nutrient::Sugars, Nutrient::Polyols];
        let part =
            of.iter().zip(&stated[7..]).map(|(one, (grams, known))| (one, (*grams / 3, *known)));
        let all = whole.map(|(one, stated)| (one, *stated)).chain(part);
        let known = all.filter(|(_, (_, known))| *known);
        Content(known.map(|(one, (value, _))| (*one, grams(value))).collect())
    })
}

fn ingredients() -> impl Strategy<Value = Vec<Ingredient>> {
    prop::collection::vec((statements(), content()), 1..6).prop_map(|all| {
        let one = |(at, ((allergens, other_allergens), content))| Ingredient {
            id: format!("i{at}").parse().expect("an id"),
            allergens,
            other_allergens,
            content,
            ..stating(&[], None)
        };
        all.into_iter().enumerate().map(one).collect()
    })
}

pub(crate) fn line(uses: Uses, amount: Option<i64>) -> Line {
    Line {
        uses,
        amount: amount.map_or(Amount::ToTaste, |value| Amount::Mass(grams(value))),
        base: false,
        scaling: Scaling::Proportional,
        tolerance: None,
        step: None,
    }
}

pub(crate) fn recipe(id: &str, lines: Vec<Line>, losses: Vec<Loss>) -> Recipe {
    Recipe {
        id: id.parse().expect("an id"),
        title: Text::default(),
        density: None,
        note: None,
        yields: None,
        batch: Batch::default(),
        lines,
        losses,
        steps: Vec::new(),
        storage: None,
        declared: chablon_model::DeclaredContent::default(),
    }
}

/// A loss: a percentage, and whether water alone leaves.
pub(crate) fn loss((percent, water): (i64, bool)) -> Loss {
    let kind = if water { LossKind::Water } else { LossKind::Whole };
    let fraction: Authored<ShareUnit> = format!("{percent} %").parse().expect("a share");
    let Share(part) = fraction.quantity();
    assert_eq!(part, Exact::ratio(percent.into(), 100).expect("not over zero"));
    Loss::Stage { stage: None, kind, fraction }
}

#[derive(Clone, Debug)]
pub(crate) struct Kitchen {
    pub(crate) ingredients: Vec<Ingredient>,
    pub(crate) recipes: Vec<Recipe>,
}

/// Recipes that each use ingredients and recipes above them in the list.
pub(crate) fn kitchen() -> impl Strategy<Value = Kitchen> {
    let picks = prop::collection::vec(
        (any::<prop::sample::Index>(), prop::option::weighted(0.9, 1i64..500)),
        0..4,
    );
    let losses = prop::collection::vec((0i64..8, any::<bool>()).prop_map(loss), 0..3);
    let recipes = prop::collection::vec((1i64..500, picks, losses), 1..6);
    (ingredients(), recipes).prop_map(|(ingredients, drawn)| {
        let mut recipes: Vec<Recipe> = Vec::new();
        for (at, (first, picks, losses)) in drawn.into_iter().enumerate() {
            let start = Uses::Ingredient(ingredients[at % ingredients.len()].id.clone());
            let mut lines = vec![line(start, Some(first))];
            for (index, amount) in picks {
                let known = ingredients.len() + recipes.len();
                let pick = index.index(known);
                let uses = match ingredients.get(pick) {
                    Some(one) => Uses::Ingredient(one.id.clone()),
                    None => Uses::Component(recipes[pick - ingredients.len()].id.clone()),
                };
                lines.push(line(uses, amount));
            }
            recipes.push(recipe(&format!("r{at}"), lines, losses));
        }
        Kitchen { ingredients, recipes }
    })
}

impl Kitchen {
    pub(crate) fn ask<T>(&self, ask: impl FnOnce(&Declarer<'_>) -> T) -> T {
        let library = Library::new(&self.ingredients, &self.recipes);
        ask(&Declarer::new(&library))
    }

    pub(crate) fn top(&self) -> RecipeId {
        self.recipes.last().expect("a recipe").id.clone()
    }

    /// The ids of every ingredient below a recipe, found by walking the lines.
    pub(crate) fn leaves(&self, recipe: &RecipeId) -> Vec<&Ingredient> {
        let mut waiting = vec![recipe.clone()];
        let mut found: Vec<&IngredientId> = Vec::new();
        while let Some(id) = waiting.pop() {
            let of = self.recipes.iter().find(|one| one.id == id).expect("a recipe");
            for line in &of.lines {
                match &line.uses {
                    Uses::Ingredient(id) => found.push(id),
                    Uses::Component(id) => waiting.push(id.clone()),
                }
            }
        }
        self.ingredients.iter().filter(|one| found.contains(&&one.id)).collect()
    }
}
