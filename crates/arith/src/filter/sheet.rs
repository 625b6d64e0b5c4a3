//! Standard unit costs of a whole book in floats, with bounds known before any price is.
//!
//! The unit cost of a recipe is `c = (sum of m_i c_i) / Y0` over its lines, with `c_i` the cost
//! of a gram of what a line takes. Every mass, yield and price is at least 0.
//!
//! # The proof
//!
//! Say that a double `v` is *k-close* to a real `x` where `(1 - u)^k <= v / x <= (1 - u)^-k`, or
//! where both are 0. Then, as long as nothing over- or underflows:
//!
//! - a constant, by the conversion's proof, is 4-close: `1 + u <= (1 - u)^-1`, three roundings
//!   are 3-close, and the cut to 120 bits is far less than one more;
//! - a product of a `j`-close and a `k`-close one is `(j + k + 1)`-close;
//! - a sum of `n` terms *of one sign*, each `k`-close, is `(k + n)`-close in whatever order it is
//!   taken: each term passes through at most `n` roundings.
//!
//! So with `n` lines whose costs are at most `k`-close, the food of a batch is `(k + 5 + n)`-close
//! and, times the constant `1 / Y0`, the unit cost is `(k + 10 + n)`-close: a number that follows
//! from the recipes alone. From `v / x` in that interval follows `|x - v| <= v ((1 - u)^-k - 1)`,
//! which for `k <= 2^40` is at most `1.01 k u v`; that factor is [`Sheet::bound`]'s, taken with 1.02
//! to make up for the roundings of its use.
//!
//! Nothing over- or underflows: constants and unit costs are 0 or in `2^-200..2^200`, and NaN
//! otherwise ([`in_range`]). A product is 0 or in `2^-400..2^400`, a sum of at most `2^32` of them
//! below `2^432`, and times a constant between `2^-600` and `2^632`. A NaN is never decided.

use super::{U, nearest, power_of_two, round_scaled};
use std::ops::Range;

use chablon_quantity::Exact;

use crate::compiled::{CompiledBook, CompiledLine, Used};

/// Unit costs are shown to 0.0001 of the currency.
const SCALE: f64 = 1e4;
/// The closeness of a constant, in roundings.
const CONSTANT: u64 = 4;
/// The closeness that a recipe adds to that of its lines, besides one for each line.
const RECIPE: u64 = 10;
/// From here on the bound's linear form isn't proven.
const TOO_MANY: u64 = 1 << 40;

/// A book's lines in flat arrays: ingredients and recipes share one row of values, ingredients
/// first, so that a line is an index and a mass.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    ingredients: usize,
    recipes: Vec<Row>,
    /// What each line takes.
    columns: Vec<u32>,
    /// Grams of each line in a written batch.
    masses: Vec<f64>,
    /// The cost of a gram: edible of an ingredient, net of a recipe.
    values: Vec<f64>,
    /// How close each value is, in roundings.
    closeness: Vec<u64>,
}

/// Where a recipe's lines stand, and what its unit costs are taken with.
#[derive(Clone, Copy, Debug)]
struct Row {
    start: u32,
    end: u32,
    /// `1 / Y0`
    per_net: f64,
    /// `1 / n0`, or 0 where it doesn't yield pieces.
    per_piece: f64,
    /// The largest relative error of either unit cost.
    bound: f64,
}

impl Row {
    #[inline]
    fn lines(&self) -> Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A recipe's unit costs in units of the last decimal shown.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Units {
    pub(crate) per_gram: i64,
    /// Nothing for a recipe that doesn't yield pieces.
    pub(crate) per_piece: Option<i64>,
    /// Whether the bounds decide both.
    pub(crate) decided: bool,
}

/// A value as it is, if it is within the range that the proof asks for.
#[inline]
fn in_range(value: f64) -> f64 {
    const LEAST: f64 = power_of_two(-200);
    const MOST: f64 = power_of_two(200);
    if value == 0.0 || (LEAST..=MOST).contains(&value) { value } else { f64::NAN }
}

fn index(at: usize) -> u32 {
    u32::try_from(at).expect("a book of 2^32 lines is larger than memory")
}

fn constant(value: &Exact) -> f64 {
    in_range(nearest(value))
}

fn inverse(value: &Exact) -> f64 {
    constant(&(Exact::from(1) / value))
}

/// A line that a unit cost counts: a component of which nothing is weighed isn't made for it.
fn counts(line: &CompiledLine) -> bool {
    matches!(line.uses, Used::Ingredient(_)) || line.mass.is_positive()
}

impl Sheet {
    /// The lines of a book.
    pub(crate) fn new(book: &CompiledBook) -> Self {
        let (ingredients, recipes) = (book.ingredients.len(), book.recipes.len());
        let empty = Row { start: 0, end: 0, per_net: 0.0, per_piece: 0.0, bound: 0.0 };
        let mut sheet = Self {
            ingredients,
            recipes: vec![empty; recipes],
            columns: Vec::with_capacity(book.lines.len()),
            masses: Vec::with_capacity(book.lines.len()),
            values: vec![0.0; ingredients + recipes],
            closeness: vec![CONSTANT; ingredients + recipes],
        };
        for recipe in 0..recipes {
            sheet.put(book, recipe);
            sheet.bound(recipe);
        }
        sheet
    }

    /// Takes over the figures of a recipe: its lines where the former ones stand, or at the end
    /// where they are more.
    pub(crate) fn put(&mut self, book: &CompiledBook, recipe: usize) {
        let compiled = &book.recipes[recipe];
        let lines: Vec<&CompiledLine> =
            book.lines[compiled.lines.clone()].iter().filter(|line| counts(line)).collect();
        let column = |line: &&CompiledLine| match line.uses {
            Used::Ingredient(one) => index(one.0),
            Used::Component(one) => index(self.ingredients + one.0),
        };
        let mut row = self.recipes[recipe];
        if lines.len() > row.lines().len() {
            row.start = index(self.columns.len());
            self.columns.resize(self.columns.len() + lines.len(), 0);
            self.masses.resize(self.columns.len(), 0.0);
        }
        row.end = row.start + index(lines.len());
        for (at, line) in row.lines().zip(&lines) {
            self.columns[at] = column(line);
            self.masses[at] = constant(&line.mass);
        }
        row.per_net = inverse(&compiled.net);
        row.per_piece = compiled.pieces.as_ref().map_or(0.0, inverse);
        self.recipes[recipe] = row;
    }

    /// Bounds the error of a recipe's unit costs by how close those are that they are taken from.
    pub(crate) fn bound(&mut self, recipe: usize) {
        let columns = self.columns(recipe);
        let worst = columns.iter().map(|&column| self.closeness[column as usize]).max();
        let own = columns.len() as u64 + RECIPE;
        let close = worst.unwrap_or_default().saturating_add(own).min(TOO_MANY);
        self.closeness[self.ingredients + recipe] = close;
        self.recipes[recipe].bound =
            if close < TOO_MANY { 1.02 * U * close as f64 } else { f64::NAN };
    }

    /// Sets what an edible gram of an ingredient costs; 0 where it isn't known, so that what
    /// builds on it is a lower bound.
    pub(crate) fn set(&mut self, ingredient: usize, cost: Option<&Exact>) {
        self.values[ingredient] = cost.map_or(0.0, constant);
    }

    /// What the lines of a recipe take, ingredients first, then recipes.
    pub(crate) fn columns(&self, recipe: usize) -> &[u32] {
        &self.columns[self.recipes[recipe].lines()]
    }

    /// Computes the unit costs of a recipe from those of what it takes.
    #[inline]
    pub(crate) fn evaluate(&mut self, recipe: usize) -> Units {
        let row = self.recipes[recipe];
        let lines = row.lines();
        let columns = &self.columns[lines.clone()];
        let food: f64 = columns
            .iter()
            .zip(&self.masses[lines])
            .map(|(&column, mass)| mass * self.values[column as usize])
            .sum();
        let Row { per_net, per_piece, bound, .. } = row;
        let per_gram = in_range(food * per_net);
        self.values[self.ingredients + recipe] = per_gram;
        let round = |cost: f64| round_scaled(cost * SCALE, cost * SCALE * bound);
        let (per_gram, gram_decided) = round(per_gram);
        let (piece, piece_decided) = round(food * per_piece);
        // NaN where the constant is out of range, which isn't 0 either.
        let per_piece = (per_piece != 0.0).then_some(piece);
        Units { per_gram, per_piece, decided: gram_decided & piece_decided }
    }
}
