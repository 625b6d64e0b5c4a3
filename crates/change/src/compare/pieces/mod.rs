//! What follows for recipes that a change reaches: allergens, limits, content, label, cost.

mod allergens;
mod content;
mod cost;
mod limits;
mod list;
mod understated;
mod untold;

use std::collections::BTreeSet;

use chablon_model::RecipeId;

use super::Compared;
use super::sink::Sink;
use crate::{Cascade, Change, Pair};

/// Compares every recipe that both sides have. One that is finished on either side counts as
/// finished: what was a piece may be a component now.
pub(super) fn compare(compared: &Compared<'_>, cascade: &Cascade, changes: &mut Vec<Change>) {
    let Pair { before, after } = &compared.sides;
    let both: BTreeSet<&RecipeId> = before.edition.recipes.keys().copied().collect();
    let both = both.into_iter().filter(|id| after.edition.recipes.contains_key(id));
    let finished = |id: &RecipeId| before.finished.contains(id) || after.finished.contains(id);
    let (pieces, components): (BTreeSet<&RecipeId>, BTreeSet<&RecipeId>) =
        both.partition(|id| finished(id));
    let reached = |id: &&RecipeId| cascade.reaches(&(*id).into());
    let affected = pieces.union(&components).copied().filter(reached).collect();
    understated::compare(compared, changes);
    allergens::compare(compared, &affected, changes);
    untold::compare(compared, &affected, changes);
    let costs = cost::Costs::of(compared);
    for id in pieces {
        let mut sink = Sink { place: id.into(), changes };
        if affected.contains(id) {
            limits::compare(compared, id, &mut sink);
            content::compare(compared, id, &mut sink);
            list::compare(compared, id, &mut sink);
        }
        costs.compare(id, &mut sink);
    }
}
