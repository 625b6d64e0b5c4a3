//! What is watched during a step.

use chablon_model::{Control, Measure, SetPoint};
use chablon_quantity::{Exact, Grams, MassUnit, Seconds, TemperatureUnit, TimeUnit};

use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::quantity;
use crate::read::value::Value;

/// A control, every set point in the dimension of its measure.
pub(in crate::read) fn control(fields: &mut Fields<'_>) -> Option<Control> {
    let measure = fields.required("measure", |value| value.one_of(Measure::ALL, Measure::as_str));
    // Without the measure there is no saying what a set point should be.
    let read = |value: &Value<'_>| measure.and_then(|measure| set_point(value, measure));
    let target = fields.optional("target", read);
    let min = fields.optional("min", |value| limit(value, measure).and_then(|()| read(value)));
    let max = fields.optional("max", |value| limit(value, measure).and_then(|()| read(value)));
    let critical = fields.flag("critical");
    check_order(fields, [("min", &min), ("target", &target), ("max", &max)]);
    check_limits(fields, measure, critical);
    Some(Control { measure: measure?, target, min, max, critical })
}

fn set_point(value: &Value<'_>, measure: Measure) -> Option<SetPoint> {
    match measure {
        Measure::Temperature => quantity::<TemperatureUnit>(value).map(SetPoint::Temperature),
        Measure::Time => quantity::<TimeUnit>(value).map(SetPoint::Time),
        Measure::Mass => quantity::<MassUnit>(value).map(SetPoint::Mass),
        Measure::Observation => value.text().map(SetPoint::Observation),
    }
}

/// What is observed has no least and no most.
fn limit(value: &Value<'_>, measure: Option<Measure>) -> Option<()> {
    if measure != Some(Measure::Observation) {
        return Some(());
    }
    let message = format!("an observation has no `{}`", value.key);
    value.refuse(
        Finding::error("observation-limit", message)
            .at(value.span, "a limit")
            .hint("say in `target` what is seen, smelt or felt when it is right"),
    )
}

/// A set point as a number to compare within its measure.
fn size(point: &SetPoint) -> Option<Exact> {
    match point {
        SetPoint::Temperature(temperature) => Some(temperature.quantity().celsius()),
        SetPoint::Time(time) => Some(time.quantity().seconds()),
        SetPoint::Mass(mass) => Some(mass.quantity().grams()),
        SetPoint::Observation(_) => None,
    }
}

fn check_order(fields: &Fields<'_>, points: [(&str, &Option<SetPoint>); 3]) {
    let known: Vec<(&str, Exact)> = (points.iter())
        .filter_map(|(key, point)| Some((*key, point.as_ref().and_then(size)?)))
        .collect();
    for pair in known.windows(2) {
        let ((low, low_size), (high, high_size)) = (&pair[0], &pair[1]);
        if low_size > high_size {
            let message = format!("the control's `{low}` is above its `{high}`");
            fields.note(
                Finding::error("set-point-order", message)
                    .at(fields.span_of(low), format!("`{low}`"))
                    .at(fields.span_of(high), format!("`{high}`"))
                    .hint("`min` is at most `target`, and `target` at most `max`"),
            );
        }
    }
}

fn check_limits(fields: &Fields<'_>, measure: Option<Measure>, critical: bool) {
    let limited = fields.has("min") || fields.has("max");
    if !limited && !fields.has("target") {
        fields.note(
            Finding::error("empty-control", "the control doesn't say what is right")
                .at(fields.span(), "no set point")
                .hint("add a `target`, or a `min` and a `max`"),
        );
    } else if critical && !limited && measure != Some(Measure::Observation) {
        fields.note(
            Finding::warning("critical-without-limit", "a food-safety limit needs a limit")
                .at(fields.span_of("critical"), "critical")
                .hint(
                    "add the `min` or `max` that your food-safety plan sets; local law and \
                     licensed practice decide",
                ),
        );
    }
}
