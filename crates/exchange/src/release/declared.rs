//! Whether what is released can be declared: nobody is told less of an allergen than is known, and
//! nothing boils off more water than there was.

use std::collections::HashMap;

use chablon_declare::Declarer;
use chablon_declare::allergens::Blocker;
use chablon_declare::content::ContentFault;
use chablon_model::{DocumentContent, DocumentKey, RevisionRef};
use chablon_wire::{At, Violation};

use super::Submitted;
use crate::bodies::item;

/// A recipe that can't be released, since nobody has stated all of its allergens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreleasable {
    /// The recipe's revision.
    pub reference: RevisionRef,
    /// Where it is in the request.
    pub path: String,
    /// What is to be stated, by ingredient. Never empty.
    pub blockers: Vec<Blocker>,
}

/// What is wrong with the content of recipes, each with the place of its revision in the request.
pub(super) fn content_faults(
    declarer: &Declarer<'_>,
    places: &HashMap<&DocumentKey, usize>,
) -> Vec<(usize, Violation)> {
    let located = declarer.content_faults().filter_map(|fault| {
        let index = *places.get(&DocumentKey::from(fault.recipe()))?;
        let violation = Violation::new(format!("{fault}; {}", fault.hint()));
        Some((index, violation.at(&path(fault)).at(&item("revisions", index))))
    });
    located.collect()
}

fn path(fault: &ContentFault) -> String {
    match fault {
        ContentFault::WaterBelowZero { shortage, .. } => item("recipe.losses", shortage.loss - 1),
        ContentFault::NumberTooLarge { .. } => "recipe".to_owned(),
    }
}

/// The recipes that have an unknown allergen.
pub(super) fn unreleasable(
    declarer: &Declarer<'_>,
    roots: &[(usize, &Submitted)],
) -> Vec<Unreleasable> {
    let recipe = |(index, one): &(usize, &Submitted)| {
        let DocumentContent::Recipe(recipe) = &one.revision.content else { return None };
        let blockers = declarer.release_blockers(&recipe.id).ok()?;
        let path = format!("{}.recipe", item("revisions", *index));
        let reference = one.reference.clone();
        (!blockers.is_empty()).then_some(Unreleasable { reference, path, blockers })
    };
    roots.iter().filter_map(recipe).collect()
}

/// Why they can't be released, with the first thing to be stated.
pub(super) fn sentence(recipes: &[Unreleasable]) -> String {
    let others = match recipes.len() {
        0 | 1 => String::new(),
        more => format!(" and {} more", more - 1),
    };
    let first = recipes.first();
    let recipe = first.map(|one| one.reference.key.to_string()).unwrap_or_default();
    let blocker = first.and_then(|one| one.blockers.first());
    let blocker = blocker.map(ToString::to_string).unwrap_or_default();
    format!(
        "`{recipe}`{others} can't be released while an allergen is unknown: {blocker}; state it, \
         from the supplier's declaration"
    )
}
