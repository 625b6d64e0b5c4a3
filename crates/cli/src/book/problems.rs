//! What the arithmetic finds in a book, at its place in the files.

use chablon_arith::{
    Fault, IngredientPart, Library, Place, PricePart, PriceProblem, Problem, RecipePart,
    check_prices, compile,
};
use chablon_book::{AuthoredBook, Finding, Locations, Severity, Span};

use super::{declared, placed};

/// Everything that keeps a figure of the book from being computed or declared, or makes it doubtful.
///
/// What only follows from another problem is left out: when that is mended, it is gone.
pub(super) fn findings(book: &AuthoredBook, locations: &Locations) -> Vec<Finding> {
    let library = Library::new(&book.ingredients, &book.recipes);
    let (compiled, problems) = compile(&library);
    let prices = check_prices(&library, &compiled, &book.price_lists);
    let own = problems.iter().filter(|problem| !follows(&problem.fault));
    own.map(|problem| of_problem(problem, locations))
        .chain(prices.iter().map(|problem| of_price(problem, locations)))
        .chain(declared::findings(&library, compiled, book, locations))
        .collect()
}

fn follows(fault: &Fault) -> bool {
    matches!(fault, Fault::ComponentRefused { .. } | Fault::IngredientRefused { .. })
}

fn of_problem(problem: &Problem, locations: &Locations) -> Finding {
    let severity = match problem.severity() {
        chablon_arith::Severity::Warning => Severity::Warning,
        chablon_arith::Severity::Error => Severity::Error,
    };
    let finding = Finding::new(severity, problem.code(), problem.to_string()).hint(problem.hint());
    let (span, label) = place(problem, locations);
    placed(finding, span, label)
}

/// Where a problem stands, and what is to be seen there.
fn place(problem: &Problem, locations: &Locations) -> (Option<Span>, &'static str) {
    match &problem.place {
        Place::Ingredient(id, part) => {
            let (path, label) = ingredient_field(*part);
            (locations.locate(&id.into(), path), label)
        }
        Place::Recipe(id, part) => {
            let (path, label) = recipe_field(*part, &problem.fault);
            (locations.locate(&id.into(), &path), label)
        }
    }
}

fn ingredient_field(part: IngredientPart) -> (&'static str, &'static str) {
    match part {
        IngredientPart::Density => ("density", "this density"),
        IngredientPart::PieceMass => ("piece_mass", "this piece mass"),
        IngredientPart::EdibleYield => ("edible_yield", "this edible yield"),
    }
}

fn recipe_field(part: RecipePart, fault: &Fault) -> (String, &'static str) {
    let (path, label) = match part {
        RecipePart::Whole => ("", "this recipe"),
        RecipePart::Density => ("density", "this density"),
        RecipePart::Yield => ("yield", "this yield"),
        RecipePart::Batch => ("batch", "these bounds"),
        RecipePart::Line(at) => return (line_field(at, fault), "this amount"),
        RecipePart::Loss(at) => return (format!("loss[{at}]"), "this loss"),
        RecipePart::Step(at) => return step_field(at, fault),
    };
    (path.to_owned(), label)
}

fn line_field(at: usize, fault: &Fault) -> String {
    match fault {
        Fault::UnknownIngredient { .. } => format!("line[{at}].ingredient"),
        Fault::UnknownComponent { .. } => format!("line[{at}].component"),
        _ => format!("line[{at}].amount"),
    }
}

fn step_field(at: usize, fault: &Fault) -> (String, &'static str) {
    match fault {
        Fault::LabourNeedsPieces { .. } => (format!("step[{at}].labour"), "by the piece"),
        _ => (format!("step[{at}].active"), "this time"),
    }
}

fn of_price(problem: &PriceProblem, locations: &Locations) -> Finding {
    let (path, label) = match problem.part {
        PricePart::Price(at) => (format!("price[{at}]"), "this price"),
        PricePart::Rate(at) => (format!("rate[{at}]"), "this rate"),
    };
    let finding = Finding::error(problem.code(), problem.to_string()).hint(problem.hint());
    placed(finding, locations.locate(&(&problem.list).into(), &path), label)
}
