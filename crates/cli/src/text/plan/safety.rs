//! Where work can hurt someone: food-safety limits, heat, allergens.

use chablon_model::{Control, Measure, Recipe, SetPoint};
use chablon_quantity::Exact;
use chablon_sdk::figures::{Component, Plan};

use super::super::names::Names;
use super::super::tongue::Tongue;

/// From here on a splash of what is in the pan burns at once.
const BOILING: i32 = 100;

/// The food-safety limits of a component, one a step.
pub(super) fn limits(component: &Component, names: &Names<'_>) -> Vec<String> {
    let Some(recipe) = names.written(&component.recipe) else { return Vec::new() };
    let limit = |step: &chablon_model::Step| {
        let critical = step.controls.iter().filter(|control| control.critical);
        let bounds: Vec<String> = critical.map(|control| bounds(control, names.tongue)).collect();
        let text = names.text(&step.text).unwrap_or(step.id.as_str());
        let text = text.trim_end_matches('.');
        (!bounds.is_empty()).then(|| format!("{}. {text}.", bounds.join(", ")))
    };
    recipe.steps.iter().filter_map(limit).collect()
}

/// A control's bounds: `temperature at most 5 °C`.
fn bounds(control: &Control, tongue: Tongue) -> String {
    let measure = measure(control.measure, tongue);
    let (at_least, at_most) = tongue.pick(("at least", "at most"), ("au moins", "au plus"));
    let (from, to) = tongue.pick(("from", "to"), ("de", "à"));
    let bounds = match (&control.min, &control.max, &control.target) {
        (Some(min), Some(max), _) => format!("{from} {} {to} {}", show(min), show(max)),
        (Some(min), None, _) => format!("{at_least} {}", show(min)),
        (None, Some(max), _) => format!("{at_most} {}", show(max)),
        (None, None, Some(target)) => show(target),
        (None, None, None) => String::new(),
    };
    format!("{measure} {bounds}").trim_end().to_owned()
}

fn measure(measure: Measure, tongue: Tongue) -> &'static str {
    match measure {
        Measure::Temperature => tongue.pick("temperature", "température"),
        Measure::Time => tongue.pick("time", "durée"),
        Measure::Mass => tongue.pick("mass", "masse"),
        Measure::Observation => tongue.pick("look for", "observer"),
    }
}

fn show(point: &SetPoint) -> String {
    match point {
        SetPoint::Temperature(value) => value.to_string(),
        SetPoint::Time(value) => value.to_string(),
        SetPoint::Mass(value) => value.to_string(),
        SetPoint::Observation(words) => words.clone(),
    }
}

/// What must be said at the end of a sheet.
pub(super) fn cautions(plan: &Plan, names: &Names<'_>) -> Vec<String> {
    let written = || plan.components.iter().filter_map(|one| names.written(&one.recipe));
    let hot: Vec<&str> =
        written().filter(|recipe| is_hot(recipe)).map(|recipe| names.recipe(&recipe.id)).collect();
    let critical = |recipe: &Recipe| {
        recipe.steps.iter().any(|step| step.controls.iter().any(|control| control.critical))
    };
    let mut cautions = vec![allergens(names.tongue)];
    cautions.extend(written().any(critical).then(|| limits_caution(names.tongue)));
    cautions.extend((!hot.is_empty()).then(|| heat(&hot, names.tongue)));
    cautions
}

/// Whether some step is watched at the boiling point of water or above.
fn is_hot(recipe: &Recipe) -> bool {
    let controls = recipe.steps.iter().flat_map(|step| &step.controls);
    let mut points =
        controls.flat_map(|control| [&control.target, &control.min, &control.max]).flatten();
    points.any(|point| match point {
        SetPoint::Temperature(value) => value.quantity().celsius() >= Exact::from(BOILING),
        _ => false,
    })
}

fn allergens(tongue: Tongue) -> String {
    tongue.pick(
        "Allergens are computed from declared data: read the labels of what you use, keep traces out, and tell those who eat. Local law and licensed practice decide.".to_owned(),
        "Les allergènes sont calculés d’après les déclarations : lire les étiquettes des produits employés, éviter les traces et informer les clients. Le droit local et la pratique agréée l’emportent.".to_owned(),
    )
}

fn limits_caution(tongue: Tongue) -> String {
    tongue.pick(
        "Food-safety limits are the group's own: check them with a calibrated probe. Local law and licensed practice decide.".to_owned(),
        "Les limites sanitaires sont celles du groupe : les vérifier avec une sonde étalonnée. Le droit local et la pratique agréée l’emportent.".to_owned(),
    )
}

fn heat(recipes: &[&str], tongue: Tongue) -> String {
    let list = recipes.join(tongue.pick("; ", " ; "));
    tongue.pick(
        format!("100 °C and more, guard against burns: {list}."),
        format!("100 °C et plus, se protéger des brûlures : {list}."),
    )
}
