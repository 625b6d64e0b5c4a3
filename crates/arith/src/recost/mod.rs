//! Standard unit costs of a whole book, rounded, at the speed of floats and with the digits of
//! exact arithmetic.

mod exact;
mod shock;

use std::collections::HashMap;

use chablon_model::Day;
use chablon_quantity::{Exact, Rounded};
use num_traits::ToPrimitive;

pub use shock::{Shock, gram_cost_changes};

use crate::compile::BookChange;
use crate::compiled::{CompiledBook, IngredientIndex, RecipeIndex, Stamp};
use crate::cost::{PriceBook, edible_gram_costs};
use crate::filter::sheet::Sheet;
use crate::users::{Marks, Users};
use exact::ExactCosts;

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

/// The standard unit costs of all recipes of a book, kept up to date as prices and recipes
/// change.
///
/// A change touches what depends on it and nothing else. Figures come from floats whose bound
/// leaves no other digits, and from exact arithmetic where it does. Given another book than the
/// one that it was made for, it starts anew from that.
#[derive(Clone, Debug)]
pub struct Recost {
    /// Of the book whose figures these are.
    stamp: Stamp,
    /// What an edible gram of each ingredient costs, where that is known.
    costs: Vec<Option<Exact>>,
    sheet: Sheet,
    users: Users,
    /// In units of the last decimal, by recipe.
    per_gram: Vec<i64>,
    /// The same; nothing for a recipe that doesn't yield pieces.
    per_piece: Vec<Option<i64>>,
    /// The figures that don't fit beside, or can't be written out at all.
    odd: HashMap<usize, Option<(Rounded, Option<Rounded>)>>,
    exact: ExactCosts,
    /// Whether every price below an ingredient or a recipe is known, ingredients first.
    complete: Vec<bool>,
    /// How many prices were ever missing: 0 as long as nothing can be incomplete.
    gaps: usize,
    redone: usize,
}

/// Computes the standard unit cost of every recipe with the prices of a day.
pub fn recost(book: &CompiledBook, prices: &PriceBook<'_>, day: Day) -> Recost {
    Recost::new(book, edible_gram_costs(book, prices, day))
}

impl Recost {
    /// The unit costs that follow from what an edible gram of each ingredient costs, in the order
    /// of [`CompiledBook::ingredients`]. What is left out isn't known.
    pub fn new(book: &CompiledBook, mut costs: Vec<Option<Exact>>) -> Self {
        let (ingredients, recipes) = (book.ingredients.len(), book.recipes.len());
        costs.resize(ingredients, None);
        let mut sheet = Sheet::new(book);
        for (at, cost) in costs.iter().enumerate() {
            sheet.set(at, cost.as_ref());
        }
        let users = Users::new(ingredients, recipes, |one| sheet.columns(one).iter().copied());
        let mut recost = Self {
            stamp: book.stamp.clone(),
            costs,
            sheet,
            users,
            per_gram: vec![0; recipes],
            per_piece: vec![None; recipes],
            odd: HashMap::new(),
            exact: ExactCosts::default(),
            complete: vec![true; ingredients + recipes],
            gaps: 0,
            redone: 0,
        };
        recost.refresh(book);
        recost
    }

    /// Computes every recipe anew.
    pub fn refresh(&mut self, book: &CompiledBook) {
        if self.stamp != book.stamp {
            *self = Self::new(book, std::mem::take(&mut self.costs));
            return;
        }
        self.redone = 0;
        self.exact.clear();
        self.odd.clear();
        self.gaps = self.costs.iter().filter(|cost| cost.is_none()).count();
        self.complete.fill(true);
        for (complete, cost) in self.complete.iter_mut().zip(&self.costs) {
            *complete = cost.is_some();
        }
        for recipe in 0..self.per_gram.len() {
            self.evaluate(book, recipe);
        }
    }

    /// Changes what an edible gram of some ingredients costs, and computes what depends on them.
    /// Returns the recipes that do, in making order.
    pub fn change(
        &mut self,
        book: &CompiledBook,
        changes: &[(IngredientIndex, Option<Exact>)],
    ) -> Vec<RecipeIndex> {
        let mut marks = Marks::new(self.per_gram.len());
        for (IngredientIndex(at), cost) in changes {
            let Some(slot) = self.costs.get_mut(*at) else { continue };
            slot.clone_from(cost);
            self.sheet.set(*at, cost.as_ref());
            self.gaps += usize::from(self.complete[*at] && cost.is_none());
            self.complete[*at] = cost.is_some();
            marks.add_all(self.users.of(*at));
        }
        if self.stamp != book.stamp {
            return self.start_anew(book);
        }
        self.touch(book, marks, false)
    }

    /// Follows a change of the book, and computes what depends on it. Returns the recipes that
    /// do, in making order.
    pub fn follow(&mut self, book: &CompiledBook, change: &BookChange) -> Vec<RecipeIndex> {
        if self.stamp != change.from || book.stamp != change.to {
            return self.start_anew(book);
        }
        self.stamp = change.to.clone();
        let mut marks = Marks::new(self.per_gram.len());
        let mut other_lines = false;
        for &RecipeIndex(recipe) in &change.recipes {
            let before = self.sheet.columns(recipe).to_vec();
            self.sheet.put(book, recipe);
            other_lines |= before != self.sheet.columns(recipe);
            marks.add(recipe);
        }
        if other_lines {
            let columns = |recipe| self.sheet.columns(recipe).iter().copied();
            self.users = Users::new(self.costs.len(), self.per_gram.len(), columns);
        }
        self.touch(book, marks, true)
    }

    fn start_anew(&mut self, book: &CompiledBook) -> Vec<RecipeIndex> {
        *self = Self::new(book, std::mem::take(&mut self.costs));
        (0..book.recipes.len()).map(RecipeIndex).collect()
    }

    /// Computes the marked recipes and everything that uses them; their bounds too where lines
    /// may have changed.
    fn touch(&mut self, book: &CompiledBook, mut marks: Marks, lines: bool) -> Vec<RecipeIndex> {
        self.redone = 0;
        let mut touched = Vec::new();
        while let Some(recipe) = marks.next() {
            marks.add_all(self.users.of(self.costs.len() + recipe));
            self.exact.forget(recipe);
            if !self.odd.is_empty() {
                self.odd.remove(&recipe);
            }
            touched.push(RecipeIndex(recipe));
        }
        for &RecipeIndex(recipe) in &touched {
            if lines {
                self.sheet.bound(recipe);
            }
            self.evaluate(book, recipe);
        }
        touched
    }

    /// The standard unit cost of a recipe, or nothing where it is too long to compute with.
    pub fn unit_cost(&self, RecipeIndex(recipe): RecipeIndex) -> Option<UnitCost> {
        let figure = |units| Rounded::from_small(units, DECIMALS);
        let (per_gram, per_piece) = if let Some(odd) = self.odd.get(&recipe) {
            odd.clone()?
        } else {
            (figure(*self.per_gram.get(recipe)?), self.per_piece[recipe].map(figure))
        };
        let complete = self.complete[self.costs.len() + recipe];
        Some(UnitCost { per_gram, per_piece, complete })
    }

    /// What a net gram of a recipe costs exactly, or nothing where that is too long to compute
    /// with.
    pub fn exact_per_gram(&mut self, book: &CompiledBook, recipe: RecipeIndex) -> Option<Exact> {
        if self.stamp != book.stamp {
            self.start_anew(book);
        }
        self.exact.per_gram(book, &self.costs, recipe)
    }

    /// How many recipes the last computation had to do exactly.
    pub fn redone(&self) -> usize {
        self.redone
    }

    #[inline]
    fn evaluate(&mut self, book: &CompiledBook, recipe: usize) {
        let units = self.sheet.evaluate(recipe);
        self.per_gram[recipe] = units.per_gram;
        self.per_piece[recipe] = units.per_piece;
        if !units.decided {
            self.redo(book, recipe);
        }
        if self.gaps > 0 {
            let mut columns = self.sheet.columns(recipe).iter();
            let complete = columns.all(|&column| self.complete[column as usize]);
            self.complete[self.costs.len() + recipe] = complete;
        }
    }

    fn redo(&mut self, book: &CompiledBook, recipe: usize) {
        self.redone += 1;
        let Some(exact) = self.exact.per_gram(book, &self.costs, RecipeIndex(recipe)) else {
            self.odd.insert(recipe, None);
            return;
        };
        let per_gram = exact.round(DECIMALS);
        let piece_mass = book.recipes[recipe].piece_mass.as_ref();
        let per_piece = piece_mass.map(|mass| (exact * mass).round(DECIMALS));
        let small = |figure: &Rounded| figure.units().to_i64();
        match (small(&per_gram), per_piece.as_ref().map(small)) {
            (Some(gram), None) => self.per_gram[recipe] = gram,
            (Some(gram), Some(Some(piece))) => {
                self.per_gram[recipe] = gram;
                self.per_piece[recipe] = Some(piece);
            }
            _ => {
                self.odd.insert(recipe, Some((per_gram, per_piece)));
            }
        }
    }
}
