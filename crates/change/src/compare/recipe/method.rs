//! The method: steps, what they wait for, and what is watched.

use std::collections::BTreeSet;

use chablon_model::{Control, RecipeId, Step, StepId};

use super::renamed::Renamed;
use crate::compare::Compared;
use crate::compare::sink::Sink;
use crate::compare::texts::instruction;
use crate::matching::{Pairing, differ, reordered};
use crate::{Hands, Limit, Pair, What, sense};

pub(super) fn compare(
    compared: &Compared<'_>,
    steps: Pair<&[Step]>,
    renamed: &Renamed<'_>,
    sink: &mut Sink<'_>,
) {
    let Pair { before, after } = steps;
    let places = Pairing::of(steps)
        .by(|step| Some(renamed.to_new(&step.id)), |step| Some(&step.id))
        .places();
    for pair in &places {
        let step = Pair::new(pair.before.map(|at| &before[at]), pair.after.map(|at| &after[at]));
        match pair.both() {
            Some(at) => {
                of_step(compared, Pair::new(&before[at.before], &after[at.after]), sink);
                waiting(steps, at, renamed, sink);
            }
            None => alone(step, sink),
        }
    }
    renamed.iter().for_each(|ids| sink.add(What::StepRenamed(ids)));
    if reordered(&places) {
        let both = || places.iter().filter_map(|pair| pair.both());
        let old = both().map(|at| at.before).collect::<BTreeSet<usize>>().into_iter();
        let new = both().map(|at| at.after).collect::<BTreeSet<usize>>().into_iter();
        sink.add(What::StepOrder(Pair::new(
            old.map(|at| before[at].id.clone()).collect(),
            new.map(|at| after[at].id.clone()).collect(),
        )));
    }
}

/// A step that only one side has, and its critical limits by themselves.
fn alone(step: Pair<Option<&Step>>, sink: &mut Sink<'_>) {
    sink.add(What::Step(step.map(|step| step.cloned().map(Box::new))));
    let Some(either) = step.after.or(step.before) else { return };
    for control in either.controls.iter().filter(|control| control.critical) {
        let on = |side: Option<&Step>| side.map(|_| control);
        add_control(&either.id, Pair::new(on(step.before), on(step.after)), sink);
    }
}

fn of_step(compared: &Compared<'_>, steps: Pair<&Step>, sink: &mut Sink<'_>) {
    let Pair { before, after } = steps;
    // Named one by one, so that a new field isn't forgotten; `after` depends on the other steps.
    let Step { id, text, active, passive, labour, equipment, after: _, controls } = after;
    instruction(compared, id, Pair::new(&before.text, text), sink);
    let times = [
        (Hands::Busy, Pair::new(before.active, *active)),
        (Hands::Free, Pair::new(before.passive, *passive)),
    ];
    for (hands, time) in times.into_iter().filter(|(_, time)| !sense::same(time.before, time.after))
    {
        sink.add(What::StepTime { step: id.clone(), hands, time });
    }
    let labour = Pair::changed(before.labour, *labour);
    sink.add(labour.map(|labour| What::StepLabour { step: id.clone(), labour }));
    let equipment = Pair::changed(before.equipment.clone(), equipment.clone());
    sink.add(equipment.map(|equipment| What::StepEquipment { step: id.clone(), equipment }));
    of_controls(id, Pair::new(&before.controls, controls), sink);
}

fn of_controls(step: &StepId, controls: Pair<&[Control]>, sink: &mut Sink<'_>) {
    let pairs = Pairing::of(controls)
        .by_key(|one| Some(sense::control(one)))
        .by_key(|one| Some((one.measure, one.critical)))
        .by_key(|one| Some(one.measure));
    for pair in pairs.items().filter(|pair| differ(pair, sense::control)) {
        add_control(step, pair, sink);
    }
}

fn add_control(step: &StepId, control: Pair<Option<&Control>>, sink: &mut Sink<'_>) {
    let critical = |side: Option<&Control>| side.is_some_and(|control| control.critical);
    let step = step.clone();
    if !critical(control.before) && !critical(control.after) {
        let control = control.map(|control| control.cloned().map(Box::new));
        sink.add(What::Control { step, control });
        return;
    }
    let recipe = RecipeId::from(&sink.place.id);
    let limit = |control: &Control| {
        Box::new(Limit { recipe: recipe.clone(), step: step.clone(), control: control.clone() })
    };
    sink.add(What::Limit(control.map(|control| control.map(limit))));
}

/// What a step waits for. Where neither side says so it is the step above, and the order of the
/// steps says the rest.
fn waiting(steps: Pair<&[Step]>, at: Pair<usize>, renamed: &Renamed<'_>, sink: &mut Sink<'_>) {
    let stated = Pair::new(&steps.before[at.before].after, &steps.after[at.after].after);
    if stated.before.is_none() && stated.after.is_none() {
        return;
    }
    let Pair { before, after } =
        Pair::new(waits(steps.before, at.before), waits(steps.after, at.after));
    let called: BTreeSet<&StepId> = before.iter().map(|id| renamed.to_new(id)).collect();
    if called != after {
        let step = steps.after[at.after].id.clone();
        let ids = |ids: BTreeSet<&StepId>| ids.into_iter().cloned().collect();
        sink.add(What::StepAfter { step, after: Pair::new(ids(before), ids(after)) });
    }
}

/// The steps that a step waits for.
fn waits(steps: &[Step], at: usize) -> BTreeSet<&StepId> {
    match &steps[at].after {
        Some(stated) => stated.iter().collect(),
        None => at.checked_sub(1).map(|above| &steps[above].id).into_iter().collect(),
    }
}
