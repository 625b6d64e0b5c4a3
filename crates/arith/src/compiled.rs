//! A book resolved once: every id a dense index, every amount a mass.

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;
use std::sync::Arc;

use chablon_model::{
    EquipmentClass, IngredientId, Labour, Outline, RecipeId, Scaling, StepId, Uses,
};
use chablon_quantity::Exact;

use crate::Problem;
use crate::users::Users;

/// The place of an ingredient in a [`CompiledBook`]; ingredients are ordered by id.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct IngredientIndex(
    /// From 0.
    pub usize,
);

/// The place of a recipe in a [`CompiledBook`]; recipes are in making order, components first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecipeIndex(
    /// From 0.
    pub usize,
);

/// What a line takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Used {
    /// Something bought.
    Ingredient(IngredientIndex),
    /// Another recipe, which stands before the one that uses it.
    Component(RecipeIndex),
}

/// An ingredient's figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompiledIngredient {
    /// The id.
    pub id: IngredientId,
    /// Grams per millilitre.
    pub density: Option<Exact>,
    /// Edible grams of one piece.
    pub piece_mass: Option<Exact>,
    /// The edible part of what is purchased; 1 where unstated.
    pub edible_yield: Exact,
    /// Whether it is dry: it states at most 15 g of water and at most 25 g of fat in 100 g, as
    /// flour, sugar, starch and cocoa powder do.
    pub dry: bool,
}

/// A line as it stands in one written batch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompiledLine {
    /// Its place among the recipe's written lines, from 1.
    pub number: usize,
    /// What it takes.
    pub uses: Used,
    /// Grams in one written batch; 0 for a line to taste.
    pub mass: Exact,
    /// How it follows the batch.
    pub scaling: Scaling,
    /// Whether it is in the 100 % of shares.
    pub base: bool,
    /// The place of the step that uses it among the recipe's steps, from 0.
    pub step: Option<usize>,
    /// Whether the cook tastes instead of weighing.
    pub to_taste: bool,
    /// How far a weighed amount may be off, as a part of it.
    pub tolerance: Exact,
}

/// A step's hands-on time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompiledStep {
    /// The step.
    pub id: StepId,
    /// Seconds in which hands are busy.
    pub active: Exact,
    /// How they follow what is made.
    pub labour: Labour,
}

/// A recipe's figures for one written batch. Masses are in grams.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompiledRecipe {
    /// The id.
    pub id: RecipeId,
    /// Where its lines stand in [`CompiledBook::lines`].
    pub lines: Range<usize>,
    /// `I_p`: the mass of the lines that scale with the batch. Above 0.
    pub proportional: Exact,
    /// `I_f`: the mass of the lines that are fixed for every batch.
    pub per_batch: Exact,
    /// `P`: the part that the stated losses leave.
    pub kept: Exact,
    /// `F`: the effective factor from input to what the bowl gives, residue included. Above 0.
    pub factor: Exact,
    /// `r`: what stays behind in bowl and bag, per batch.
    pub residue: Exact,
    /// `Y0`: the net mass. Above 0.
    pub net: Exact,
    /// `n0`: the pieces, where it yields pieces.
    pub pieces: Option<Exact>,
    /// `p`: the net mass of one piece, where it yields pieces.
    pub piece_mass: Option<Exact>,
    /// Grams per millilitre.
    pub density: Option<Exact>,
    /// `1 - F/P`: the loss that the declared yield implies beyond the stated losses; 0 where
    /// the yield isn't declared.
    pub unexplained_loss: Exact,
    /// The most input that one batch may have.
    pub batch_max: Option<Exact>,
    /// The least input with which a batch turns out well.
    pub batch_min: Option<Exact>,
    /// The equipment whose capacity at a site bounds a batch.
    pub equipment: Option<EquipmentClass>,
    /// All equipment that it occupies, the batch's before the steps', each class once.
    pub occupies: Vec<EquipmentClass>,
    /// What one piece takes of a tray, where that is stated.
    pub outline: Option<Outline>,
    /// The steps with hands-on time.
    pub steps: Vec<CompiledStep>,
}

impl CompiledRecipe {
    /// `I0`: the whole input of one written batch.
    pub fn input(&self) -> Exact {
        &self.proportional + &self.per_batch
    }
}

/// Every recipe that can be computed, resolved once.
///
/// Recipes stand in making order: repeatedly the smallest id among those whose components all
/// stand already. Any part of a book that is closed under its components is in its own making
/// order when its members are taken in this one, since whether a recipe is ready depends on its
/// components alone.
#[derive(Clone, Debug, Default)]
pub struct CompiledBook {
    pub(crate) ingredients: Vec<CompiledIngredient>,
    pub(crate) recipes: Vec<CompiledRecipe>,
    pub(crate) lines: Vec<CompiledLine>,
    pub(crate) ingredient_index: HashMap<IngredientId, IngredientIndex>,
    pub(crate) recipe_index: HashMap<RecipeId, RecipeIndex>,
    pub(crate) refused: BTreeMap<RecipeId, Problem>,
    /// The recipes that use each recipe.
    pub(crate) users: Users,
    pub(crate) stamp: Stamp,
}

/// Tells whether two books hold the same: copies share a stamp, and every change makes a new one.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stamp(Arc<()>);

impl PartialEq for Stamp {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl CompiledBook {
    /// Every ingredient that can be used, by id.
    pub fn ingredients(&self) -> &[CompiledIngredient] {
        &self.ingredients
    }

    /// Every recipe that can be computed, in making order.
    pub fn recipes(&self) -> &[CompiledRecipe] {
        &self.recipes
    }

    /// The lines of all recipes, those of one together; [`CompiledRecipe::lines`] says where.
    pub fn lines(&self) -> &[CompiledLine] {
        &self.lines
    }

    /// The figures of an ingredient.
    ///
    /// # Panics
    /// Where the index is of a larger book.
    pub fn ingredient(&self, index: IngredientIndex) -> &CompiledIngredient {
        &self.ingredients[index.0]
    }

    /// The figures of a recipe.
    ///
    /// # Panics
    /// Where the index is of a larger book.
    pub fn recipe(&self, index: RecipeIndex) -> &CompiledRecipe {
        &self.recipes[index.0]
    }

    /// The lines of a recipe.
    ///
    /// # Panics
    /// Where the index is of a larger book.
    pub fn lines_of(&self, index: RecipeIndex) -> &[CompiledLine] {
        &self.lines[self.recipes[index.0].lines.clone()]
    }

    /// Where an ingredient stands.
    pub fn find_ingredient(&self, id: &IngredientId) -> Option<IngredientIndex> {
        self.ingredient_index.get(id).copied()
    }

    /// Where a recipe stands, if it can be computed.
    pub fn find_recipe(&self, id: &RecipeId) -> Option<RecipeIndex> {
        self.recipe_index.get(id).copied()
    }

    /// The first reason why a recipe can't be computed.
    pub fn refusal(&self, id: &RecipeId) -> Option<&Problem> {
        self.refused.get(id)
    }

    /// The components of a recipe, as often as lines take them.
    pub(crate) fn components_of(&self, index: RecipeIndex) -> impl Iterator<Item = RecipeIndex> {
        self.lines_of(index).iter().filter_map(|line| match line.uses {
            Used::Component(component) => Some(component),
            Used::Ingredient(_) => None,
        })
    }

    /// The id of what a line takes.
    pub fn uses(&self, used: Used) -> Uses {
        match used {
            Used::Ingredient(index) => Uses::Ingredient(self.ingredient(index).id.clone()),
            Used::Component(index) => Uses::Component(self.recipe(index).id.clone()),
        }
    }
}
