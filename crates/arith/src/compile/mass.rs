//! The mass of each line of a written batch (section 3 of the rules).

use chablon_model::{Amount, Line, Recipe, RecipeId, ShapeAmount, Uses};
use chablon_quantity::{Exact, Grams, Millilitres};

use super::Compiler;
use crate::compiled::{CompiledLine, CompiledRecipe, Used};
use crate::{Fault, RecipePart, geometry, size};

/// How far a weighed amount may be off where the line doesn't say: 2 %.
fn default_tolerance() -> Exact {
    Exact::ratio(1, 50).expect("a constant denominator")
}

/// A line's mass before shares are known.
enum Weight {
    Grams(Exact),
    /// This part of the base lines.
    Share(Exact),
}

/// The lines of a recipe, or nothing where one of them has no mass.
pub(super) fn lines(
    compiler: &Compiler<'_>,
    recipe: &Recipe,
    faults: &mut Vec<(RecipePart, Fault)>,
) -> Option<Vec<CompiledLine>> {
    let weights = recipe.lines.iter().enumerate().map(|(at, line)| {
        check(line, at, faults);
        let weight = weigh(compiler, line);
        weight.map_err(|fault| faults.extend(fault.map(|fault| (RecipePart::Line(at), fault)))).ok()
    });
    let weights: Vec<Option<(Used, Weight)>> = weights.collect();
    let base = base_mass(recipe, &weights, faults);
    let resolved = recipe.lines.iter().zip(weights).enumerate();
    let lines = resolved.map(|(at, (line, weight))| {
        let step = line.step.as_ref();
        let step = step.and_then(|id| recipe.steps.iter().position(|step| step.id == *id));
        Some(CompiledLine { step, ..compiled(at, line, weight?, base.as_ref()?) })
    });
    lines.collect()
}

/// What can be wrong with a line whatever it takes.
fn check(line: &Line, at: usize, faults: &mut Vec<(RecipePart, Fault)>) {
    let mut add = |fault| faults.push((RecipePart::Line(at), fault));
    if line.base && matches!(line.amount, Amount::Share(_)) {
        add(Fault::ShareAsBase);
    }
    if let Some(value) = amount(&line.amount).filter(Exact::is_negative) {
        add(Fault::Negative { what: "the amount", value });
    }
    let tolerance = line.tolerance.as_ref().map(|tolerance| tolerance.quantity().0);
    if let Some(value) = tolerance.filter(Exact::is_negative) {
        add(Fault::Negative { what: "the tolerance", value });
    }
}

fn amount(amount: &Amount) -> Option<Exact> {
    match amount {
        Amount::Mass(mass) => Some(mass.quantity().grams()),
        Amount::Volume(volume) => Some(volume.quantity().millilitres()),
        Amount::Count(count) => Some(count.quantity().0),
        Amount::Share(share) => Some(share.quantity().0),
        Amount::Shape(shape) => shape.count.as_ref().map(|count| count.quantity().0),
        Amount::ToTaste => None,
    }
}

/// What a line takes and its mass. A component that can't be computed gives no fault here: it is
/// reported once, with the reason, when all recipes are known.
fn weigh(compiler: &Compiler<'_>, line: &Line) -> Result<(Used, Weight), Option<Fault>> {
    let of = found(compiler, &line.uses)?;
    let grams = match &line.amount {
        Amount::Mass(mass) => mass.quantity().grams(),
        Amount::Volume(volume) => volume.quantity().millilitres() * density(&of, &line.uses)?,
        Amount::Count(count) => count.quantity().0 * piece_mass(&of, &line.uses)?,
        Amount::Shape(shape) => volume(shape)? * density(&of, &line.uses)?,
        Amount::Share(share) => return Ok((of.used, Weight::Share(share.quantity().0))),
        Amount::ToTaste => Exact::from(0),
    };
    Ok((of.used, Weight::Grams(grams)))
}

/// What a line takes, with what its amount may need.
struct Found {
    used: Used,
    density: Option<Exact>,
    piece_mass: Option<Exact>,
}

fn found(compiler: &Compiler<'_>, uses: &Uses) -> Result<Found, Option<Fault>> {
    match uses {
        Uses::Ingredient(id) => {
            if !compiler.library.ingredients.contains_key(id) {
                return Err(Some(Fault::UnknownIngredient { ingredient: id.clone() }));
            }
            let refused = || Some(Fault::IngredientRefused { ingredient: id.clone() });
            let index = compiler.book.find_ingredient(id).ok_or_else(refused)?;
            let one = compiler.book.ingredient(index);
            let (density, piece_mass) = (one.density.clone(), one.piece_mass.clone());
            Ok(Found { used: Used::Ingredient(index), density, piece_mass })
        }
        Uses::Component(id) => component(compiler, id),
    }
}

fn component(compiler: &Compiler<'_>, id: &RecipeId) -> Result<Found, Option<Fault>> {
    if !compiler.library.recipes.contains_key(id) {
        return Err(Some(Fault::UnknownComponent { component: id.clone() }));
    }
    let index = compiler.book.find_recipe(id).ok_or(None)?;
    let CompiledRecipe { density, piece_mass, .. } = compiler.book.recipe(index);
    let (density, piece_mass) = (density.clone(), piece_mass.clone());
    Ok(Found { used: Used::Component(index), density, piece_mass })
}

/// The volume of a shape, so many times, in millilitres.
fn volume(amount: &ShapeAmount) -> Result<Exact, Fault> {
    let one = geometry::volume(&amount.shape).map_err(Fault::Shape)?.millilitres();
    Ok(amount.count.as_ref().map_or(one.clone(), |count| one * count.quantity().0))
}

fn density(of: &Found, uses: &Uses) -> Result<Exact, Fault> {
    of.density.clone().ok_or_else(|| Fault::MissingDensity { uses: uses.clone() })
}

fn piece_mass(of: &Found, uses: &Uses) -> Result<Exact, Fault> {
    of.piece_mass.clone().ok_or_else(|| match uses {
        Uses::Ingredient(id) => Fault::MissingPieceMass { ingredient: id.clone() },
        Uses::Component(id) => Fault::NoPieces { component: id.clone() },
    })
}

/// The mass that shares are shares of, or nothing where shares have none.
fn base_mass(
    recipe: &Recipe,
    weights: &[Option<(Used, Weight)>],
    faults: &mut Vec<(RecipePart, Fault)>,
) -> Option<Exact> {
    let base = || recipe.lines.iter().zip(weights).filter(|(line, _)| line.base);
    if base().next().is_none() {
        let shares = recipe.lines.iter().enumerate();
        let shares = shares.filter(|(_, line)| matches!(line.amount, Amount::Share(_)));
        faults.extend(shares.map(|(at, _)| (RecipePart::Line(at), Fault::ShareWithoutBase)));
    }
    let masses = base().filter_map(|(_, weight)| match weight {
        Some((_, Weight::Grams(grams))) => Some(grams),
        _ => None,
    });
    let total = size::sum(masses);
    if total.is_none() {
        faults.push((RecipePart::Whole, Fault::NumberTooLarge));
    }
    total
}

fn compiled(at: usize, line: &Line, (uses, weight): (Used, Weight), base: &Exact) -> CompiledLine {
    let tolerance = line.tolerance.as_ref().map(|tolerance| tolerance.quantity().0);
    CompiledLine {
        number: at + 1,
        uses,
        mass: match weight {
            Weight::Grams(grams) => grams,
            Weight::Share(share) => share * base,
        },
        scaling: line.scaling,
        base: line.base,
        step: None,
        to_taste: line.amount == Amount::ToTaste,
        tolerance: tolerance.unwrap_or_else(default_tolerance),
    }
}
