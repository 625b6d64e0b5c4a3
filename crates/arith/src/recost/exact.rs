//! Exact unit costs, computed where they are asked for and kept.

use std::collections::{BTreeSet, HashMap};

use chablon_quantity::Exact;

use crate::compiled::{CompiledBook, RecipeIndex, Used};
use crate::{products, size};

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
        let nothing = Exact::from(0);
        let lines = book.lines_of(RecipeIndex(recipe)).iter();
        let lines = lines.filter(|line| line.mass.is_positive());
        let terms = lines.map(|line| match line.uses {
            Used::Ingredient(index) => {
                Some((&line.mass, costs[index.0].as_ref().unwrap_or(&nothing)))
            }
            Used::Component(index) => Some((&line.mass, self.0.get(&index.0)?.as_ref()?)),
        });
        let terms: Vec<(&Exact, &Exact)> = terms.collect::<Option<_>>()?;
        let food = products::sum(terms)?;
        Some(food / &book.recipes[recipe].net).filter(size::manageable)
    }
}
