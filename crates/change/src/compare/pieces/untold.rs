//! What can't be told of recipes that a change reaches. What can't be compared can't be ruled
//! out.

use std::collections::BTreeSet;

use chablon_arith::Fault;
use chablon_declare::DeclareError;
use chablon_model::RecipeId;

use crate::compare::sink::Sink;
use crate::compare::{Compared, Side};
use crate::{Change, NotTold, Pair, Told, What};

/// Told of finished pieces, and of the recipes at fault themselves.
pub(super) fn compare(
    compared: &Compared<'_>,
    affected: &BTreeSet<&RecipeId>,
    changes: &mut Vec<Change>,
) {
    for id in affected.iter().copied() {
        let mut sink = Sink { place: id.into(), changes };
        let why = compared.sides.as_ref().map(|side| side.declarer.states(id).err());
        if why.before.is_none() && why.after.is_none() {
            sink.add(content(compared, id));
        } else if is_finished(compared, id) || why.as_ref().map(Option::as_ref).any(own) {
            let why = why.map(|why| why.map(Box::new));
            sink.add(What::NotTold(NotTold { what: Told::Anything, why }));
        }
    }
}

/// Whether a recipe is at fault itself, and not one that it is made of.
fn own(error: &DeclareError) -> bool {
    match error {
        DeclareError::Refused { problem, .. } => {
            !matches!(problem.fault, Fault::ComponentRefused { .. })
        }
        DeclareError::UnknownRecipe(_) | DeclareError::Content(_) => true,
    }
}

/// What 100 g hold may not be told where all else is.
fn content(compared: &Compared<'_>, id: &RecipeId) -> Option<What> {
    let why = compared.sides.as_ref().map(|side: &Side<'_>| side.declarer.content(id).err());
    let at_fault = |error: &DeclareError| matches!(error, DeclareError::Content(fault) if fault.recipe() == id);
    let told = is_finished(compared, id) || why.as_ref().map(Option::as_ref).any(at_fault);
    let untold = why.before.is_some() || why.after.is_some();
    (told && untold).then(|| {
        What::NotTold(NotTold { what: Told::Content, why: why.map(|why| why.map(Box::new)) })
    })
}

fn is_finished(compared: &Compared<'_>, id: &RecipeId) -> bool {
    let Pair { before, after } = &compared.sides;
    before.finished.contains(id) || after.finished.contains(id)
}
