//! What figures are computed from: ingredients and recipes by their ids.

use std::collections::BTreeMap;

use chablon_model::{Ingredient, IngredientId, Recipe, RecipeId};

/// Ingredients and recipes, borrowed and found by id.
///
/// Which revisions they are is the caller's choice: a book as it is written, the standards in
/// force at a site, or the revisions that one release pinned.
#[derive(Clone, Debug, Default)]
pub struct Library<'a> {
    pub(crate) ingredients: BTreeMap<&'a IngredientId, &'a Ingredient>,
    pub(crate) recipes: BTreeMap<&'a RecipeId, &'a Recipe>,
}

impl<'a> Library<'a> {
    /// A library of these; of several with one id the last counts.
    pub fn new(
        ingredients: impl IntoIterator<Item = &'a Ingredient>,
        recipes: impl IntoIterator<Item = &'a Recipe>,
    ) -> Self {
        Self {
            ingredients: ingredients.into_iter().map(|one| (&one.id, one)).collect(),
            recipes: recipes.into_iter().map(|one| (&one.id, one)).collect(),
        }
    }

    /// The ingredient of this id.
    pub fn ingredient(&self, id: &IngredientId) -> Option<&'a Ingredient> {
        self.ingredients.get(id).copied()
    }

    /// The recipe of this id.
    pub fn recipe(&self, id: &RecipeId) -> Option<&'a Recipe> {
        self.recipes.get(id).copied()
    }
}
