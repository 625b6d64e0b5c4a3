//! Why a recipe has a state: the ingredients that cause it, and the way to each.

use std::collections::{BTreeMap, VecDeque};

use chablon_arith::{CompiledBook, IngredientIndex, RecipeIndex, Used};
use chablon_model::{Allergen, AllergenState, IngredientId, RecipeId};

use super::States;

/// What a recipe declares of one allergen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AllergenDeclaration {
    /// The group or kind.
    pub allergen: Allergen,
    /// Its state.
    pub state: AllergenState,
    /// The ingredients whose own state is this one, by id; none where it is free.
    pub because: Vec<Cause>,
}

/// An ingredient that causes a state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// The components on the shortest way down to it; none where a line of the recipe itself
    /// takes it.
    pub path: Vec<RecipeId>,
}

/// All that a recipe reaches, with the shortest way to each.
pub(crate) struct Ways<'a> {
    book: &'a CompiledBook,
    root: RecipeIndex,
    /// The recipe above each component on the shortest way to it.
    above: BTreeMap<RecipeIndex, RecipeIndex>,
    /// The recipe that takes each ingredient on the shortest way to it.
    taken_by: BTreeMap<IngredientIndex, RecipeIndex>,
}

impl<'a> Ways<'a> {
    /// Walks down from a recipe, level by level.
    pub(crate) fn down_from(book: &'a CompiledBook, root: RecipeIndex) -> Self {
        let mut ways = Self { book, root, above: BTreeMap::new(), taken_by: BTreeMap::new() };
        let mut waiting = VecDeque::from([root]);
        while let Some(recipe) = waiting.pop_front() {
            for line in book.lines_of(recipe) {
                match line.uses {
                    Used::Ingredient(ingredient) => {
                        ways.taken_by.entry(ingredient).or_insert(recipe);
                    }
                    Used::Component(component) => {
                        ways.above.entry(component).or_insert_with(|| {
                            waiting.push_back(component);
                            recipe
                        });
                    }
                }
            }
        }
        ways
    }

    /// Every ingredient that it reaches.
    pub(crate) fn ingredients(&self) -> impl Iterator<Item = IngredientIndex> {
        self.taken_by.keys().copied()
    }

    /// Every component that it reaches, and itself.
    pub(crate) fn recipes(&self) -> impl Iterator<Item = RecipeIndex> {
        self.above.keys().copied().chain([self.root])
    }

    /// The components on the way down to an ingredient.
    pub(crate) fn path(&self, ingredient: IngredientIndex) -> Vec<RecipeId> {
        let mut path = Vec::new();
        let mut at = self.taken_by.get(&ingredient).copied();
        while let Some(recipe) = at.filter(|recipe| *recipe != self.root) {
            path.push(self.book.recipe(recipe).id.clone());
            at = self.above.get(&recipe).copied();
        }
        path.reverse();
        path
    }
}

/// What the recipe that the ways lead down from declares of every code.
pub(crate) fn declarations(
    ways: &Ways<'_>,
    states: &States,
    ingredients: &[States],
) -> Vec<AllergenDeclaration> {
    let because = |allergen: &Allergen, state: AllergenState| {
        let causing = ways.ingredients().filter(|one| ingredients[one.0].of(allergen) == state);
        let cause = |index: IngredientIndex| Cause {
            ingredient: ways.book.ingredient(index).id.clone(),
            path: ways.path(index),
        };
        if state == AllergenState::Free { Vec::new() } else { causing.map(cause).collect() }
    };
    let declared = states.all().map(|(allergen, state)| {
        let because = because(&allergen, state);
        AllergenDeclaration { allergen, state, because }
    });
    declared.collect()
}
