//! Losses.

use chablon_model::{Loss, LossKind};

use crate::compare::sink::Sink;
use crate::matching::{Pairing, differ, reordered};
use crate::{Listed, Pair, What, sense};

pub(super) fn compare(losses: Pair<&[Loss]>, sink: &mut Sink<'_>) {
    let Pair { before, after } = losses;
    let pairs = Pairing::of(losses)
        .by_key(|loss| Some(sense::loss(loss)))
        .by_key(stage)
        .by_key(|loss| Some(sort(loss)));
    let places = pairs.places();
    for pair in &places {
        let loss = Pair::new(pair.before.map(|at| &before[at]), pair.after.map(|at| &after[at]));
        if differ(&loss, sense::loss) {
            sink.add(What::Loss(loss.map(Option::<&Loss>::cloned)));
        }
    }
    if reordered(&places) {
        sink.add(What::Order(Listed::Losses));
    }
}

fn stage(loss: &Loss) -> Option<&str> {
    match loss {
        Loss::Stage { stage, .. } | Loss::Residue { stage, .. } => stage.as_deref(),
    }
}

/// What leaves; nothing where something stays behind.
fn sort(loss: &Loss) -> Option<LossKind> {
    match loss {
        Loss::Stage { kind, .. } => Some(*kind),
        Loss::Residue { .. } => None,
    }
}
