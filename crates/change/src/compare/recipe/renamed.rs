//! Steps that have another id and are the same for the rest.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Line, Step, StepId};

use crate::matching::Pairing;
use crate::{Pair, sense};

/// What steps of the old side are called on the new one.
pub(crate) struct Renamed<'a>(BTreeMap<&'a StepId, &'a StepId>);

impl<'a> Renamed<'a> {
    /// Pairs the steps whose ids only one side has by all that they say.
    pub(crate) fn between(steps: Pair<&'a [Step]>) -> Self {
        let ids = steps.map(|steps| steps.iter().map(|step| &step.id).collect::<BTreeSet<_>>());
        let only = |steps: &'a [Step], other: &BTreeSet<&StepId>| {
            steps.iter().filter(|step| !other.contains(&step.id)).collect::<Vec<_>>()
        };
        let (before, after) = (only(steps.before, &ids.after), only(steps.after, &ids.before));
        let pairs = Pairing::of(Pair::new(&before[..], &after));
        let alike = pairs.by_key(|step| Some(sense::step(step))).places();
        let both = alike.iter().filter_map(|pair| pair.both());
        Self(both.map(|pair| (&before[pair.before].id, &after[pair.after].id)).collect())
    }

    /// What a step of the old side is called on the new one.
    pub(crate) fn to_new<'s>(&'s self, step: &'s StepId) -> &'s StepId {
        self.0.get(step).copied().unwrap_or(step)
    }

    /// What the step that uses a line of the old side is called on the new one.
    pub(super) fn step_of<'s>(&'s self, line: &'s Line) -> Option<&'s StepId> {
        line.step.as_ref().map(|step| self.to_new(step))
    }

    /// The steps that have another id.
    pub(super) fn iter(&self) -> impl Iterator<Item = Pair<StepId>> {
        self.0.iter().map(|(old, new)| Pair::new((*old).clone(), (*new).clone()))
    }
}
