//! All that changes between two editions.

use std::collections::BTreeSet;

use chablon_declare::caution;
use chablon_model::{DocumentKind, Language, SiteId};

use crate::change::Group;
use crate::{Cascade, Change, Class, Leaving, Route, SiteChange, What};

/// All that changes between two editions, the worst first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    changes: Vec<Change>,
    cascade: Cascade,
    language: Option<Language>,
}

impl Comparison {
    pub(crate) fn new(
        mut changes: Vec<Change>,
        cascade: Cascade,
        language: Option<Language>,
    ) -> Self {
        changes.sort_by_cached_key(Change::rank);
        Self { changes, cascade, language }
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

    /// The sites that leave groups of theirs, by id.
    pub fn leaving(&self) -> Vec<Leaving> {
        self.changes.iter().filter_map(leaving).collect()
    }

    /// The language that the group writes first by the new settings, where they are known.
    pub fn language(&self) -> Option<&Language> {
        self.language.as_ref()
    }

    /// What must be said beside it, once each. [`caution::in_french`] has them in French.
    pub fn cautions(&self) -> Vec<&'static str> {
        let groups: BTreeSet<Group> =
            self.changes.iter().map(|change| change.what.group()).collect();
        let has = |wanted: &[Group]| wanted.iter().any(|group| groups.contains(group));
        let cautions = [
            (has(&[Group::Allergens, Group::Content, Group::Documents]), caution::DECLARED),
            (has(&[Group::Allergens, Group::Documents]), caution::ALLERGENS),
            (has(&[Group::Limits, Group::Storage]), caution::LIMITS),
            (!self.leaving().is_empty(), caution::LEAVING),
        ];
        cautions.into_iter().filter_map(|(said, caution)| said.then_some(caution)).collect()
    }
}

fn leaving(change: &Change) -> Option<Leaving> {
    match &change.what {
        What::Site(SiteChange::Groups(groups)) if change.place.kind == DocumentKind::Site => {
            let site = SiteId::from(&change.place.id);
            Leaving::between(&site, groups.as_ref().map(Vec::as_slice))
        }
        _ => None,
    }
}
