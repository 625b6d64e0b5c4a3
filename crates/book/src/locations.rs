//! Where in the files each document, line and field stands.

use std::collections::BTreeMap;

use chablon_model::{DocumentKey, RecipeId};

use crate::Span;

/// The places of one document by the path of a field: `line[2].amount`. The document itself is at
/// the empty path.
pub(crate) type Places = BTreeMap<String, Span>;

/// Where in the files each document, line and field stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Locations(BTreeMap<DocumentKey, Places>);

impl Locations {
    pub(crate) fn add(&mut self, document: DocumentKey, places: Places) {
        self.0.entry(document).or_insert(places);
    }

    /// Where a field of a document stands, or else what encloses it.
    ///
    /// A path has the keys of the file: `yield.pieces`, `line[2].amount`, `step[0].control[1].min`,
    /// with lists counted from 0. Nothing is found where the document isn't in the book.
    pub fn locate(&self, document: &DocumentKey, path: &str) -> Option<Span> {
        let places = self.0.get(document)?;
        let mut path = path;
        loop {
            if let Some(span) = places.get(path) {
                return Some(*span);
            }
            path = enclosing(path)?;
        }
    }

    /// Where a problem of a recipe stands: a field of one of its lines (counted from 0), or one of
    /// the recipe's own.
    pub fn locate_problem(
        &self,
        recipe: &RecipeId,
        line: Option<usize>,
        field: &str,
    ) -> Option<Span> {
        let path = match line {
            Some(index) if field.is_empty() => format!("line[{index}]"),
            Some(index) => format!("line[{index}].{field}"),
            None => field.to_owned(),
        };
        self.locate(&recipe.into(), &path)
    }
}

/// The path of what encloses a field; the document encloses all.
fn enclosing(path: &str) -> Option<&str> {
    if path.is_empty() {
        return None;
    }
    Some(path.rfind(['.', '[']).map_or("", |end| &path[..end]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn enclosing_goes_up_to_the_document() {
        assert_eq!(enclosing("line[2].amount"), Some("line[2]"));
        assert_eq!(enclosing("line[2]"), Some("line"));
        assert_eq!(enclosing("line"), Some(""));
        assert_eq!(enclosing(""), None);
    }
}
