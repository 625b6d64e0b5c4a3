//! What is done.

use std::collections::BTreeMap;

use chablon_model::{Labour, Step, StepId};

use super::batch::equipment_class;
use super::control::control;
use super::line::{KnownStep, step_of};
use crate::Finding;
use crate::check::cycles;
use crate::read::fields::Fields;
use crate::read::list::distinct;
use crate::read::quantity::quantity;
use crate::read::value::Value;
use crate::read::wording::by_language;

/// All steps of a recipe.
pub(super) fn steps(fields: &mut Fields<'_>, known: &[KnownStep<'_>]) -> Option<Vec<Step>> {
    let steps = fields.each("step", |value| value.table("a step", |step| self::step(step, known)));
    check_twice(known, fields);
    if let Some(steps) = &steps {
        check_order(steps, fields);
    }
    steps
}

fn step(fields: &mut Fields<'_>, known: &[KnownStep<'_>]) -> Option<Step> {
    let id = fields.required("id", Value::id);
    let text = fields.required("text", by_language);
    let active = fields.optional("active", quantity);
    let passive = fields.optional("passive", quantity);
    let labour = fields.optional("labour", |value| value.one_of(Labour::ALL, Labour::as_str));
    let equipment = fields.optional("equipment", equipment_class);
    let after = fields.optional("after", |value| distinct(value, |entry| step_of(entry, known)));
    let controls = fields.each("control", |value| value.table("a control", control));
    Some(Step {
        id: id?,
        text: text?,
        active,
        passive,
        labour: labour.unwrap_or(Labour::PerBatch),
        equipment,
        after,
        controls: controls?,
    })
}

fn check_twice(known: &[KnownStep<'_>], fields: &Fields<'_>) {
    for (index, (id, span)) in known.iter().enumerate() {
        if let Some((_, first)) = known[..index].iter().find(|(earlier, _)| earlier == id) {
            fields.note(
                Finding::error("duplicate-id", format!("the recipe has two steps `{id}`"))
                    .at(*span, "again")
                    .at(*first, "the first")
                    .hint("give one of them another id"),
            );
        }
    }
}

/// Steps may not wait for each other in a circle, whether `after` says so or the order does.
fn check_order(steps: &[Step], fields: &Fields<'_>) {
    let mut waits: BTreeMap<&StepId, Vec<&StepId>> = BTreeMap::new();
    for (index, step) in steps.iter().enumerate() {
        let above = index.checked_sub(1).map(|above| &steps[above].id);
        let after = match &step.after {
            Some(after) => after.iter().collect(),
            None => above.into_iter().collect(),
        };
        waits.entry(&step.id).or_insert(after);
    }
    for circle in cycles(&waits) {
        fields.note(waiting_in_circle(&circle, steps, fields));
    }
}

fn waiting_in_circle(circle: &[&StepId], steps: &[Step], fields: &Fields<'_>) -> Finding {
    let names: Vec<String> = circle.iter().map(|id| format!("`{id}`")).collect();
    let message = match &names[..] {
        [only] => format!("the step {only} waits for itself"),
        _ => format!("the steps {} wait for each other", names.join(", ")),
    };
    let mut finding = Finding::error("step-cycle", message);
    for id in circle {
        let Some(index) = steps.iter().position(|step| step.id == **id) else { continue };
        let (path, text) = match steps[index].after {
            Some(_) => (format!("step[{index}].after"), "it waits for these"),
            None => (format!("step[{index}].id"), "it waits for the step above"),
        };
        finding = finding.at(fields.span_of(&path), text);
    }
    finding.hint("a step without `after` waits for the one above; `after = []` waits for nothing")
}
