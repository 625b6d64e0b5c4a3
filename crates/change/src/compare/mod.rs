//! From two editions to what changes between them.

mod documents;
mod ingredient;
mod pieces;
mod prices;
mod recipe;
mod settings;
mod sink;
mod site;
mod texts;

use std::collections::{BTreeMap, BTreeSet};

pub(crate) use recipe::{LineMatches, Renamed, line_matches};

use chablon_arith::Library;
use chablon_declare::Declarer;
use chablon_model::{Day, Language, RecipeId};

use crate::{Cascade, Comparison, Edition, Pair};

/// What changes from one edition to another: what documents say otherwise, and what follows for
/// every finished piece that both have. Costs are those of the day.
pub fn compare(old: &Edition<'_>, new: &Edition<'_>, day: Day) -> Comparison {
    let libraries = Pair::new(old.library(), new.library());
    let sides = Pair::new(Side::new(old, &libraries.before), Side::new(new, &libraries.after));
    let compared = Compared { sides, day };
    let mut changes = Vec::new();
    let cascade = Cascade::between(old, new);
    documents::compare(&compared, &cascade, &mut changes);
    pieces::compare(&compared, &cascade, &mut changes);
    let language = compared.sides.after.first_language().cloned();
    Comparison::new(changes, cascade, language)
}

/// One side, reckoned.
struct Side<'a> {
    edition: &'a Edition<'a>,
    declarer: Declarer<'a>,
    /// The recipes that no other uses.
    finished: BTreeSet<&'a RecipeId>,
    /// The recipes that use each recipe directly.
    users: BTreeMap<&'a RecipeId, BTreeSet<&'a RecipeId>>,
}

/// Two editions and what they are compared by.
struct Compared<'a> {
    sides: Pair<Side<'a>>,
    day: Day,
}

impl<'a> Side<'a> {
    fn new(edition: &'a Edition<'a>, library: &'a Library<'a>) -> Self {
        let declarer = Declarer::new(library);
        Self { edition, declarer, finished: edition.finished(), users: edition.users() }
    }

    /// The language that the group writes first, where settings say so.
    fn first_language(&self) -> Option<&'a Language> {
        self.edition.settings.and_then(|book| book.languages.first())
    }
}
