//! From a library to a compiled book, with every problem on the way.

mod mass;
mod order;
mod refusal;
mod sheet;
mod update;
mod yields;

use chablon_model::{
    Batch, EquipmentClass, Ingredient, Labour, Nutrient, Outline, Recipe, RecipeId, Yield,
};
use chablon_quantity::{Exact, Grams, GramsPerMillilitre, Seconds};

use crate::compiled::{
    CompiledBook, CompiledIngredient, CompiledLine, CompiledRecipe, CompiledStep, IngredientIndex,
    RecipeIndex,
};
use crate::{Fault, IngredientPart, Library, Place, Problem, RecipePart, Severity};
use order::Graph;

pub use update::{BookChange, MustCompile};

type Faults = Vec<(RecipePart, Fault)>;

/// Resolves every recipe once.
///
/// All problems are reported, ordered by place: ingredients, then recipes by id. A recipe with an
/// error is left out of the book, and so is what uses it; the others stand.
pub fn compile(library: &Library<'_>) -> (CompiledBook, Vec<Problem>) {
    let graph = Graph::new(library);
    let mut compiler = Compiler { library, book: CompiledBook::default(), problems: Vec::new() };
    library.ingredients.values().for_each(|one| compiler.ingredient(one));
    let recipes: Vec<&Recipe> = library.recipes.values().copied().collect();
    let order = graph.making_order();
    let mut ordered = vec![false; recipes.len()];
    for &number in &order {
        ordered[number] = true;
        compiler.recipe(recipes[number]);
    }
    // What stands in a loop, or uses one, still gets its own problems reported.
    let unordered = recipes.iter().zip(&ordered).filter(|(_, ordered)| !**ordered);
    unordered.for_each(|(recipe, _)| compiler.recipe(recipe));
    refusal::report(&mut compiler, &graph, &recipes, &order);
    compiler.finish()
}

struct Compiler<'a> {
    library: &'a Library<'a>,
    book: CompiledBook,
    problems: Vec<Problem>,
}

impl Compiler<'_> {
    fn ingredient(&mut self, one: &Ingredient) {
        let before = self.problems.len();
        let mut positive = |part, what, value: Option<Exact>| {
            if let Some(value) = value.as_ref().filter(|value| !value.is_positive()) {
                let fault = Fault::NotPositive { what, value: value.clone() };
                self.problems
                    .push(Problem { place: Place::Ingredient(one.id.clone(), part), fault });
            }
            value
        };
        let density = one.density.map(|density| density.quantity().grams_per_millilitre());
        let piece_mass = one.piece_mass.map(|mass| mass.quantity().grams());
        let edible_yield = one.edible_yield.map(|share| share.quantity().0);
        let density = positive(IngredientPart::Density, "the density", density);
        let piece_mass = positive(IngredientPart::PieceMass, "the piece mass", piece_mass);
        let edible_yield = positive(IngredientPart::EdibleYield, "the edible yield", edible_yield);
        if self.problems.len() > before {
            return;
        }
        let edible_yield = edible_yield.unwrap_or_else(|| Exact::from(1));
        let (id, dry) = (one.id.clone(), is_dry(one));
        let index = IngredientIndex(self.book.ingredients.len());
        self.book.ingredient_index.insert(id.clone(), index);
        let compiled = CompiledIngredient { id, density, piece_mass, edible_yield, dry };
        self.book.ingredients.push(compiled);
    }

    fn recipe(&mut self, recipe: &Recipe) {
        let mut faults = Vec::new();
        let compiled = self.compiled(recipe, &mut faults);
        let problem = |(part, fault)| {
            let place = Place::Recipe(recipe.id.clone(), part);
            Problem { place, fault }
        };
        let own: Vec<Problem> = faults.into_iter().map(problem).collect();
        let error = own.iter().find(|problem| problem.severity() == Severity::Error);
        match (error, compiled) {
            (Some(problem), _) => {
                self.book.refused.insert(recipe.id.clone(), problem.clone());
            }
            (None, Some((compiled, lines))) => self.add(compiled, lines),
            // A component can't be computed, which is reported when all recipes are known.
            (None, None) => {}
        }
        self.problems.extend(own);
    }

    fn add(&mut self, mut recipe: CompiledRecipe, lines: Vec<CompiledLine>) {
        let start = self.book.lines.len();
        self.book.lines.extend(lines);
        recipe.lines = start..self.book.lines.len();
        let index = RecipeIndex(self.book.recipes.len());
        self.book.recipe_index.insert(recipe.id.clone(), index);
        self.book.recipes.push(recipe);
    }

    /// A recipe's figures, or nothing where a fault or a refused component stands in the way.
    fn compiled(
        &self,
        recipe: &Recipe,
        faults: &mut Faults,
    ) -> Option<(CompiledRecipe, Vec<CompiledLine>)> {
        let density = density(recipe, faults);
        let (batch_max, batch_min) = batch(&recipe.batch, faults);
        let lines = mass::lines(self, recipe, faults);
        let losses = yields::losses(recipe, faults);
        let declared = yields::declared(recipe, faults);
        let makes_pieces = matches!(recipe.yields, Some(Yield::Pieces { .. } | Yield::Sheet(_)));
        let steps = steps(recipe, makes_pieces, faults);
        let lines = lines?;
        let balance = yields::balance(&lines, losses?, declared?, faults)?;
        faults.extend(balance.unexplained().map(|fault| (RecipePart::Yield, fault)));
        let compiled = CompiledRecipe {
            id: recipe.id.clone(),
            lines: 0..0,
            proportional: balance.proportional,
            per_batch: balance.per_batch,
            kept: balance.kept,
            factor: balance.factor,
            residue: balance.residue,
            net: balance.net,
            pieces: balance.pieces,
            piece_mass: balance.piece_mass,
            density,
            unexplained_loss: balance.unexplained_loss,
            batch_max,
            batch_min,
            equipment: recipe.batch.equipment.clone(),
            occupies: occupies(recipe),
            outline: outline(recipe),
            steps,
        };
        Some((compiled, lines))
    }

    fn finish(mut self) -> (CompiledBook, Vec<Problem>) {
        self.problems.sort_by(|a, b| a.place.cmp(&b.place));
        self.book.index_users();
        (self.book, self.problems)
    }

    fn refuse(&mut self, id: &RecipeId, fault: Fault) {
        let problem = Problem { place: Place::Recipe(id.clone(), RecipePart::Whole), fault };
        self.book.refused.entry(id.clone()).or_insert_with(|| problem.clone());
        self.problems.push(problem);
    }
}

/// Whether an ingredient states so little water and fat that a powder can be mixed into it.
fn is_dry(one: &Ingredient) -> bool {
    let at_most = |nutrient, most: u8| {
        let stated = one.content.0.get(&nutrient);
        stated.is_some_and(|mass| mass.quantity().grams() <= Exact::from(most))
    };
    at_most(Nutrient::Water, 15) && at_most(Nutrient::Fat, 25)
}

/// The equipment of the batch and of the steps, each class once.
fn occupies(recipe: &Recipe) -> Vec<EquipmentClass> {
    let of_steps = recipe.steps.iter().filter_map(|step| step.equipment.as_ref());
    let mut all: Vec<EquipmentClass> = Vec::new();
    for class in recipe.batch.equipment.iter().chain(of_steps) {
        if !all.contains(class) {
            all.push(class.clone());
        }
    }
    all
}

/// What one piece takes of a tray, where that is stated.
fn outline(recipe: &Recipe) -> Option<Outline> {
    match recipe.yields.as_ref()? {
        Yield::Mass(_) => None,
        Yield::Pieces { outline, .. } => *outline,
        Yield::Sheet(sheet) => Some(sheet.piece),
    }
}

fn density(recipe: &Recipe, faults: &mut Faults) -> Option<Exact> {
    let value = recipe.density?.quantity().grams_per_millilitre();
    if !value.is_positive() {
        let fault = Fault::NotPositive { what: "the density", value: value.clone() };
        faults.push((RecipePart::Density, fault));
    }
    Some(value)
}

fn batch(batch: &Batch, faults: &mut Faults) -> (Option<Exact>, Option<Exact>) {
    let mut add = |fault| faults.push((RecipePart::Batch, fault));
    let max = batch.max.map(|mass| mass.quantity().grams());
    let min = batch.min.map(|mass| mass.quantity().grams());
    if let Some(value) = max.clone().filter(|max| !max.is_positive()) {
        add(Fault::NotPositive { what: "the largest batch", value });
    }
    if let Some(value) = min.clone().filter(Exact::is_negative) {
        add(Fault::Negative { what: "the least batch", value });
    }
    if let Some((min, max)) = min.clone().zip(max.clone()).filter(|(min, max)| min > max) {
        add(Fault::BatchBounds { min, max });
    }
    (max, min)
}

/// The steps with hands-on time.
fn steps(recipe: &Recipe, makes_pieces: bool, faults: &mut Faults) -> Vec<CompiledStep> {
    let mut compiled = Vec::new();
    for (at, step) in recipe.steps.iter().enumerate() {
        let Some(active) = step.active.map(|time| time.quantity().seconds()) else { continue };
        let (id, labour) = (step.id.clone(), step.labour);
        if active.is_negative() {
            let fault = Fault::Negative { what: "the hands-on time", value: active };
            faults.push((RecipePart::Step(at), fault));
            continue;
        }
        if labour == Labour::PerPiece && !makes_pieces {
            faults.push((RecipePart::Step(at), Fault::LabourNeedsPieces { step: id.clone() }));
        }
        if active.is_positive() {
            compiled.push(CompiledStep { id, active, labour });
        }
    }
    compiled
}
