//! Plans as they are sent.

use chablon_arith::{IngredientTotal, Plan, PlannedLine, PlannedRecipe, WeighFlag, Weighing};
use chablon_exchange::Founded;
use chablon_model::Uses;
use chablon_wire::pb;

use super::figure::Asked;
use super::figures::{basis, counted, factor, grams, laid, percent, pieces, told};
use crate::status::Refusal;

/// A plan.
pub(super) fn plan(asked: Asked, found: Founded<Plan>) -> Result<pb::Plan, Refusal> {
    let Founded { figure: plan, basis: digests, deviations, cautions } = found;
    Ok(pb::Plan {
        recipe: asked.recipe,
        target: asked.target,
        site: asked.site,
        components: plan.components.iter().map(component).collect::<Result<_, _>>()?,
        ingredients: plan.ingredients.iter().map(ingredient).collect(),
        basis: Some(basis(&digests)),
        deviations: laid(deviations),
        cautions: told(&cautions),
    })
}

fn component(planned: &PlannedRecipe) -> Result<pb::PlannedComponent, Refusal> {
    Ok(pb::PlannedComponent {
        recipe: planned.recipe.to_string(),
        net_g: Some(grams(&planned.net)),
        pieces: planned.pieces.as_ref().map(pieces),
        batches: counted(&planned.batches, "batches")?,
        factor: Some(factor(&planned.factor)),
        input_g: Some(grams(&planned.input)),
        lines: planned.lines.iter().map(line).collect::<Result<_, _>>()?,
        warnings: planned.warnings.iter().map(ToString::to_string).collect(),
    })
}

fn line(planned: &PlannedLine) -> Result<pb::PlannedLine, Refusal> {
    let item = match &planned.uses {
        Uses::Ingredient(id) => pb::planned_line::Item::Ingredient(id.to_string()),
        Uses::Component(id) => pb::planned_line::Item::Component(id.to_string()),
    };
    Ok(pb::PlannedLine {
        line: u32::try_from(planned.number).unwrap_or(u32::MAX),
        mass_g: Some(grams(&planned.mass)),
        per_batch_g: Some(grams(&planned.per_batch)),
        weigh: planned.weigh.as_ref().map(weighing).transpose()?,
        bakers_percent: planned.of_base.as_ref().map(percent),
        item: Some(item),
    })
}

fn weighing(weighing: &Weighing) -> Result<pb::Weighing, Refusal> {
    let flag = match weighing.flag {
        None => pb::WeighingFlag::WithinTolerance,
        Some(WeighFlag::OverTolerance) => pb::WeighingFlag::AboveTolerance,
        Some(WeighFlag::ReadsZero) => pb::WeighingFlag::ReadsZero,
    };
    Ok(pb::Weighing {
        scale: weighing.scale.clone(),
        weighings: counted(&weighing.weighings, "weighings")?,
        reading_g: Some(grams(&weighing.reading)),
        error_percent: Some(percent(&weighing.error_percent())),
        flag: flag.into(),
    })
}

fn ingredient(total: &IngredientTotal) -> pb::IngredientTotal {
    pb::IngredientTotal {
        ingredient: total.ingredient.to_string(),
        mass_g: Some(grams(&total.mass)),
    }
}
