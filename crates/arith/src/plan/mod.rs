//! Scaling: from what is asked for to what every bowl takes (sections 5 and 6).

mod error;
mod explode;
mod hint;
mod onhand;
mod trays;
mod warning;
mod weigh;

use std::collections::BTreeMap;

use chablon_model::{IngredientId, RecipeId, Uses};
use chablon_quantity::Exact;

pub use error::{PlanError, SmallBowl, SmallDemand};
pub use hint::Hint;
pub use trays::TrayLoads;
pub use warning::Warning;
pub use weigh::{WeighFlag, Weighing};

use crate::compiled::{CompiledBook, CompiledLine, CompiledRecipe, RecipeIndex};
use crate::flat::{Making, Root, capacity};
use crate::{Demand, ScaleKit, SiteKit, Target, size};
pub(crate) use explode::explode_flat;

use explode::explode;
use hint::{Carriers, Circumstances, hints};

/// Who makes how much of what, in which order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What was asked for, in the order in which it was.
    pub products: Vec<Product>,
    /// Every recipe that is made, components first.
    pub components: Vec<PlannedRecipe>,
    /// The mass of every ingredient over the plan, by id; 0 where it is only to taste.
    pub ingredients: Vec<IngredientTotal>,
}

/// What one demand comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Product {
    /// The recipe.
    pub recipe: RecipeId,
    /// What was asked for.
    pub target: Target,
    /// Net grams.
    pub net: Exact,
    /// Pieces, where the recipe yields pieces.
    pub pieces: Option<Exact>,
}

/// One recipe of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedRecipe {
    /// The recipe.
    pub recipe: RecipeId,
    /// Where it stands in the compiled book.
    pub index: RecipeIndex,
    /// `M`: net grams, over everything that uses it.
    pub net: Exact,
    /// Pieces, where the recipe yields pieces; they need not be whole.
    pub pieces: Option<Exact>,
    /// `B`: how many equal batches. A whole number from 1.
    pub batches: Exact,
    /// `phi`: what the proportional lines are multiplied by, over all batches.
    pub factor: Exact,
    /// Grams that go in, over all batches.
    pub input: Exact,
    /// The lines, in the written order.
    pub lines: Vec<PlannedLine>,
    /// The trays that its pieces take, where the site states trays for what it occupies.
    pub trays: Vec<TrayLoads>,
    /// What the kitchen must know.
    pub warnings: Vec<Warning>,
}

/// One line of a planned recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedLine {
    /// Its number among the recipe's written lines, from 1.
    pub number: usize,
    /// What it takes.
    pub uses: Uses,
    /// Grams over all batches; 0 where it is to taste.
    pub mass: Exact,
    /// Grams in each batch.
    pub per_batch: Exact,
    /// Whether the cook tastes instead of weighing.
    pub to_taste: bool,
    /// The mass in per cent of the base lines' masses together, where the recipe has base lines
    /// that weigh something: baker's percentages.
    pub of_base: Option<Exact>,
    /// How each batch is weighed; nothing without a site, without a scale, or for 0 g.
    pub weigh: Option<Weighing>,
    /// What helps where the site can't weigh the line as the standard asks.
    pub hints: Vec<Hint>,
}

/// The mass of an ingredient over a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IngredientTotal {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Edible grams.
    pub mass: Exact,
}

/// Plans one or several products at once, with a site's bowls and scales where one is given.
///
/// A component that several products use is made once: its demands are summed before it is split
/// into batches.
pub fn plan(
    book: &CompiledBook,
    demands: &[Demand],
    site: Option<&SiteKit>,
) -> Result<Plan, PlanError> {
    if demands.is_empty() {
        return Err(PlanError::NothingAsked);
    }
    let products: Vec<Product> = demands
        .iter()
        .map(|demand| product(book, demand, demands.len(), site))
        .collect::<Result<_, _>>()?;
    let made = explode(book, &roots(book, &products)?, &nets(&products), site)?;
    let components: Vec<PlannedRecipe> =
        made.iter().map(|(index, making)| planned(book, *index, making, site)).collect();
    let ingredients = totals(&components)?;
    Ok(Plan { products, components, ingredients })
}

fn roots(book: &CompiledBook, products: &[Product]) -> Result<Vec<Root>, PlanError> {
    let root = |product: &Product| {
        let written_batches = matches!(product.target, Target::WrittenBatches(_));
        Ok(Root { recipe: find(book, &product.recipe)?, written_batches })
    };
    products.iter().map(root).collect()
}

fn nets(products: &[Product]) -> Vec<Exact> {
    products.iter().map(|product| product.net.clone()).collect()
}

fn find(book: &CompiledBook, id: &RecipeId) -> Result<RecipeIndex, PlanError> {
    let recipe = || id.clone();
    book.find_recipe(id).ok_or_else(|| match book.refusal(id) {
        Some(problem) => {
            PlanError::RecipeRefused { recipe: recipe(), because: Box::new(problem.clone()) }
        }
        None => PlanError::UnknownRecipe { recipe: recipe() },
    })
}

/// What a demand comes to, among so many.
pub(crate) fn product(
    book: &CompiledBook,
    demand: &Demand,
    demands: usize,
    site: Option<&SiteKit>,
) -> Result<Product, PlanError> {
    let index = find(book, &demand.recipe)?;
    let recipe = book.recipe(index);
    let amount = demand.target.amount();
    if !amount.is_positive() {
        let recipe = demand.recipe.clone();
        return Err(PlanError::NotPositive { recipe, target: demand.target.clone() });
    }
    let each = || {
        let no_pieces = || PlanError::NoPieces { recipe: demand.recipe.clone() };
        recipe.piece_mass.as_ref().ok_or_else(no_pieces)
    };
    let net = match &demand.target {
        Target::Pieces(count) => count * each()?,
        Target::NetMass(mass) => mass.clone(),
        Target::Factor(times) | Target::WrittenBatches(times) => times * &recipe.net,
        Target::OnHand { ingredient, .. } if demands > 1 => {
            return Err(PlanError::OnHandAmongOthers { ingredient: ingredient.clone() });
        }
        Target::OnHand { ingredient, mass } => onhand::net(book, index, ingredient, mass, site)?,
    };
    let pieces = pieces(recipe, &net);
    Ok(Product { recipe: demand.recipe.clone(), target: demand.target.clone(), net, pieces })
}

fn pieces(recipe: &CompiledRecipe, net: &Exact) -> Option<Exact> {
    recipe.piece_mass.as_ref().map(|each| net / each)
}

fn planned(
    book: &CompiledBook,
    index: RecipeIndex,
    making: &Making<Exact>,
    site: Option<&SiteKit>,
) -> PlannedRecipe {
    let recipe = book.recipe(index);
    let input = &recipe.proportional * &making.factor + &recipe.per_batch * &making.batches;
    let scales = site.map_or(&[][..], |site| &site.scales);
    let compiled = book.lines_of(index);
    let lines = compiled.iter().map(|line| planned_line(book, line, making, scales));
    let mut lines: Vec<PlannedLine> = lines.collect();
    let room = capacity(recipe, site).map(|capacity| capacity * &making.batches / &input);
    compare_to_base(&mut lines, compiled);
    advise(book, &mut lines, compiled, scales, room.as_ref());
    let mut warnings = recipe_warnings(recipe, &(&input / &making.batches));
    warnings.extend(
        lines.iter().zip(compiled).filter_map(|(line, as_written)| line_warning(line, as_written)),
    );
    let Making { net, batches, factor } = making.clone();
    let pieces = pieces(recipe, &net);
    let laid = trays::lay(recipe, pieces.as_ref(), site);
    warnings.extend(laid.warnings);
    let (id, trays) = (recipe.id.clone(), laid.loads);
    PlannedRecipe { recipe: id, index, net, pieces, batches, factor, input, lines, trays, warnings }
}

fn planned_line(
    book: &CompiledBook,
    line: &CompiledLine,
    making: &Making<Exact>,
    scales: &[ScaleKit],
) -> PlannedLine {
    let mass = making.line_mass(line);
    let per_batch = &mass / &making.batches;
    let weigh = per_batch.is_positive().then(|| weigh::weigh(scales, &per_batch, &line.tolerance));
    PlannedLine {
        number: line.number,
        uses: book.uses(line.uses),
        mass,
        per_batch,
        to_taste: line.to_taste,
        of_base: None,
        weigh: weigh.flatten(),
        hints: Vec::new(),
    }
}

/// Says of each line how much it is of the base, where there is one.
fn compare_to_base(lines: &mut [PlannedLine], compiled: &[CompiledLine]) {
    let base = lines.iter().zip(compiled).filter(|(_, as_written)| as_written.base);
    let Some(base) = size::sum(base.map(|(line, _)| &line.mass)) else { return };
    for line in lines {
        let share = line.mass.checked_div(&base);
        line.of_base = share.map(|share| share * Exact::from(100)).filter(size::manageable);
    }
}

/// Adds what helps to the lines that the site can't weigh as the standard asks.
fn advise(
    book: &CompiledBook,
    lines: &mut [PlannedLine],
    compiled: &[CompiledLine],
    scales: &[ScaleKit],
    room: Option<&Exact>,
) {
    if lines.iter().all(|line| line.flag().is_none()) {
        return;
    }
    let all = Carriers::new(book, compiled, lines);
    for (at, as_written) in compiled.iter().enumerate() {
        if lines[at].flag().is_none() {
            continue;
        }
        let carriers = all.of(as_written);
        let line = &mut lines[at];
        let around = Circumstances { scales, total: &line.mass, room, carriers: &carriers };
        line.hints = hints(&line.per_batch, &as_written.tolerance, &around);
    }
}

impl PlannedLine {
    /// Why the site can't weigh the line as the standard asks, if it can't.
    pub fn flag(&self) -> Option<WeighFlag> {
        self.weigh.as_ref().and_then(|weigh| weigh.flag)
    }
}

fn line_warning(line: &PlannedLine, as_written: &CompiledLine) -> Option<Warning> {
    if line.to_taste {
        return Some(Warning::ToTaste { line: line.number });
    }
    let Weighing { flag, error, .. } = line.weigh.as_ref()?;
    let (error, tolerance) = (error.clone(), as_written.tolerance.clone());
    Some(Warning::CannotWeigh { line: line.number, flag: (*flag)?, error, tolerance })
}

fn recipe_warnings(recipe: &CompiledRecipe, batch: &Exact) -> Vec<Warning> {
    let too_small = recipe.batch_min.as_ref().filter(|minimum| batch < *minimum);
    let too_small = too_small.map(|minimum| {
        let (batch, minimum) = (batch.clone(), minimum.clone());
        Warning::BelowMinimumBatch { batch, minimum }
    });
    // Above a fifth the recipe is refused before it comes here.
    let limit = Exact::ratio(3, 100).expect("a constant denominator");
    let unexplained = (recipe.unexplained_loss.abs() > limit)
        .then(|| Warning::UnexplainedLoss { share: recipe.unexplained_loss.clone() });
    too_small.into_iter().chain(unexplained).collect()
}

/// Sums every ingredient over the plan.
fn totals(components: &[PlannedRecipe]) -> Result<Vec<IngredientTotal>, PlanError> {
    let mut totals: BTreeMap<&IngredientId, Exact> = BTreeMap::new();
    for component in components {
        for line in &component.lines {
            let Uses::Ingredient(id) = &line.uses else { continue };
            let total = totals.entry(id).or_insert_with(|| Exact::from(0));
            *total = &*total + &line.mass;
            if !size::manageable(total) {
                return Err(PlanError::NumberTooLarge { recipe: component.recipe.clone() });
            }
        }
    }
    let total =
        |(id, mass): (&IngredientId, Exact)| IngredientTotal { ingredient: id.clone(), mass };
    Ok(totals.into_iter().map(total).collect())
}
