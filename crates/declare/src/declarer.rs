//! What is in every recipe, reckoned once.

use std::collections::BTreeSet;

use chablon_arith::{CompiledBook, IngredientIndex, Library, Problem, RecipeIndex, compile};
use chablon_model::{Allergen, AllergenState, Ingredient, IngredientId, Recipe, RecipeId, Uses};
use chablon_quantity::Exact;

use crate::allergens::{
    self, AllergenDeclaration, Blocker, Contradiction, States, Unstated, because::Ways,
};
use crate::content::{
    Composition, ContentFault, Difference, Rolled, compare, of_compound, roll_up,
};

/// What is in every recipe of a library, reckoned once and asked recipe by recipe.
#[derive(Debug)]
pub struct Declarer<'a> {
    pub(crate) library: &'a Library<'a>,
    pub(crate) book: CompiledBook,
    pub(crate) ingredients: Vec<&'a Ingredient>,
    pub(crate) recipes: Vec<&'a Recipe>,
    pub(crate) ingredient_states: Vec<States>,
    recipe_states: Vec<States>,
    rolled: Vec<Result<Rolled, ContentFault>>,
}

/// What a compound ingredient states, beside what it is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompoundContent {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Every nutrient that it states.
    pub differences: Vec<Difference>,
}

/// Why nothing can be declared of a recipe.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeclareError {
    /// There is none of this id.
    #[error("there is no recipe `{0}`")]
    UnknownRecipe(RecipeId),
    /// It can't be computed.
    #[error("`{recipe}` can't be computed: {problem}")]
    Refused {
        /// The recipe that was asked for.
        recipe: RecipeId,
        /// What is wrong with it.
        problem: Box<Problem>,
    },
    /// Its content can't be.
    #[error("{0}")]
    Content(#[from] ContentFault),
}

impl DeclareError {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::UnknownRecipe(_) => "unknown-recipe",
            Self::Refused { problem, .. } => problem.code(),
            Self::Content(fault) => fault.code(),
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> String {
        match self {
            Self::UnknownRecipe(_) => "correct the name".to_owned(),
            Self::Refused { problem, .. } => problem.hint(),
            Self::Content(fault) => fault.hint().to_owned(),
        }
    }
}

impl<'a> Declarer<'a> {
    /// Reckons states and content of every recipe that can be computed.
    pub fn new(library: &'a Library<'a>) -> Self {
        Self::of_compiled(library, compile(library).0)
    }

    /// The same of a library that was compiled already.
    ///
    /// # Panics
    /// Where the book was compiled from another library.
    pub fn of_compiled(library: &'a Library<'a>, book: CompiledBook) -> Self {
        let of_library = "what is compiled is of the library";
        let ingredients = book.ingredients().iter();
        let ingredients = ingredients.map(|one| library.ingredient(&one.id).expect(of_library));
        let ingredients: Vec<&Ingredient> = ingredients.collect();
        let recipes = book.recipes().iter();
        let recipes = recipes.map(|one| library.recipe(&one.id).expect(of_library));
        let recipes: Vec<&Recipe> = recipes.collect();
        let ingredient_states: Vec<States> =
            ingredients.iter().map(|one| States::of_ingredient(one)).collect();
        Self {
            recipe_states: allergens::of_recipes(&book, &ingredient_states),
            rolled: roll_up(&book, &ingredients, &recipes),
            library,
            book,
            ingredients,
            recipes,
            ingredient_states,
        }
    }

    /// The compiled book that the figures rest on.
    pub fn book(&self) -> &CompiledBook {
        &self.book
    }

    /// The state of every group and kind in a recipe, and why.
    pub fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, DeclareError> {
        let index = self.index(recipe)?;
        let ways = Ways::down_from(&self.book, index);
        Ok(allergens::declarations(&ways, &self.recipe_states[index.0], &self.ingredient_states))
    }

    /// The states alone, as a law's view takes them.
    pub fn states(&self, recipe: &RecipeId) -> Result<&States, DeclareError> {
        Ok(&self.recipe_states[self.index(recipe)?.0])
    }

    /// The state of one allergen in an ingredient.
    pub fn ingredient_state(
        &self,
        ingredient: &IngredientId,
        allergen: &Allergen,
    ) -> Option<AllergenState> {
        let index = self.book.find_ingredient(ingredient)?;
        Some(self.ingredient_states[index.0].of(allergen))
    }

    /// What must be stated before a recipe can be released; nothing where all is known.
    pub fn release_blockers(&self, recipe: &RecipeId) -> Result<Vec<Blocker>, DeclareError> {
        let index = self.index(recipe)?;
        let ways = Ways::down_from(&self.book, index);
        let id = |index: IngredientIndex| self.book.ingredient(index).id.clone();
        let states = &self.recipe_states[index.0];
        Ok(allergens::blockers(&ways, states, &self.ingredient_states, id))
    }

    /// All that is to be stated before every recipe that can be computed can be released, by
    /// ingredient.
    pub fn unstated(&self) -> Vec<Unstated> {
        let blockers = self.recipes.iter().map(|recipe| {
            let blockers = self.release_blockers(&recipe.id);
            (recipe.id.clone(), blockers.expect("the recipe is in the book"))
        });
        allergens::gather(blockers)
    }

    /// The finished pieces: every recipe that no other uses.
    pub fn pieces(&self) -> Vec<&'a RecipeId> {
        let used: BTreeSet<&RecipeId> = (self.recipes.iter())
            .flat_map(|recipe| &recipe.lines)
            .filter_map(|line| match &line.uses {
                Uses::Component(component) => Some(component),
                Uses::Ingredient(_) => None,
            })
            .collect();
        let ids = self.recipes.iter().map(|recipe| &recipe.id);
        ids.filter(|id| !used.contains(id)).collect()
    }

    /// The faults that keep the content of recipes from being reckoned, each once: with the recipe
    /// that has it, not with those that use that one.
    pub fn content_faults(&self) -> impl Iterator<Item = &ContentFault> {
        let faults = self.recipes.iter().zip(&self.rolled);
        faults.filter_map(|(recipe, rolled)| {
            rolled.as_ref().err().filter(|fault| *fault.recipe() == recipe.id)
        })
    }

    /// Compound ingredients of a recipe whose statements their constituents contradict.
    pub fn contradictions(&self, recipe: &RecipeId) -> Result<Vec<Contradiction>, DeclareError> {
        let ways = Ways::down_from(&self.book, self.index(recipe)?);
        let find = |id: &IngredientId| self.library.ingredient(id);
        let of =
            |index: IngredientIndex| allergens::contradictions(self.ingredients[index.0], find);
        Ok(ways.ingredients().flat_map(of).collect())
    }

    /// The same of every ingredient.
    pub fn all_contradictions(&self) -> Vec<Contradiction> {
        let find = |id: &IngredientId| self.library.ingredient(id);
        self.ingredients.iter().flat_map(|one| allergens::contradictions(one, find)).collect()
    }

    /// What 100 g of a finished recipe hold.
    pub fn content(&self, recipe: &RecipeId) -> Result<Composition, DeclareError> {
        Ok(self.rolled(self.index(recipe)?)?.composition(&self.book))
    }

    /// What a piece holds, where the recipe yields pieces.
    pub fn content_per_piece(
        &self,
        recipe: &RecipeId,
    ) -> Result<Option<Composition>, DeclareError> {
        let content = self.content(recipe)?;
        Ok(self.piece_mass(recipe)?.map(|grams| content.of_mass(&grams)))
    }

    /// The net mass of a piece, where the recipe yields pieces.
    pub fn piece_mass(&self, recipe: &RecipeId) -> Result<Option<Exact>, DeclareError> {
        Ok(self.book.recipe(self.index(recipe)?).piece_mass.clone())
    }

    /// What is declared elsewhere of a recipe, held to what is computed.
    pub fn declared(&self, recipe: &RecipeId) -> Result<Vec<Difference>, DeclareError> {
        let index = self.index(recipe)?;
        Ok(compare(&self.recipes[index.0].declared, &self.content(recipe)?))
    }

    /// What compound ingredients of a recipe state, held to what they are made of: those of which
    /// every constituent and its share is known.
    pub fn compounds(&self, recipe: &RecipeId) -> Result<Vec<CompoundContent>, DeclareError> {
        let ways = Ways::down_from(&self.book, self.index(recipe)?);
        Ok(ways
            .ingredients()
            .filter_map(|index| self.compound(self.ingredients[index.0]))
            .collect())
    }

    /// The same of every ingredient.
    pub fn all_compounds(&self) -> Vec<CompoundContent> {
        self.ingredients.iter().filter_map(|one| self.compound(one)).collect()
    }

    fn compound(&self, ingredient: &Ingredient) -> Option<CompoundContent> {
        let differences = of_compound(ingredient, |id| self.library.ingredient(id));
        let ingredient = ingredient.id.clone();
        (!differences.is_empty()).then_some(CompoundContent { ingredient, differences })
    }

    pub(crate) fn rolled(&self, recipe: RecipeIndex) -> Result<&Rolled, DeclareError> {
        self.rolled[recipe.0].as_ref().map_err(|fault| fault.clone().into())
    }

    pub(crate) fn index(&self, recipe: &RecipeId) -> Result<RecipeIndex, DeclareError> {
        self.book.find_recipe(recipe).ok_or_else(|| match self.book.refusal(recipe) {
            Some(problem) => {
                DeclareError::Refused { recipe: recipe.clone(), problem: Box::new(problem.clone()) }
            }
            None => DeclareError::UnknownRecipe(recipe.clone()),
        })
    }
}
