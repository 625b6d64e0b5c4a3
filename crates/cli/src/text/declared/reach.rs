//! Whom a change of allergens reaches.

use chablon_model::RecipeId;
use chablon_sdk::declare::allergens::StateChange;
use chablon_sdk::declare::caution;
use chablon_sdk::declared::AllergenReach;
use owo_colors::OwoColorize;

use super::{INDENT, allergens};
use crate::text::listing::paragraph;
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// Every changed ingredient, with the recipes and kitchens that it reaches.
pub(crate) fn allergen_reach(reached: &[AllergenReach], names: &Names<'_>, width: usize) -> String {
    let tongue = names.tongue;
    if reached.is_empty() {
        let none = "No ingredient's allergens change.";
        return format!(
            "{}\n",
            tongue.pick(none, "Les allergènes d’aucun ingrédient ne changent.")
        );
    }
    let mut text: String = reached.iter().map(|one| ingredient(one, names, width)).collect();
    text += &paragraph(caution::DECLARED, 0, width);
    text
}

fn ingredient(one: &AllergenReach, names: &Names<'_>, width: usize) -> String {
    let tongue = names.tongue;
    let mut text = format!("{}\n", names.ingredient(&one.ingredient).bold());
    text += &paragraph(&changes(&one.changes, names), INDENT, width);
    if one.recipes.is_empty() {
        let unused = tongue.pick("no recipe uses it", "aucune recette ne l’emploie");
        return text + &paragraph(unused, INDENT, width) + "\n";
    }
    for (recipe, changed) in &one.recipes {
        text += &paragraph(&of_recipe(recipe, changed, names), INDENT, width);
    }
    let kitchens = one.sites.iter().map(|(site, recipes)| format!("{site} ({})", recipes.len()));
    let kitchens: Vec<String> = kitchens.collect();
    let label = tongue.pick("kitchens, with how many of these", "cuisines et nombre de recettes");
    let none = tongue.pick("none", "aucune").to_owned();
    let kitchens = if kitchens.is_empty() { none } else { kitchens.join(", ") };
    text += &paragraph(&format!("{label}{} {kitchens}", tongue.colon()), INDENT, width);
    text + "\n"
}

fn of_recipe(recipe: &RecipeId, changed: &[StateChange], names: &Names<'_>) -> String {
    let same = ("the same states as before", "mêmes états qu’avant");
    let said = match changed {
        [] => names.tongue.pick(same.0, same.1).to_owned(),
        changed => changes(changed, names),
    };
    format!("{}{} {said}", names.recipe(recipe), names.tongue.colon())
}

/// `nuts may contain instead of free`.
fn changes(changes: &[StateChange], names: &Names<'_>) -> String {
    let tongue: Tongue = names.tongue;
    let instead = tongue.pick("instead of", "au lieu de");
    let said = changes.iter().map(|one| {
        let (before, after) =
            (allergens::state(one.before, tongue), allergens::state(one.after, tongue));
        format!("{} {after} {instead} {before}", names.allergen(&one.allergen))
    });
    said.collect::<Vec<_>>().join(", ")
}
