//! Exact unit costs, computed where they are asked for and kept.

use std::collections::{BTreeSet, HashMap};

use chablon_quantity::Exact;

use crate::compiled::{CompiledBook, RecipeIndex, Used};
use crate::size;

/// Exact unit costs by the net gram; nothing for one that is too long to compute with.
#[derive(Clone, Debug, Default)]
pub(super) struct ExactCosts(HashMap<usize, Option<Exact>>);

impl ExactCosts {
    pub(super) fn clear(&mut self) {
        self.0.clear();
    }

    /// Drops what isn't so any more; hashing is what costs, and nearly always there is nothing.
    pub(super) fn forget(&mut self, recipe: usize) {
        if !self.0.is_empty() {
            self.0.remove(&recipe);
        }
    }

    /// The unit cost of a recipe from what an edible gram of each ingredient costs.
    pub(super) fn per_gram(
        &mut self,
        book: &CompiledBook,
        costs: &[Option<Exact>],
        RecipeIndex(recipe): RecipeIndex,
    ) -> Option<Exact> {
        let mut open = BTreeSet::from([recipe]);
        let mut needed = Vec::new();
        while let Some(recipe) = open.pop_last() {
            if !self.0.contains_key(&recipe) {
                needed.push(recipe);
                let lines = book.lines_of(RecipeIndex(recipe)).iter();
                open.extend(lines.filter(|line| line.mass.is_positive()).filter_map(|line| {
                    match line.uses {
                        Used::Component(index) => Some(index.0),
                        Used::Ingredient(_) => None,
                    }
                }));
            }
        }
        for recipe in needed.into_iter().rev() {
            let cost = self.computed(book, costs, recipe);
            self.0.insert(recipe, cost);
        }
        self.0.get(&recipe).cloned().flatten()
    }

    /// The unit cost of a recipe whose components have theirs.
    fn computed(
        &self,
        book: &CompiledBook,
        costs: &[Option<Exact>],
        recipe: usize,
    ) -> Option<Exact> {
        let mut food = Exact::from(0);
        for line in book.lines_of(RecipeIndex(recipe)).iter().filter(|one| one.mass.is_positive()) {
            let cost = match line.uses {
                Used::Ingredient(index) => costs[index.0].as_ref(),
                Used::Component(index) => Some(self.0.get(&index.0)?.as_ref()?),
            };
            food = cost.map_or(food.clone(), |cost| &food + cost * &line.mass);
            if !size::manageable(&food) {
                return None;
            }
        }
        Some(food / &book.recipes[recipe].net).filter(size::manageable)
    }
}
