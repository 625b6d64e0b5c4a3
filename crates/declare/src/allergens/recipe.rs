//! The states of recipes, components before what uses them.

use chablon_arith::{CompiledBook, RecipeIndex, Used};

use super::States;

/// The states of every recipe of a book, in its order, from those of its ingredients.
pub(crate) fn of_recipes(book: &CompiledBook, ingredients: &[States]) -> Vec<States> {
    let mut recipes: Vec<States> = Vec::with_capacity(book.recipes().len());
    for index in 0..book.recipes().len() {
        let mut mixed = States::free();
        for line in book.lines_of(RecipeIndex(index)) {
            mixed.mix(match line.uses {
                Used::Ingredient(ingredient) => &ingredients[ingredient.0],
                Used::Component(component) => &recipes[component.0],
            });
        }
        recipes.push(mixed);
    }
    recipes
}
