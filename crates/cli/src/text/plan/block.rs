//! One recipe of a plan.

use chablon_quantity::{Exact, Grams};
use chablon_sdk::figures::{Component, Plan, Warning};
use owo_colors::{OwoColorize, Style};

use super::super::listing::{paragraph, styled};
use super::super::names::Names;
use super::words::Words;
use super::{line, safety};

/// How far the text of a component stands in.
pub(super) const INDENT: usize = 3;

/// The component that is made at a place in the plan, from 0.
pub(super) fn block(
    plan: &Plan,
    at: usize,
    component: &Component,
    names: &Names<'_>,
    width: usize,
) -> String {
    let words = Words(names.tongue);
    let title = format!("{:<2} {}", at + 1, names.recipe(&component.recipe));
    let mut text = format!("{}\n", title.bold());
    text += &paragraph(&words.split(component, &bowl(component, names)), INDENT, width);
    for loads in &component.trays {
        text += &paragraph(&words.trays(loads), INDENT, width);
    }
    for warning in component.warnings.iter().filter_map(|one| worded(one, component, names)) {
        text += &styled(&format!("! {warning}"), INDENT, width, Style::new().yellow());
    }
    text += &line::lines(plan, component, names, width);
    for limit in safety::limits(component, names) {
        let limit = format!("{} {limit}", words.food_safety());
        text += &styled(&limit, INDENT, width, Style::new().bold());
    }
    text
}

/// The largest equipment of the recipe's class at the site, where it has some.
fn bowl(component: &Component, names: &Names<'_>) -> String {
    let class = names.written(&component.recipe).and_then(|recipe| recipe.batch.equipment.as_ref());
    let Some((class, site)) = class.zip(names.site()) else { return String::new() };
    let of_class = site.equipment.iter().filter(|one| one.class == *class);
    let capacities = of_class.map(|one| one.capacity.quantity().grams());
    let words = Words(names.tongue);
    capacities.max().map_or(String::new(), |capacity| words.bowl(class.as_str(), &capacity))
}

/// A warning about the whole component. What concerns a line stands at the line.
fn worded(warning: &Warning, component: &Component, names: &Names<'_>) -> Option<String> {
    let words = Words(names.tongue);
    let minimum = names.written(&component.recipe).and_then(|recipe| recipe.batch.min);
    match (warning.code.as_deref(), minimum) {
        (Some("below-minimum-batch"), Some(minimum)) => {
            let batch = component.input_g.exact() / Exact::from(component.batches);
            Some(words.below_minimum(&batch, &minimum.quantity().grams()))
        }
        (Some("unexplained-loss"), _) => Some(words.unexplained_loss().to_owned()),
        _ if warning.line.is_some() => None,
        _ => Some(warning.text.clone()),
    }
}
