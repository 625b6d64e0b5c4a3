//! Whether what is released can be computed and declared: no kitchen gets a recipe that it can't
//! scale, or of which it can't say what is in it.

use std::collections::HashMap;

use chablon_arith::{IngredientPart, Library, Place, Problem, RecipePart, Severity, compile};
use chablon_declare::Declarer;
use chablon_model::{DocumentContent, DocumentKey, DocumentKind, Revision};
use chablon_wire::{At, Violation};

use super::catalogue::Catalogue;
use super::declared::{self, Unreleasable};
use super::{ReleaseError, Submitted};
use crate::bodies::{BodyError, item};

/// Refuses a request with recipes or ingredients that can't be computed or declared.
///
/// A request is commonly consistent as a whole, and then looked at as a whole. Where two of its
/// recipes rest on different revisions of one document, which is permitted, each is looked at
/// with what it pins itself.
pub(super) fn check(submitted: &[Submitted], catalogue: &Catalogue) -> Result<(), ReleaseError> {
    let roots: Vec<(usize, &Submitted)> =
        submitted.iter().enumerate().filter(|(_, one)| is_computed(one)).collect();
    let found = match catalogue.reached(roots.iter().map(|(_, one)| one.reference.clone())) {
        Ok(reached) => Found::of(&roots, &reached),
        Err(_) => roots.iter().map(|root| alone(root, catalogue)).collect(),
    };
    found.refuse(submitted)
}

/// What keeps a request from being released.
#[derive(Default)]
struct Found {
    /// What is wrong, and with which revision of the request.
    broken: Vec<(usize, Violation)>,
    unreleasable: Vec<Unreleasable>,
}

impl FromIterator<Self> for Found {
    fn from_iter<I: IntoIterator<Item = Self>>(found: I) -> Self {
        found.into_iter().fold(Self::default(), |mut all, one| {
            all.broken.extend(one.broken);
            all.unreleasable.extend(one.unreleasable);
            all
        })
    }
}

impl Found {
    /// What is found on the way to the figures and the declarations of these revisions.
    ///
    /// What is wrong with a stored document alone was seen when that was stored.
    fn of(roots: &[(usize, &Submitted)], reached: &[&Revision]) -> Self {
        let places: HashMap<&DocumentKey, usize> =
            roots.iter().map(|(index, one)| (&one.reference.key, *index)).collect();
        let library = library(reached);
        let (book, problems) = compile(&library);
        let declarer = Declarer::of_compiled(&library, book);
        let mut broken = faults(&problems, &places);
        broken.extend(declared::content_faults(&declarer, &places));
        Self { broken, unreleasable: declared::unreleasable(&declarer, roots) }
    }

    fn refuse(self, submitted: &[Submitted]) -> Result<(), ReleaseError> {
        if let Some((first, _)) = self.broken.first() {
            let revision = Some(Box::new(submitted[*first].reference.clone()));
            let violations = self.broken.into_iter().map(|(_, violation)| violation).collect();
            return Err(BodyError::Invalid { revision, violations }.into());
        }
        if self.unreleasable.is_empty() {
            return Ok(());
        }
        Err(ReleaseError::AllergensUnknown(self.unreleasable))
    }
}

fn library<'r>(revisions: &[&'r Revision]) -> Library<'r> {
    let contents = revisions.iter().map(|revision| &revision.content);
    let ingredients = contents.clone().filter_map(|content| match content {
        DocumentContent::Ingredient(ingredient) => Some(ingredient),
        _ => None,
    });
    let recipes = contents.filter_map(|content| match content {
        DocumentContent::Recipe(recipe) => Some(recipe),
        _ => None,
    });
    Library::new(ingredients, recipes)
}

fn is_computed(one: &Submitted) -> bool {
    matches!(one.reference.key.kind, DocumentKind::Ingredient | DocumentKind::Recipe)
}

fn alone(root: &(usize, &Submitted), catalogue: &Catalogue) -> Found {
    let (index, one) = *root;
    match catalogue.reached([one.reference.clone()]) {
        Ok(reached) => Found::of(&[*root], &reached),
        Err(inconsistent) => {
            let violation = Violation::new(inconsistent.to_string()).at("pins");
            let broken = vec![(index, violation.at(&item("revisions", index)))];
            Found { broken, unreleasable: Vec::new() }
        }
    }
}

/// The errors that arith finds, each at its place in the request.
fn faults(problems: &[Problem], places: &HashMap<&DocumentKey, usize>) -> Vec<(usize, Violation)> {
    let errors = problems.iter().filter(|problem| problem.severity() == Severity::Error);
    let located = errors.filter_map(|problem| {
        let (key, path) = place(&problem.place);
        let index = *places.get(&key)?;
        Some((index, violation(problem).at(&path).at(&item("revisions", index))))
    });
    located.collect()
}

fn violation(problem: &Problem) -> Violation {
    Violation::new(format!("{problem}; {}", problem.fault.hint()))
}

/// A document, and where in its revision a problem is.
pub(crate) fn place(place: &Place) -> (DocumentKey, String) {
    match place {
        Place::Ingredient(id, part) => {
            (id.into(), format!("ingredient.{}", ingredient_part(*part)))
        }
        Place::Recipe(id, part) => (id.into(), recipe_part(*part)),
    }
}

fn ingredient_part(part: IngredientPart) -> &'static str {
    match part {
        IngredientPart::Density => "density",
        IngredientPart::PieceMass => "piece_mass",
        IngredientPart::EdibleYield => "edible_yield",
    }
}

fn recipe_part(part: RecipePart) -> String {
    match part {
        RecipePart::Whole => "recipe".to_owned(),
        RecipePart::Density => "recipe.density".to_owned(),
        RecipePart::Yield => "recipe.yield".to_owned(),
        RecipePart::Batch => "recipe.batch".to_owned(),
        RecipePart::Line(index) => item("recipe.lines", index),
        RecipePart::Loss(index) => item("recipe.losses", index),
        RecipePart::Step(index) => item("recipe.steps", index),
    }
}
