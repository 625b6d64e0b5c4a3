//! Statements of a compound ingredient that its constituents contradict.

use std::fmt;

use chablon_model::{Allergen, AllergenState, Ingredient, IngredientId};

use super::States;

/// A compound ingredient that says less of an allergen than what it is made of.
///
/// It is worth a look, not a refusal: some derivatives are exempt (a glucose syrup from wheat).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contradiction {
    /// The compound ingredient.
    pub ingredient: IngredientId,
    /// What it says.
    pub says: AllergenState,
    /// What it is made of.
    pub constituent: IngredientId,
    /// The allergen that the constituent contains.
    pub allergen: Allergen,
}

/// The contradictions of one ingredient, given how its constituents are found.
pub(crate) fn contradictions<'a>(
    ingredient: &Ingredient,
    find: impl Fn(&IngredientId) -> Option<&'a Ingredient>,
) -> Vec<Contradiction> {
    let states = States::of_ingredient(ingredient);
    let constituents = ingredient.made_of.iter().filter_map(|part| find(&part.ingredient));
    let of = |constituent: &Ingredient| {
        let contained = States::of_ingredient(constituent);
        let contradicted = contained.all().filter(|(code, state)| {
            *state == AllergenState::Contains && states.of(code) < AllergenState::Unknown
        });
        let contradiction = |(allergen, _)| Contradiction {
            ingredient: ingredient.id.clone(),
            says: states.of(&allergen),
            constituent: constituent.id.clone(),
            allergen,
        };
        contradicted.map(contradiction).collect::<Vec<_>>()
    };
    constituents.flat_map(of).collect()
}

impl fmt::Display for Contradiction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` states {} of {}, but is made of `{}`, which contains it",
            self.ingredient,
            self.says.as_str(),
            self.allergen,
            self.constituent
        )
    }
}
