//! Standard unit costs of a whole book, rounded, at the speed of floats and with the digits of
//! exact arithmetic.

use std::collections::{BTreeSet, HashMap};

use chablon_model::Day;
use chablon_quantity::{Exact, Rounded};
use num_traits::ToPrimitive;

use crate::compiled::{CompiledBook, IngredientIndex, RecipeIndex, Used};
use crate::cost::{PriceBook, edible_gram_costs};
use crate::filter::sheet::Sheet;
use crate::size;
use crate::users::{Marks, Users};

/// Unit costs are shown to 0.0001 of the currency.
const DECIMALS: u32 = 4;

/// A recipe's standard unit cost, rounded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitCost {
    /// By the net gram.
    pub per_gram: Rounded,
    /// By the piece, where the recipe yields pieces.
    pub per_piece: Option<Rounded>,
    /// Whether every price is known; a lower bound otherwise.
    pub complete: bool,
}

/// The standard unit costs of all recipes of a book, kept up to date as prices change.
///
/// A change of prices touches what depends on them and nothing else. Figures come from floats
/// whose bound leaves no other digits, and from exact arithmetic where it does.
#[derive(Clone, Debug)]
pub struct Recost<'a> {
    book: &'a CompiledBook,
    /// What an edible gram of each ingredient costs, where that is known.
    costs: Vec<Option<Exact>>,
    sheet: Sheet,
    users: Users,
    /// In units of the last decimal, by recipe.
    per_gram: Vec<i64>,
    /// The same; 0 for a recipe that doesn't yield pieces.
    per_piece: Vec<i64>,
    /// The figures that don't fit beside, or can't be written out at all.
    odd: HashMap<usize, Option<(Rounded, Option<Rounded>)>>,
    /// Exact unit costs by the gram that undecided figures asked for; nothing where one is too
    /// long to compute with.
    exact: HashMap<usize, Option<Exact>>,
    /// Whether every price below an ingredient or a recipe is known, ingredients first.
    complete: Vec<bool>,
    /// How many prices were ever missing: 0 as long as nothing can be incomplete.
    gaps: usize,
    redone: usize,
}

/// Computes the standard unit cost of every recipe with the prices of a day.
pub fn recost<'a>(book: &'a CompiledBook, prices: &PriceBook<'_>, day: Day) -> Recost<'a> {
    Recost::new(book, edible_gram_costs(book, prices, day))
}

impl<'a> Recost<'a> {
    /// The unit costs that follow from what an edible gram of each ingredient costs, in the order
    /// of [`CompiledBook::ingredients`]. What is left out isn't known.
    pub fn new(book: &'a CompiledBook, mut costs: Vec<Option<Exact>>) -> Self {
        let (ingredients, recipes) = (book.ingredients.len(), book.recipes.len());
        costs.resize(ingredients, None);
        let mut sheet = Sheet::new(book);
        for (at, cost) in costs.iter().enumerate() {
            sheet.set(at, cost.as_ref());
        }
        let users = Users::new(ingredients, recipes, |recipe| sheet.columns(recipe));
        let mut recost = Self {
            book,
            costs,
            sheet,
            users,
            per_gram: vec![0; recipes],
            per_piece: vec![0; recipes],
            odd: HashMap::new(),
            exact: HashMap::new(),
            complete: vec![true; ingredients + recipes],
            gaps: 0,
            redone: 0,
        };
        recost.refresh();
        recost
    }

    /// Computes every recipe anew.
    pub fn refresh(&mut self) {
        self.redone = 0;
        self.exact.clear();
        self.odd.clear();
        for recipe in 0..self.book.recipes.len() {
            self.evaluate(recipe);
        }
        self.complete.fill(true);
        self.gaps = self.costs.iter().filter(|cost| cost.is_none()).count();
        if self.gaps > 0 {
            for (at, cost) in self.costs.iter().enumerate() {
                self.complete[at] = cost.is_some();
            }
            (0..self.book.recipes.len()).for_each(|recipe| self.look_for_gaps(recipe));
        }
    }

    /// Changes what an edible gram of some ingredients costs, and computes what depends on them.
    /// Returns the recipes that do, in making order.
    pub fn change(&mut self, changes: &[(IngredientIndex, Option<Exact>)]) -> Vec<RecipeIndex> {
        self.redone = 0;
        let mut marks = Marks::new(self.book.recipes.len());
        for (IngredientIndex(at), cost) in changes {
            self.sheet.set(*at, cost.as_ref());
            self.costs[*at].clone_from(cost);
            if self.complete[*at] && cost.is_none() {
                self.gaps += 1;
            }
            self.complete[*at] = cost.is_some();
            marks.add_all(self.users.of(*at));
        }
        let mut touched = Vec::new();
        let ingredients = self.book.ingredients.len();
        while let Some(recipe) = marks.next() {
            marks.add_all(self.users.of(ingredients + recipe));
            forget(&mut self.exact, recipe);
            forget(&mut self.odd, recipe);
            touched.push(RecipeIndex(recipe));
        }
        for &RecipeIndex(recipe) in &touched {
            self.evaluate(recipe);
            if self.gaps > 0 {
                self.look_for_gaps(recipe);
            }
        }
        touched
    }

    /// The standard unit cost of a recipe, or nothing where it is too long to compute with.
    pub fn unit_cost(&self, RecipeIndex(recipe): RecipeIndex) -> Option<UnitCost> {
        let figures = match self.odd.get(&recipe) {
            Some(odd) => odd.clone()?,
            None => self.figures(recipe),
        };
        let complete = self.complete[self.book.ingredients.len() + recipe];
        Some(UnitCost { per_gram: figures.0, per_piece: figures.1, complete })
    }

    fn figures(&self, recipe: usize) -> (Rounded, Option<Rounded>) {
        let per_piece = Rounded::from_small(self.per_piece[recipe], DECIMALS);
        let yields_pieces = self.book.recipes[recipe].pieces.is_some();
        let per_gram = Rounded::from_small(self.per_gram[recipe], DECIMALS);
        (per_gram, yields_pieces.then_some(per_piece))
    }

    /// What a net gram of a recipe costs exactly, or nothing where that is too long to compute
    /// with.
    pub fn exact_per_gram(&mut self, RecipeIndex(recipe): RecipeIndex) -> Option<Exact> {
        let mut open = BTreeSet::from([recipe]);
        let mut needed = Vec::new();
        while let Some(recipe) = open.pop_last() {
            if !self.exact.contains_key(&recipe) {
                needed.push(recipe);
                open.extend(self.components(recipe));
            }
        }
        for recipe in needed.into_iter().rev() {
            let cost = self.computed(recipe);
            self.exact.insert(recipe, cost);
        }
        self.exact.get(&recipe).cloned().flatten()
    }

    /// How many recipes the last computation had to do exactly.
    pub fn redone(&self) -> usize {
        self.redone
    }

    fn components(&self, recipe: usize) -> impl Iterator<Item = usize> {
        let lines = self.book.lines_of(RecipeIndex(recipe)).iter();
        lines.filter(|line| line.mass.is_positive()).filter_map(|line| match line.uses {
            Used::Component(index) => Some(index.0),
            Used::Ingredient(_) => None,
        })
    }

    /// The exact unit cost of a recipe whose components have theirs.
    fn computed(&self, recipe: usize) -> Option<Exact> {
        let mut food = Exact::from(0);
        for line in self.book.lines_of(RecipeIndex(recipe)) {
            let cost = match line.uses {
                _ if !line.mass.is_positive() => continue,
                Used::Ingredient(index) => self.costs[index.0].as_ref(),
                Used::Component(index) => Some(self.exact.get(&index.0)?.as_ref()?),
            };
            food = cost.map_or(food.clone(), |cost| &food + cost * &line.mass);
            if !size::manageable(&food) {
                return None;
            }
        }
        Some(food / &self.book.recipes[recipe].net).filter(size::manageable)
    }

    fn evaluate(&mut self, recipe: usize) {
        let units = self.sheet.evaluate(recipe);
        self.per_gram[recipe] = units.per_gram;
        self.per_piece[recipe] = units.per_piece;
        if !units.decided {
            self.redo(recipe);
        }
    }

    fn redo(&mut self, recipe: usize) {
        self.redone += 1;
        let Some(exact) = self.exact_per_gram(RecipeIndex(recipe)) else {
            self.odd.insert(recipe, None);
            return;
        };
        let per_gram = exact.round(DECIMALS);
        let piece_mass = self.book.recipes[recipe].piece_mass.as_ref();
        let per_piece = piece_mass.map(|mass| (exact * mass).round(DECIMALS));
        let small = |figure: &Rounded| figure.units().to_i64();
        match (small(&per_gram), per_piece.as_ref().map_or(Some(0), small)) {
            (Some(gram), Some(piece)) => {
                self.per_gram[recipe] = gram;
                self.per_piece[recipe] = piece;
            }
            _ => {
                self.odd.insert(recipe, Some((per_gram, per_piece)));
            }
        }
    }

    fn look_for_gaps(&mut self, recipe: usize) {
        let mut columns = self.sheet.columns(recipe).iter();
        let complete = columns.all(|&column| self.complete[column as usize]);
        self.complete[self.book.ingredients.len() + recipe] = complete;
    }
}

/// Takes an entry out; hashing is what costs, and nearly always there is none.
fn forget<V>(map: &mut HashMap<usize, V>, key: usize) {
    if !map.is_empty() {
        map.remove(&key);
    }
}
