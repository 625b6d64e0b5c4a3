//! Steps and their controls.

use std::collections::BTreeMap;

use chablon_model::{Control, Labour, Measure, Recipe, SetPoint, Step, StepId};
use chablon_quantity::{Authored, Unit};

use crate::common::text;
use crate::form::{
    Coded, Wire, code, coded, collect, distinct, id, list, optional, optional_id, optional_words,
    to_list, to_optional, to_text,
};
use crate::{At, Violation, pb};

coded!(Labour = pb::Labour { PerBatch, PerPiece, WithMass });

impl Wire for Step {
    type Pb = pb::Step;

    fn to_pb(&self) -> pb::Step {
        let ids = |steps: &Vec<StepId>| steps.iter().map(ToString::to_string).collect();
        pb::Step {
            id: self.id.to_string(),
            text: self.text.to_pb(),
            active: to_optional(self.active.as_ref()),
            passive: to_optional(self.passive.as_ref()),
            labour: self.labour.code(),
            equipment: to_text(self.equipment.as_ref()),
            after: self.after.as_ref().map(|steps| pb::Predecessors { steps: ids(steps) }),
            controls: to_list(&self.controls),
        }
    }

    fn from_pb(step: pb::Step) -> Result<Self, Violation> {
        Ok(Self {
            id: id(step.id).at("id")?,
            text: text(step.text, "text")?,
            active: optional(step.active, "active")?,
            passive: optional(step.passive, "passive")?,
            labour: code(step.labour, "labour")?,
            equipment: optional_id(step.equipment, "equipment")?,
            after: step.after.map(predecessors).transpose().at("after")?,
            controls: list(step.controls, "controls")?,
        })
    }
}

fn predecessors(after: pb::Predecessors) -> Result<Vec<StepId>, Violation> {
    let steps = collect(after.steps, "steps", id)?;
    distinct(&steps, "steps")?;
    Ok(steps)
}

/// Target, minimum and maximum.
type Points = [Option<SetPoint>; 3];

impl Wire for Control {
    type Pb = pb::Control;

    fn to_pb(&self) -> pb::Control {
        pb::Control { measure: Some(measure_to_pb(self)), critical: self.critical }
    }

    fn from_pb(control: pb::Control) -> Result<Self, Violation> {
        let form = control.measure.ok_or_else(|| Violation::required().at("measure"))?;
        let (measure, [target, min, max]) = measure_from_pb(form).at("measure")?;
        Ok(Self { measure, target, min, max, critical: control.critical })
    }
}

fn measure_to_pb(control: &Control) -> pb::control::Measure {
    match control.measure {
        Measure::Temperature => {
            let [target, min, max] = each(control, |point| match point {
                SetPoint::Temperature(value) => Some(value.to_pb()),
                _ => None,
            });
            pb::control::Measure::Temperature(pb::TemperatureControl { target, min, max })
        }
        Measure::Time => {
            let [target, min, max] = each(control, |point| match point {
                SetPoint::Time(value) => Some(value.to_pb()),
                _ => None,
            });
            pb::control::Measure::Time(pb::TimeControl { target, min, max })
        }
        Measure::Mass => {
            let [target, min, max] = each(control, |point| match point {
                SetPoint::Mass(value) => Some(value.to_pb()),
                _ => None,
            });
            pb::control::Measure::Mass(pb::MassControl { target, min, max })
        }
        Measure::Observation => {
            let [target, _, _] = each(control, |point| match point {
                SetPoint::Observation(words) => Some(words.clone()),
                _ => None,
            });
            let target = target.unwrap_or_default();
            pb::control::Measure::Observation(pb::ObservationControl { target })
        }
    }
}

fn each<T>(control: &Control, form: impl Fn(&SetPoint) -> Option<T>) -> [Option<T>; 3] {
    [&control.target, &control.min, &control.max].map(|point| point.as_ref().and_then(&form))
}

fn measure_from_pb(form: pb::control::Measure) -> Result<(Measure, Points), Violation> {
    match form {
        pb::control::Measure::Temperature(pb::TemperatureControl { target, min, max }) => {
            let points = points(SetPoint::Temperature, [target, min, max]).at("temperature")?;
            Ok((Measure::Temperature, points))
        }
        pb::control::Measure::Time(pb::TimeControl { target, min, max }) => {
            let points = points(SetPoint::Time, [target, min, max]).at("time")?;
            Ok((Measure::Time, points))
        }
        pb::control::Measure::Mass(pb::MassControl { target, min, max }) => {
            let points = points(SetPoint::Mass, [target, min, max]).at("mass")?;
            Ok((Measure::Mass, points))
        }
        pb::control::Measure::Observation(pb::ObservationControl { target }) => {
            let words = optional_words(target).map(SetPoint::Observation);
            Ok((Measure::Observation, [words, None, None]))
        }
    }
}

fn points<U: Unit>(
    set_point: impl Fn(Authored<U>) -> SetPoint,
    [target, min, max]: [Option<<Authored<U> as Wire>::Pb>; 3],
) -> Result<Points, Violation>
where
    Authored<U>: Wire,
    U::Quantity: PartialOrd,
{
    let target: Option<Authored<U>> = optional(target, "target")?;
    let min: Option<Authored<U>> = optional(min, "min")?;
    let max: Option<Authored<U>> = optional(max, "max")?;
    for (low, high, field) in
        [(&min, &target, "target"), (&target, &max, "max"), (&min, &max, "max")]
    {
        in_order(low.as_ref(), high.as_ref()).at(field)?;
    }
    Ok([target, min, max].map(|point| point.map(&set_point)))
}

fn in_order<U: Unit>(low: Option<&Authored<U>>, high: Option<&Authored<U>>) -> Result<(), Violation>
where
    U::Quantity: PartialOrd,
{
    match (low, high) {
        (Some(low), Some(high)) if low.quantity() > high.quantity() => {
            Err(Violation::new(format!("{high} is below {low}, which it must not be")))
        }
        _ => Ok(()),
    }
}

/// What the steps of a recipe must be together.
pub(super) fn check(recipe: &Recipe) -> Result<(), Violation> {
    let ids: Vec<&StepId> = recipe.steps.iter().map(|step| &step.id).collect();
    distinct(&ids, "steps")?;
    let waits = waits(&recipe.steps)?;
    match in_circle(&waits) {
        None => Ok(()),
        Some(index) => {
            let reason = format!("`{}` waits for itself by way of other steps", ids[index]);
            Err(Violation::new(reason).at("after").at_index(index).at("steps"))
        }
    }
}

/// For each step the indices of those that it waits for.
fn waits(steps: &[Step]) -> Result<Vec<Vec<usize>>, Violation> {
    let places: BTreeMap<&StepId, usize> =
        steps.iter().enumerate().map(|(index, step)| (&step.id, index)).collect();
    let place = |id: &StepId| {
        let unknown = || Violation::new(format!("`{id}` is not a step of this recipe"));
        places.get(id).copied().ok_or_else(unknown)
    };
    let of = |(index, step): (usize, &Step)| match &step.after {
        None => Ok(index.checked_sub(1).into_iter().collect()),
        Some(ids) => ids
            .iter()
            .enumerate()
            .map(|(at, id)| place(id).at_index(at))
            .collect::<Result<_, _>>()
            .at("steps")
            .at("after")
            .at_index(index)
            .at("steps"),
    };
    steps.iter().enumerate().map(of).collect()
}

/// A step that waits for itself, directly or not, if there is one.
fn in_circle(waits: &[Vec<usize>]) -> Option<usize> {
    let stuck = never_ready(waits);
    let mut step = stuck.iter().position(|stuck| *stuck)?;
    // Among the stuck each waits for another. Following them for as many steps as there are leads
    // away from those that only wait for the circle, and into it.
    for _ in waits {
        step = waits[step].iter().copied().find(|before| stuck[*before])?;
    }
    Some(step)
}

/// Which steps can never begin, because they wait for a circle or are in one.
fn never_ready(waits: &[Vec<usize>]) -> Vec<bool> {
    let mut waiting: Vec<usize> = waits.iter().map(Vec::len).collect();
    let mut users = vec![Vec::new(); waits.len()];
    for (step, before) in waits.iter().enumerate() {
        for before in before {
            users[*before].push(step);
        }
    }
    let mut ready: Vec<usize> = (0..waits.len()).filter(|step| waiting[*step] == 0).collect();
    while let Some(done) = ready.pop() {
        for user in &users[done] {
            waiting[*user] -= 1;
            if waiting[*user] == 0 {
                ready.push(*user);
            }
        }
    }
    waiting.into_iter().map(|left| left > 0).collect()
}
