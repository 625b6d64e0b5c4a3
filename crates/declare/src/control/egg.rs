//! Egg that nothing heats on the way up to a recipe.

use std::collections::{BTreeSet, VecDeque};

use chablon_arith::{IngredientIndex, RecipeIndex, Used};
use chablon_model::{Allergen, AllergenState, Line, Recipe};
use chablon_quantity::Exact;

use super::Role;
use super::finding::{ControlFinding, Severity};
use super::plan::ControlPlan;
use super::stated;
use crate::Declarer;

/// Walks down from a recipe along lines that no step heats, and finds the egg on the way.
pub(super) fn check(
    declarer: &Declarer<'_>,
    root: RecipeIndex,
    plan: &ControlPlan,
) -> Vec<ControlFinding> {
    let Some((limit, applied)) = plan.celsius(Role::Egg).zip(plan.limit(Role::Egg)) else {
        return Vec::new();
    };
    let mut seen = BTreeSet::from([root]);
    let mut waiting = VecDeque::from([root]);
    let mut findings = Vec::new();
    while let Some(index) = waiting.pop_front() {
        let recipe = declarer.recipes[index.0];
        for line in declarer.book.lines_of(index) {
            let written = &recipe.lines[line.number - 1];
            if is_heated(recipe, written, &limit) {
                continue;
            }
            match line.uses {
                Used::Component(component) if seen.insert(component) => {
                    waiting.push_back(component);
                }
                Used::Ingredient(ingredient) if contains_egg(declarer, ingredient) => {
                    findings.push(ControlFinding {
                        recipe: recipe.id.clone(),
                        step: written.step.clone(),
                        role: Role::Egg,
                        severity: Severity::Risk,
                        stated: format!(
                            "no step heats `{}` to {} °C: use pasteurised egg, or heat it",
                            written.uses.id(),
                            limit.round(0)
                        ),
                        limit: applied.clone(),
                    });
                }
                Used::Component(_) | Used::Ingredient(_) => {}
            }
        }
    }
    findings
}

/// Whether the step that takes a line, or one written below it, is hot; any step, where the line
/// doesn't say which takes it.
fn is_heated(recipe: &Recipe, line: &Line, limit: &Exact) -> bool {
    let taken = line.step.as_ref();
    let start = taken.and_then(|id| recipe.steps.iter().position(|step| step.id == *id));
    let steps = &recipe.steps[start.unwrap_or(0)..];
    steps.iter().any(|step| stated::celsius(step).is_some_and(|one| one.least >= *limit))
}

fn contains_egg(declarer: &Declarer<'_>, ingredient: IngredientIndex) -> bool {
    let egg: Allergen = "egg".parse().expect("a code of the model");
    declarer.ingredient_states[ingredient.0].of(&egg) == AllergenState::Contains
}
