//! Laying a deviation over a recipe.

use std::collections::BTreeSet;

use chablon_model::{
    Amount, Control, Departure, Deviation, Line, LineRef, NewAmount, Recipe, Step, StepId, Uses,
};

use super::error::CannotApply;
use super::multiply::multiplied;
use crate::sense;

/// The recipe as the site makes it: what the deviation names otherwise, all else the same.
///
/// The recipe must be the revision that it is based on; whether it is granted and holds is for
/// [`lay_over`](super::lay_over).
pub fn apply(deviation: &Deviation, recipe: &Recipe) -> Result<Recipe, CannotApply> {
    if deviation.departures.is_empty() {
        return Err(CannotApply::Empty);
    }
    if deviation.until <= deviation.from {
        return Err(CannotApply::NoTime);
    }
    if deviation.recipe() != recipe.id {
        let (wanted, found) = (deviation.recipe(), recipe.id.clone());
        return Err(CannotApply::OtherRecipe { wanted, found });
    }
    let mut deviated = recipe.clone();
    let mut touched = BTreeSet::new();
    for departure in &deviation.departures {
        depart(&mut deviated, departure, deviation)?;
        if !touched.insert(Spot::of(departure)) {
            return Err(twice(departure));
        }
    }
    Ok(deviated)
}

/// A part of a recipe that a departure is of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Spot<'a> {
    Line(u32),
    Wording(&'a StepId),
    Control(&'a StepId, u32),
}

impl<'a> Spot<'a> {
    pub(super) fn of(departure: &'a Departure) -> Self {
        match departure {
            Departure::Ingredient { line, .. } | Departure::Amount { line, .. } => {
                Self::Line(line.number)
            }
            Departure::Wording { step, .. } => Self::Wording(step),
            Departure::Control { step, number, .. } => Self::Control(step, *number),
        }
    }
}

fn twice(departure: &Departure) -> CannotApply {
    match departure {
        Departure::Ingredient { line, .. } | Departure::Amount { line, .. } => {
            CannotApply::LineTwice { number: line.number }
        }
        Departure::Wording { step, .. } | Departure::Control { step, .. } => {
            CannotApply::StepTwice { step: step.clone() }
        }
    }
}

fn depart(
    recipe: &mut Recipe,
    departure: &Departure,
    deviation: &Deviation,
) -> Result<(), CannotApply> {
    match departure {
        Departure::Ingredient { line: at, with, amount } => {
            let line = line(recipe, at)?;
            line.amount = new_amount(at, &line.amount, amount)?;
            line.uses = Uses::Ingredient(with.clone());
            line.tolerance = deviation.limits.tolerance.or(line.tolerance);
        }
        Departure::Amount { line: at, to } => {
            let line = line(recipe, at)?;
            line.amount = new_amount(at, &line.amount, to)?;
            line.tolerance = deviation.limits.tolerance.or(line.tolerance);
        }
        Departure::Wording { step, to } => self::step(recipe, step)?.text = to.clone(),
        Departure::Control { step, number, to } => {
            *control(self::step(recipe, step)?, *number, to)? = to.clone();
        }
    }
    Ok(())
}

fn line<'r>(recipe: &'r mut Recipe, at: &LineRef) -> Result<&'r mut Line, CannotApply> {
    let index = usize::try_from(at.number).ok().and_then(|number| number.checked_sub(1));
    let line = index.and_then(|index| recipe.lines.get_mut(index));
    let other = || CannotApply::OtherLine { number: at.number, uses: at.uses.clone() };
    line.filter(|line| line.uses == at.uses).ok_or_else(other)
}

/// The amount that a line takes instead.
pub(super) fn new_amount(
    at: &LineRef,
    amount: &Amount,
    new: &NewAmount,
) -> Result<Amount, CannotApply> {
    let number = at.number;
    let amount = match new {
        NewAmount::Exactly(amount) => amount.clone(),
        NewAmount::Times(times) => {
            let times = times.to_owned();
            multiplied(amount, &times).ok_or(CannotApply::NotMultiplied { number, times })?
        }
    };
    let negative =
        sense::amount(&amount).number().is_some_and(chablon_quantity::Exact::is_negative);
    if negative { Err(CannotApply::Negative { number }) } else { Ok(amount) }
}

fn step<'r>(recipe: &'r mut Recipe, id: &StepId) -> Result<&'r mut Step, CannotApply> {
    let step = recipe.steps.iter_mut().find(|step| step.id == *id);
    step.ok_or_else(|| CannotApply::NoStep { step: id.clone() })
}

fn control<'s>(
    step: &'s mut Step,
    number: u32,
    to: &Control,
) -> Result<&'s mut Control, CannotApply> {
    let id = step.id.clone();
    let index = usize::try_from(number).ok().and_then(|number| number.checked_sub(1));
    let control = index.and_then(|index| step.controls.get_mut(index));
    match control {
        None => Err(CannotApply::NoControl { step: id, number }),
        Some(control) if control.measure != to.measure => {
            let (found, wanted) = (control.measure, to.measure);
            Err(CannotApply::OtherMeasure { step: id, number, found, wanted })
        }
        Some(control) => Ok(control),
    }
}
