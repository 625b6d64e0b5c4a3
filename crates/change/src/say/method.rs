//! Steps, controls, limits, storage.

use chablon_model::{Control, Measure, SetPoint, Step, StepId, Storage};
use chablon_quantity::{Authored, TimeUnit};

use super::words::{either, fate, instead, list, quoted, sides};
use crate::{Hands, Limit, Pair, Shift};

pub(super) fn limit(limit: &Pair<Option<Box<Limit>>>) -> String {
    let Some(any) = limit.either() else { return String::new() };
    let shift = match limit.shift() {
        Shift::Removed => "removed",
        Shift::Loosened => "loosened",
        Shift::Moved => "moved",
        Shift::Tightened => "tightened",
        Shift::Added => "added",
    };
    let critical = limit.as_ref().map(|side| side.as_ref().map(|one| one.control.critical));
    let mark = critical.both().is_some_and(|both| both.before != both.after);
    let shown = |one: &&Limit| {
        let not = if mark && !one.control.critical { ", not critical" } else { "" };
        format!("{}{not}", range(&one.control))
    };
    let (recipe, step, measure) = (&any.recipe, &any.step, any.control.measure.as_str());
    let range = sides(&limit.as_ref().map(Option::as_deref), shown);
    format!("critical limit {shift} at `{step}` of `{recipe}`: {measure} {range}")
}

/// `83 °C (82 °C to 85 °C)`
pub(super) fn range(control: &Control) -> String {
    let target = control.target.as_ref().map(point);
    let range = match (&control.min, &control.max) {
        (Some(min), Some(max)) => Some(format!("{} to {}", point(min), point(max))),
        (Some(min), None) => Some(format!("at least {}", point(min))),
        (None, Some(max)) => Some(format!("at most {}", point(max))),
        (None, None) => None,
    };
    match (target, range) {
        (Some(target), Some(range)) => format!("{target} ({range})"),
        (target, range) => target.or(range).unwrap_or_default(),
    }
}

fn point(point: &SetPoint) -> String {
    match point {
        SetPoint::Temperature(one) => one.to_string(),
        SetPoint::Time(time) => time.to_string(),
        SetPoint::Mass(mass) => mass.to_string(),
        SetPoint::Observation(words) => quoted(words),
    }
}

pub(super) fn storage(storage: Pair<&Option<Storage>>) -> String {
    let said = |side: &Option<Storage>| match side {
        None => "unstated".to_owned(),
        Some(Storage { condition, keeps: None }) => condition.as_str().to_owned(),
        Some(Storage { condition, keeps: Some(time) }) => {
            format!("{} for {time}", condition.as_str())
        }
    };
    format!("storage: {}", instead(storage.map(said)))
}

pub(super) fn step(step: &Pair<Option<Box<Step>>>) -> String {
    let Some(any) = step.after.as_ref().or(step.before.as_ref()) else { return String::new() };
    let says =
        any.text.0.values().next().map_or_else(String::new, |text| format!(": {}", quoted(text)));
    format!("step `{}` {}{says}", any.id, fate(step))
}

pub(super) fn step_order(order: &Pair<Vec<StepId>>) -> String {
    format!("steps in the order {}", instead(order.as_ref().map(|ids| list(ids, ""))))
}

pub(super) fn instruction(step: &StepId, text: &Pair<Option<String>>) -> String {
    let text = text.as_ref().map(|text| text.as_deref().map(quoted));
    format!("step `{step}` says {}", either(&text, "nothing"))
}

pub(super) fn step_time(
    step: &StepId,
    hands: Hands,
    time: &Pair<Option<Authored<TimeUnit>>>,
) -> String {
    let which = match hands {
        Hands::Busy => "hands-on time",
        Hands::Free => "unattended time",
    };
    format!("step `{step}`: {which} {}", either(time, "none"))
}

pub(super) fn step_after(step: &StepId, after: &Pair<Vec<StepId>>) -> String {
    format!("step `{step}` waits for {}", instead(after.as_ref().map(|ids| list(ids, "nothing"))))
}

pub(super) fn control(step: &StepId, control: &Pair<Option<Box<Control>>>) -> String {
    let measure = control.after.as_ref().or(control.before.as_ref()).map(|one| one.measure);
    let measure = measure.map_or("", Measure::as_str);
    let range = sides(control, |one| range(one));
    format!("control {} at `{step}`: {measure} {range}", fate(control))
}
