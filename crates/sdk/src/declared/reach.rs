//! Whom a change of an ingredient's allergens reaches.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::Library;
use chablon_declare::Declarer;
use chablon_declare::allergens::{StateChange, changes_between, reach, state_changes};
use chablon_model::{DocumentContent, Ingredient, IngredientId, Recipe, RecipeId, SiteId};

/// What a change of an ingredient's allergens reaches.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct AllergenReach {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// What changes of its own states. Never empty.
    pub changes: Vec<StateChange>,
    /// Every recipe that it is in, before or after, with what changes of that recipe's states:
    /// nothing where others in it have the same state anyway, or where it can't be computed.
    pub recipes: BTreeMap<RecipeId, Vec<StateChange>>,
    /// The kitchens, with those of the recipes that they have.
    pub sites: BTreeMap<SiteId, BTreeSet<RecipeId>>,
}

/// Compares two books. A kitchen of the later one is taken to have all of its recipes;
/// [`Client::allergen_reach`](crate::Client::allergen_reach) knows which it has.
pub fn allergen_reach(before: &[DocumentContent], after: &[DocumentContent]) -> Vec<AllergenReach> {
    let (before, after) = (Side::of(before), Side::of(after));
    let (old_library, new_library) = (before.library(), after.library());
    let (old, new) = (Declarer::new(&old_library), Declarer::new(&new_library));
    let stated_anew = after.ingredients.iter().filter_map(|(id, ingredient)| {
        let changes = state_changes(before.ingredients.get(*id)?, ingredient);
        (!changes.is_empty()).then(|| ((*id).clone(), changes))
    });
    let reached = stated_anew.map(|(ingredient, changes)| {
        let mut recipes = before.reached_by(&ingredient);
        recipes.extend(after.reached_by(&ingredient));
        let sites = after.sites.iter().map(|site| ((*site).clone(), recipes.clone())).collect();
        let recipes = recipes.into_iter().map(|recipe| {
            let states = old.states(&recipe).ok().zip(new.states(&recipe).ok());
            let of_recipe = states.map(|(old, new)| changes_between(old, new));
            (recipe, of_recipe.unwrap_or_default())
        });
        AllergenReach { ingredient, changes, recipes: recipes.collect(), sites }
    });
    reached.collect()
}

/// One of the two books.
#[derive(Default)]
struct Side<'a> {
    ingredients: BTreeMap<&'a IngredientId, &'a Ingredient>,
    recipes: Vec<&'a Recipe>,
    sites: BTreeSet<&'a SiteId>,
}

impl<'a> Side<'a> {
    fn of(documents: &'a [DocumentContent]) -> Self {
        let mut side = Self::default();
        for content in documents {
            match content {
                DocumentContent::Ingredient(one) => {
                    side.ingredients.insert(&one.id, one);
                }
                DocumentContent::Recipe(one) => side.recipes.push(one),
                DocumentContent::Site(one) => {
                    side.sites.insert(&one.id);
                }
                DocumentContent::Book(_) | DocumentContent::Prices(_) => {}
            }
        }
        side
    }

    fn library(&self) -> Library<'a> {
        Library::new(self.ingredients.values().copied(), self.recipes.iter().copied())
    }

    fn reached_by(&self, ingredient: &IngredientId) -> BTreeSet<RecipeId> {
        reach(self.ingredients.values().copied(), self.recipes.iter().copied(), ingredient)
    }
}
