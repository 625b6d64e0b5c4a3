//! What must be stated before a recipe can be released.

use std::fmt;

use chablon_model::{Allergen, AllergenState, IngredientId, RecipeId};

use super::States;
use super::because::Ways;

/// An ingredient whose missing statements keep a recipe from being released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blocker {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// The components on the shortest way down to it.
    pub path: Vec<RecipeId>,
    /// What it must state, in the order of the groups. Never empty.
    pub missing: Vec<MissingStatement>,
}

/// A statement that is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MissingStatement {
    /// Nothing is known of this group.
    Group(Allergen),
    /// Something of this group is known to be in it, but not which of these kinds. A label names
    /// cereals and nuts singly, and so must whoever asks.
    Kinds {
        /// The group.
        group: Allergen,
        /// The kinds of which nothing is known.
        unknown: Vec<Allergen>,
    },
}

/// What keeps the recipe that the ways lead down from, with these states, from being released.
///
/// Every unknown code blocks, kinds too: an almond that is declared doesn't answer for a hazelnut
/// of which nothing is known.
pub(crate) fn blockers(
    ways: &Ways<'_>,
    states: &States,
    ingredients: &[States],
    id: impl Fn(chablon_arith::IngredientIndex) -> IngredientId,
) -> Vec<Blocker> {
    if states.all().all(|(_, state)| state != AllergenState::Unknown) {
        return Vec::new();
    }
    let blocker = |index: chablon_arith::IngredientIndex| {
        let missing = missing(states, &ingredients[index.0]);
        let ingredient = id(index);
        (!missing.is_empty()).then(|| Blocker { ingredient, path: ways.path(index), missing })
    };
    ways.ingredients().filter_map(blocker).collect()
}

/// What an ingredient must state for a recipe in which it is unknown.
fn missing(recipe: &States, ingredient: &States) -> Vec<MissingStatement> {
    let unknown = |code: &Allergen| {
        recipe.of(code) == AllergenState::Unknown && ingredient.of(code) == AllergenState::Unknown
    };
    let of_group = |group: Allergen| {
        let kinds: Vec<Allergen> = group.kinds().filter(|kind| unknown(kind)).collect();
        let nothing_known = ingredient.own(&group) == AllergenState::Unknown;
        if nothing_known && (unknown(&group) || !kinds.is_empty()) {
            return Some(MissingStatement::Group(group));
        }
        (!kinds.is_empty()).then_some(MissingStatement::Kinds { group, unknown: kinds })
    };
    Allergen::groups().filter_map(of_group).collect()
}

impl MissingStatement {
    /// The group that it is of.
    pub fn group(&self) -> &Allergen {
        match self {
            Self::Group(group) | Self::Kinds { group, .. } => group,
        }
    }

    /// Several, in words: `milk, which kinds of nuts`.
    pub(super) fn list(missing: &[Self]) -> String {
        missing.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    }
}

impl fmt::Display for MissingStatement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Group(group) => write!(f, "{group}"),
            Self::Kinds { group, .. } => write!(f, "which kinds of {group}"),
        }
    }
}

impl fmt::Display for Blocker {
    /// `honey` (in base -> syrup) doesn't state: milk, which kinds of nuts
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`", self.ingredient)?;
        if !self.path.is_empty() {
            let path: Vec<&str> = self.path.iter().map(RecipeId::as_str).collect();
            write!(f, " (in {})", path.join(" -> "))?;
        }
        write!(f, " doesn't state: {}", MissingStatement::list(&self.missing))
    }
}
