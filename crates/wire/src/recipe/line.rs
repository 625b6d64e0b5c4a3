//! Lines and losses.

use std::collections::BTreeSet;

use chablon_model::{Amount, Line, Loss, LossKind, Recipe, Scaling, StepId, Uses};
use chablon_quantity::{Authored, Exact, ShareUnit};

use crate::form::{
    Coded, Wire, code, coded, id, optional, optional_id, optional_words, required, to_optional,
    to_text,
};
use crate::quantity::some;
use crate::{At, Violation, pb};

coded!(Scaling = pb::Scaling { Proportional, PerBatch, Whole });
coded!(LossKind = pb::LossKind { Water, Whole });

impl Wire for Line {
    type Pb = pb::Line;

    fn to_pb(&self) -> pb::Line {
        let item = match &self.uses {
            Uses::Ingredient(id) => pb::line::Item::Ingredient(id.to_string()),
            Uses::Component(id) => pb::line::Item::Component(id.to_string()),
        };
        pb::Line {
            item: Some(item),
            amount: Some(amount_to_pb(&self.amount)),
            base: self.base,
            scaling: self.scaling.code(),
            tolerance: to_optional(self.tolerance.as_ref()),
            step: to_text(self.step.as_ref()),
        }
    }

    fn from_pb(line: pb::Line) -> Result<Self, Violation> {
        Ok(Self {
            uses: uses(line.item).at("item")?,
            amount: amount(line.amount).at("amount")?,
            base: line.base,
            scaling: code(line.scaling, "scaling")?,
            tolerance: optional(line.tolerance, "tolerance")?,
            step: optional_id(line.step, "step")?,
        })
    }
}

fn uses(item: Option<pb::line::Item>) -> Result<Uses, Violation> {
    match item.ok_or_else(Violation::required)? {
        pb::line::Item::Ingredient(text) => id(text).map(Uses::Ingredient).at("ingredient"),
        pb::line::Item::Component(text) => id(text).map(Uses::Component).at("component"),
    }
}

fn amount_to_pb(amount: &Amount) -> pb::line::Amount {
    match amount {
        Amount::Mass(mass) => pb::line::Amount::Mass(mass.to_pb()),
        Amount::Volume(volume) => pb::line::Amount::Volume(volume.to_pb()),
        Amount::Count(count) => pb::line::Amount::Count(count.to_pb()),
        Amount::Share(share) => pb::line::Amount::Share(share.to_pb()),
        Amount::Shape(shape) => pb::line::Amount::Shape(shape.to_pb()),
        Amount::ToTaste => pb::line::Amount::ToTaste(pb::ToTaste {}),
    }
}

#[expect(clippy::large_types_passed_by_value, reason = "it is taken apart, not passed on")]
fn amount(amount: Option<pb::line::Amount>) -> Result<Amount, Violation> {
    match amount.ok_or_else(Violation::required)? {
        pb::line::Amount::Mass(mass) => some(Some(mass), "mass").map(Amount::Mass),
        pb::line::Amount::Volume(volume) => some(Some(volume), "volume").map(Amount::Volume),
        pb::line::Amount::Count(count) => some(Some(count), "count").map(Amount::Count),
        pb::line::Amount::Share(share) => some(Some(share), "share").map(Amount::Share),
        pb::line::Amount::Shape(shape) => {
            required(Some(shape), "shape").map(Box::new).map(Amount::Shape)
        }
        pb::line::Amount::ToTaste(pb::ToTaste {}) => Ok(Amount::ToTaste),
    }
}

impl Wire for Loss {
    type Pb = pb::Loss;

    fn to_pb(&self) -> pb::Loss {
        match self {
            Self::Stage { stage, kind, fraction } => pb::Loss {
                stage: stage.clone().unwrap_or_default(),
                lost: Some(pb::loss::Lost::Fraction(pb::FractionLoss {
                    kind: kind.code(),
                    fraction: Some(fraction.to_pb()),
                })),
            },
            Self::Residue { stage, mass } => pb::Loss {
                stage: stage.clone().unwrap_or_default(),
                lost: Some(pb::loss::Lost::Residue(mass.to_pb())),
            },
        }
    }

    fn from_pb(loss: pb::Loss) -> Result<Self, Violation> {
        match loss.lost.ok_or_else(|| Violation::required().at("lost"))? {
            pb::loss::Lost::Fraction(form) => {
                stage_loss(loss.stage, form).at("fraction").at("lost")
            }
            pb::loss::Lost::Residue(mass) => {
                let mass = required(Some(mass), "residue").at("lost")?;
                Ok(Self::Residue { stage: optional_words(loss.stage), mass })
            }
        }
    }
}

fn stage_loss(stage: String, form: pb::FractionLoss) -> Result<Loss, Violation> {
    let fraction: Authored<ShareUnit> = required(form.fraction, "fraction")?;
    if fraction.number.exact() >= Exact::from(100) {
        let reason = format!("{fraction} leaves nothing; a loss is less than 100 %");
        return Err(Violation::new(reason).at("fraction"));
    }
    Ok(Loss::Stage { stage: optional_words(stage), kind: code(form.kind, "kind")?, fraction })
}

/// What the lines of a recipe must be together.
pub(super) fn check(recipe: &Recipe) -> Result<(), Violation> {
    if recipe.lines.is_empty() {
        return Err(Violation::required().at("lines"));
    }
    let steps: BTreeSet<&StepId> = recipe.steps.iter().map(|step| &step.id).collect();
    for (index, line) in recipe.lines.iter().enumerate() {
        check_line(recipe, &steps, line).at_index(index).at("lines")?;
    }
    Ok(())
}

fn check_line(recipe: &Recipe, steps: &BTreeSet<&StepId>, line: &Line) -> Result<(), Violation> {
    if line.base && matches!(line.amount, Amount::Share(_)) {
        return Err(Violation::new("can't be a share in a base line").at("amount"));
    }
    if matches!(&line.uses, Uses::Component(id) if *id == recipe.id) {
        return Err(Violation::new("can't be the recipe itself").at("component").at("item"));
    }
    match &line.step {
        Some(step) if !steps.contains(step) => {
            Err(Violation::new(format!("`{step}` is not a step of this recipe")).at("step"))
        }
        _ => Ok(()),
    }
}
