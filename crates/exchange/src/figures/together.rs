//! Several standards of one site in one plan.

use std::collections::BTreeMap;

use chablon_change::{Caution, Laid};
use chablon_model::{Closure, RecipeId};

use super::FigureError;

/// One standard with all that its figures are computed from.
pub(super) struct Standing {
    pub(super) recipe: RecipeId,
    pub(super) closure: Closure,
    pub(super) laid: Vec<Laid>,
    pub(super) cautions: Vec<Caution>,
}

/// Standards as one; the recipe of the first names it.
pub(super) fn together(standards: Vec<Standing>) -> Result<Standing, FigureError> {
    for (at, other) in standards.iter().enumerate() {
        standards[..at].iter().try_for_each(|before| agree(before, other))?;
    }
    let mut standards = standards.into_iter();
    let mut all = standards.next().expect("a figure is asked of at least one recipe");
    for other in standards {
        all.closure.ingredients.extend(other.closure.ingredients);
        all.closure.recipes.extend(other.closure.recipes);
        all.closure.digests.extend(other.closure.digests);
        add_new(&mut all.laid, other.laid);
        add_new(&mut all.cautions, other.cautions);
    }
    Ok(all)
}

fn add_new<T: PartialEq>(known: &mut Vec<T>, others: Vec<T>) {
    for one in others {
        if !known.contains(&one) {
            known.push(one);
        }
    }
}

/// Refuses two standards that mean different things by one id.
fn agree(one: &Standing, other: &Standing) -> Result<(), FigureError> {
    let recipe = apart(&one.closure.recipes, &other.closure.recipes);
    let id = recipe.or_else(|| apart(&one.closure.ingredients, &other.closure.ingredients));
    let Some(id) = id else { return Ok(()) };
    let (one, other) = (&one.recipe, &other.recipe);
    let message = format!(
        "`{one}` and `{other}` were released on different revisions of `{id}`, so they can't be \
         made in one plan; plan them apart, or ask for both on one revision"
    );
    Err(FigureError::NotComputable { of: Some(one.clone()), message })
}

/// The first id under which two maps have different values.
fn apart<K: Ord + ToString, V: PartialEq>(
    one: &BTreeMap<K, V>,
    other: &BTreeMap<K, V>,
) -> Option<String> {
    let differs = |(id, value): &(&K, &V)| other.get(id).is_some_and(|theirs| theirs != *value);
    one.iter().find(differs).map(|(id, _)| id.to_string())
}
