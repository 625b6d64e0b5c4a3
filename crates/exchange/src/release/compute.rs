//! Whether what is released can be computed: no kitchen gets a recipe that it can't scale.

use std::collections::HashMap;

use chablon_arith::{IngredientPart, Library, Place, Problem, RecipePart, Severity, compile};
use chablon_model::{Closure, DocumentKey, DocumentKind};
use chablon_wire::{At, Violation};

use super::Submitted;
use super::catalogue::Catalogue;
use crate::bodies::{BodyError, item};

/// Refuses a request with recipes or ingredients that can't be computed.
///
/// A request is commonly consistent as a whole, and then looked at as a whole. Where two of its
/// recipes rest on different revisions of one document, which is permitted, each is looked at
/// with what it pins itself.
pub(super) fn check(submitted: &[Submitted], catalogue: &Catalogue) -> Result<(), BodyError> {
    let roots: Vec<(usize, &Submitted)> =
        submitted.iter().enumerate().filter(|(_, one)| is_computed(one)).collect();
    let broken = match catalogue.closure(roots.iter().map(|(_, one)| one.reference.clone())) {
        Ok(closure) => faults(&roots, &closure),
        Err(_) => roots.iter().flat_map(|root| alone(root, catalogue)).collect(),
    };
    let Some((first, _)) = broken.first() else { return Ok(()) };
    let revision = Some(Box::new(submitted[*first].reference.clone()));
    let violations = broken.into_iter().map(|(_, violation)| violation).collect();
    Err(BodyError::Invalid { revision, violations })
}

/// What is wrong, and with which revision of the request.
type Broken = Vec<(usize, Violation)>;

fn is_computed(one: &Submitted) -> bool {
    matches!(one.reference.key.kind, DocumentKind::Ingredient | DocumentKind::Recipe)
}

fn alone(root: &(usize, &Submitted), catalogue: &Catalogue) -> Broken {
    let (index, one) = *root;
    match catalogue.closure([one.reference.clone()]) {
        Ok(closure) => faults(&[*root], &closure),
        Err(inconsistent) => {
            let violation = Violation::new(inconsistent.to_string()).at("pins");
            vec![(index, violation.at(&item("revisions", index)))]
        }
    }
}

/// The errors that arith finds, each at its place in the request.
///
/// What is wrong with a stored document alone was seen when that was stored.
fn faults(roots: &[(usize, &Submitted)], closure: &Closure) -> Broken {
    let places: HashMap<&DocumentKey, usize> =
        roots.iter().map(|(index, one)| (&one.reference.key, *index)).collect();
    let library = Library::new(closure.ingredients.values(), closure.recipes.values());
    let (_, problems) = compile(&library);
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
fn place(place: &Place) -> (DocumentKey, String) {
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
