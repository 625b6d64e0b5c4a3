//! A step with its controls.

use chablon_model::{Control, Labour, SetPoint, Step};

use super::page::Page;

pub(super) fn step(page: &mut Page, step: &Step) {
    page.table("[[step]]");
    page.text("id", &step.id);
    page.by_language("text", &step.text);
    page.optional("active", step.active);
    page.optional("passive", step.passive);
    if step.labour != Labour::PerBatch {
        page.text("labour", step.labour.as_str());
    }
    page.optional("equipment", step.equipment.as_ref());
    match step.after.as_deref() {
        None => {}
        // To wait for nothing is something else than to wait for the step above.
        Some([]) => page.raw("after", "[]"),
        Some(after) => page.list("after", after),
    }
    step.controls.iter().for_each(|one| control(page, one));
}

fn control(page: &mut Page, control: &Control) {
    page.table("[[step.control]]");
    page.text("measure", control.measure.as_str());
    for (key, point) in [("target", &control.target), ("min", &control.min), ("max", &control.max)]
    {
        match point {
            Some(SetPoint::Temperature(temperature)) => page.text(key, temperature),
            Some(SetPoint::Time(time)) => page.text(key, time),
            Some(SetPoint::Mass(mass)) => page.text(key, mass),
            Some(SetPoint::Observation(words)) => page.text(key, words),
            None => {}
        }
    }
    page.flag("critical", control.critical);
}
