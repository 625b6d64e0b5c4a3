//! What is measured, made ready: each function here returns one job to do again and again.

use std::hint::black_box;

use chablon_arith::{FoodCost, RecipeIndex};
use chablon_quantity::Exact;

use crate::flat::{FlatBook, Food, float};
use crate::piece::{GroupBook, Piece};

/// A finished piece of 60 leaf lines on four levels: its ingredient masses and what they cost.
pub(crate) mod sixty_leaves {
    use super::{Exact, Food, FoodCost, Piece, black_box};

    /// Masses to 0.001 g, costs and their total to 0.01, all of them exactly rounded.
    pub(crate) fn exactly_rounded() -> impl FnMut() -> FoodCost {
        let piece = Piece::get();
        let explosion = piece.explosion();
        let costs = piece.gram_costs(&explosion);
        let mut demands = piece.demands().into_iter().cycle();
        move || {
            let net = demands.next().unwrap();
            explosion.food_cost(black_box(std::slice::from_ref(&net)), &costs).unwrap()
        }
    }

    /// The masses in exact ratios throughout.
    pub(crate) fn exact_ratios() -> impl FnMut() -> Vec<Exact> {
        let piece = Piece::get();
        let explosion = piece.explosion();
        let mut demands = piece.demands().into_iter().cycle();
        move || {
            let net = demands.next().unwrap();
            explosion.exact_masses(black_box(std::slice::from_ref(&net))).unwrap()
        }
    }

    /// Plain floats from the amounts as authored, converted on the way, nothing rounded.
    pub(crate) fn flat() -> impl FnMut() -> Food {
        let flat = Piece::get().flat();
        let mut demands = (1..=64).cycle();
        move || flat.food_cost(black_box(f64::from(demands.next().unwrap())))
    }

    /// The same, then rounded as floats round.
    pub(crate) fn flat_rounded() -> impl FnMut() -> Food {
        let flat = Piece::get().flat();
        let mut demands = (1..=64).cycle();
        move || flat.rounded(black_box(f64::from(demands.next().unwrap())))
    }
}

/// The standard unit costs of a whole book.
pub(crate) mod whole_book {
    use super::{FlatBook, GroupBook};

    /// By the gram and by the piece to 0.0001, all of them exactly rounded.
    pub(crate) fn exactly_rounded(book: &GroupBook) -> impl FnMut() {
        let mut recost = book.recost();
        move || recost.refresh(&book.compiled)
    }

    /// Plain floats over the same arrays, nothing rounded.
    pub(crate) fn flat(book: &GroupBook) -> impl FnMut() {
        let mut flat = FlatBook::new(book);
        move || flat.all()
    }
}

/// One changed price, which some 500 recipes depend on.
pub(crate) mod one_price {
    use super::{FlatBook, GroupBook, RecipeIndex, float, prices};

    /// Finds what depends on it and rounds its unit costs exactly.
    pub(crate) fn exactly_rounded(book: &GroupBook) -> impl FnMut() -> Vec<RecipeIndex> {
        let mut recost = book.recost();
        let index = book.typical_ingredient();
        let mut prices = prices();
        move || recost.change(&book.compiled, &[(index, prices.next())])
    }

    /// Plain floats over the touched part, which is known beforehand; nothing rounded.
    pub(crate) fn flat(book: &GroupBook) -> impl FnMut() {
        let mut flat = FlatBook::new(book);
        let index = book.typical_ingredient();
        let touched: Vec<usize> = book.touched(index).into_iter().map(|recipe| recipe.0).collect();
        let mut prices = prices();
        move || {
            flat.set(index, float(&prices.next().unwrap()));
            flat.some(&touched);
        }
    }
}

/// What an edible gram comes to cost, one price after the other without an end.
fn prices() -> impl Iterator<Item = Exact> {
    (1u32..=100).cycle().map(|cents| Exact::from(cents) / Exact::from(10_000))
}
