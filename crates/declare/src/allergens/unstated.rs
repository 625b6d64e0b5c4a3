//! Everything in a book that nobody has stated and that keeps recipes from being released.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use chablon_model::{Allergen, IngredientId, RecipeId};

use super::{Blocker, MissingStatement};

/// An ingredient with all that it doesn't state, and every recipe that can't be released for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unstated {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// What it must state for all of these recipes, in the order of the groups. Never empty.
    pub missing: Vec<MissingStatement>,
    /// The recipes, each with the components on the shortest way down to the ingredient. Never
    /// empty.
    pub reached: BTreeMap<RecipeId, Vec<RecipeId>>,
}

/// Puts the blockers of recipes together by ingredient, in the order of their ids.
pub(crate) fn gather(
    blockers: impl IntoIterator<Item = (RecipeId, Vec<Blocker>)>,
) -> Vec<Unstated> {
    let mut unstated: BTreeMap<IngredientId, Unstated> = BTreeMap::new();
    for (recipe, blockers) in blockers {
        for Blocker { ingredient, path, missing } in blockers {
            let one = unstated.entry(ingredient).or_insert_with_key(|ingredient| Unstated {
                ingredient: ingredient.clone(),
                missing: Vec::new(),
                reached: BTreeMap::new(),
            });
            one.missing = together(&one.missing, &missing);
            one.reached.insert(recipe.clone(), path);
        }
    }
    unstated.into_values().collect()
}

/// Both lists as one: of a group everything or the kinds of either, in the order of the groups.
fn together(some: &[MissingStatement], others: &[MissingStatement]) -> Vec<MissingStatement> {
    let of_group = |group: Allergen| {
        let both = some.iter().chain(others).filter(|one| *one.group() == group);
        let mut kinds: BTreeSet<&Allergen> = BTreeSet::new();
        for one in both {
            match one {
                MissingStatement::Group(_) => return Some(MissingStatement::Group(group)),
                MissingStatement::Kinds { unknown, .. } => kinds.extend(unknown),
            }
        }
        let unknown: Vec<Allergen> = group.kinds().filter(|kind| kinds.contains(kind)).collect();
        (!unknown.is_empty()).then_some(MissingStatement::Kinds { group, unknown })
    };
    Allergen::groups().filter_map(of_group).collect()
}

impl Unstated {
    /// What would mend it.
    pub const HINT: &'static str = "take the states from the supplier's declaration: each under \
        `allergens`, and all that remains with `other_allergens`";
}

impl fmt::Display for Unstated {
    /// `honey` doesn't state: milk, which kinds of nuts
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` doesn't state: {}", self.ingredient, MissingStatement::list(&self.missing))
    }
}
