//! Plans as they are sent.

use chablon_arith::{
    Hint, IngredientTotal, Plan, PlannedLine, PlannedRecipe, Product, TrayLoads, Warning,
    WeighFlag, Weighing,
};
use chablon_exchange::Founded;
use chablon_model::Uses;
use chablon_wire::pb;

use super::figure::Asked;
use super::figures::{basis, counted, factor, grams, laid, percent, pieces, told};
use crate::status::Refusal;

/// A plan.
pub(super) fn plan(asked: Asked, found: Founded<Plan>) -> Result<pb::Plan, Refusal> {
    let Founded { figure: plan, basis: digests, deviations, cautions } = found;
    let pb::ProductDemand { recipe, target } = asked.only();
    let each = plan.products.iter().zip(asked.products);
    Ok(pb::Plan {
        recipe,
        target,
        products: each.map(|(made, asked)| product(made, asked)).collect(),
        site: asked.site,
        components: plan.components.iter().map(component).collect::<Result<_, _>>()?,
        ingredients: plan.ingredients.iter().map(ingredient).collect(),
        basis: Some(basis(&digests, asked.replica)),
        deviations: laid(deviations),
        cautions: told(&cautions),
    })
}

fn product(made: &Product, asked: pb::ProductDemand) -> pb::PlannedProduct {
    pb::PlannedProduct {
        recipe: asked.recipe,
        target: asked.target,
        net_g: Some(grams(&made.net)),
        pieces: made.pieces.as_ref().map(pieces),
    }
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
        trays: planned.trays.iter().map(tray_loads).collect(),
        coded_warnings: planned.warnings.iter().map(coded).collect(),
    })
}

fn coded(warning: &Warning) -> pb::PlanWarning {
    let line = warning.line().map(line_number).unwrap_or_default();
    pb::PlanWarning { code: warning.code().to_owned(), line }
}

fn tray_loads(loads: &TrayLoads) -> pb::TrayLoads {
    let TrayLoads { equipment, pieces, oven } = loads;
    pb::TrayLoads {
        equipment: equipment.to_string(),
        pieces: *pieces,
        per_tray: oven.per_tray,
        trays: oven.trays,
        last_tray: oven.last_tray,
        per_load: oven.per_load,
        loads: oven.loads,
        last_load: oven.last_load,
    }
}

fn line(planned: &PlannedLine) -> Result<pb::PlannedLine, Refusal> {
    let item = match &planned.uses {
        Uses::Ingredient(id) => pb::planned_line::Item::Ingredient(id.to_string()),
        Uses::Component(id) => pb::planned_line::Item::Component(id.to_string()),
    };
    Ok(pb::PlannedLine {
        line: line_number(planned.number),
        mass_g: Some(grams(&planned.mass)),
        per_batch_g: Some(grams(&planned.per_batch)),
        weigh: planned.weigh.as_ref().map(weighing).transpose()?,
        bakers_percent: planned.of_base.as_ref().map(percent),
        hints: planned.hints.iter().map(hint).collect(),
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

fn hint(hint: &Hint) -> pb::WeighingHint {
    use pb::weighing_hint::Hint as Form;
    let form = match hint {
        Hint::FinerScale { increment } => {
            Form::FinerScale(pb::FinerScale { increment_g: Some(grams(increment)) })
        }
        Hint::LargerBatch { times, mass } => Form::LargerBatch(pb::LargerBatch {
            times: Some(factor(times)),
            mass_g: Some(grams(mass)),
        }),
        Hint::PreMix { carrier, weigh, carrier_mass, take } => Form::PreMix(pb::PreMix {
            carrier_line: line_number(*carrier),
            weigh_g: Some(grams(weigh)),
            carrier_g: Some(grams(carrier_mass)),
            take_g: Some(grams(take)),
        }),
    };
    pb::WeighingHint { hint: Some(form) }
}

fn line_number(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn ingredient(total: &IngredientTotal) -> pb::IngredientTotal {
    pb::IngredientTotal {
        ingredient: total.ingredient.to_string(),
        mass_g: Some(grams(&total.mass)),
    }
}
