//! Several standards of one site in one plan.

use chablon_change::{Caution, Laid};
use chablon_model::{Closure, RecipeId, agree};

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
    let closures: Vec<_> = standards.iter().map(|one| (&one.recipe, &one.closure)).collect();
    agree(&closures).map_err(|apart| {
        let message = apart.to_string();
        FigureError::NotComputable { of: Some(apart.one), message }
    })?;
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
