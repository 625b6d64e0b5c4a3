//! What a step states of temperature and time.

use chablon_model::{Labour, Measure, SetPoint, Step};
use chablon_quantity::{Exact, Seconds};

/// A span of degrees Celsius or of minutes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) least: Exact,
    pub(super) most: Exact,
}

/// The span of a measure over a step's controls: from the lowest that a control names to the
/// highest.
fn span(step: &Step, measure: Measure) -> Option<Span> {
    let controls = step.controls.iter().filter(|control| control.measure == measure);
    let points = controls
        .clone()
        .flat_map(|control| [&control.min, &control.target, &control.max].into_iter().flatten());
    let values: Vec<Exact> = points.filter_map(value).collect();
    Some(Span { least: values.iter().min()?.clone(), most: values.iter().max()?.clone() })
}

/// Degrees Celsius or minutes.
fn value(point: &SetPoint) -> Option<Exact> {
    match point {
        SetPoint::Temperature(temperature) => Some(temperature.quantity().celsius()),
        SetPoint::Time(time) => Some(time.quantity().seconds() / Exact::from(60)),
        SetPoint::Mass(_) | SetPoint::Observation(_) => None,
    }
}

/// Degrees Celsius that a step states.
pub(super) fn celsius(step: &Step) -> Option<Span> {
    span(step, Measure::Temperature)
}

/// Whether a step states a time as a control.
pub(super) fn is_timed(step: &Step) -> bool {
    span(step, Measure::Time).is_some()
}

/// Minutes that a step takes: what its controls say of time, else its own times. Hands that are
/// busy once a piece or with the mass aren't counted, since how many pieces isn't known.
pub(super) fn minutes(step: &Step) -> Span {
    span(step, Measure::Time).unwrap_or_else(|| {
        let active = step.active.filter(|_| step.labour == Labour::PerBatch);
        let times = [step.passive, active].into_iter().flatten();
        let seconds: Exact = times.map(|time| time.quantity().seconds()).sum();
        let minutes = seconds / Exact::from(60);
        Span { least: minutes.clone(), most: minutes }
    })
}
