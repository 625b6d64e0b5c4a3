//! All that changes between two editions.

use std::collections::BTreeSet;

use chablon_declare::caution;

use crate::change::Group;
use crate::{Cascade, Change, Class, Route};

/// All that changes between two editions, the worst first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    changes: Vec<Change>,
    cascade: Cascade,
}

impl Comparison {
    pub(crate) fn new(mut changes: Vec<Change>, cascade: Cascade) -> Self {
        changes.sort_by_cached_key(Change::rank);
        Self { changes, cascade }
    }

    /// The changes, the worst first: those that weigh as safety, then by heading, then by document.
    pub fn changes(&self) -> &[Change] {
        &self.changes
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty()
    }

    /// How much all of it weighs: as much as the heaviest; nothing where nothing changes.
    pub fn class(&self) -> Option<Class> {
        self.changes.iter().map(Change::class).max()
    }

    /// What stands above the documents that change.
    pub fn cascade(&self) -> &Cascade {
        &self.cascade
    }

    /// The finished pieces that a change is in, with the way down to where it is.
    pub fn pieces_of(&self, change: &Change) -> Vec<Route> {
        self.cascade.pieces_of(&change.place)
    }

    /// What must be said beside it, once each.
    pub fn cautions(&self) -> Vec<&'static str> {
        let groups: BTreeSet<Group> =
            self.changes.iter().map(|change| change.what.group()).collect();
        let has = |wanted: &[Group]| wanted.iter().any(|group| groups.contains(group));
        let cautions = [
            (has(&[Group::Allergens, Group::Content, Group::Documents]), caution::DECLARED),
            (has(&[Group::Allergens, Group::Documents]), caution::ALLERGENS),
            (has(&[Group::Limits, Group::Storage]), FOOD_SAFETY),
        ];
        cautions.into_iter().filter_map(|(said, caution)| said.then_some(caution)).collect()
    }
}

/// What is said beside critical limits and storage.
const FOOD_SAFETY: &str = "A limit here is the one that the recipe states. The kitchen's approved \
    food-safety plan, local law and licensed practice decide.";
