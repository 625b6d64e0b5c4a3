//! What the pass over a book asks of a number, so that it is written once for both kinds: exact
//! ones, and floats with a proven bound.

use std::convert::Infallible;

use chablon_quantity::Exact;

use crate::size;

/// A number of a pass.
pub(crate) trait Number: Clone {
    /// A number that is known before any demand is.
    type Constant: Clone + std::fmt::Debug;
    /// A sum on its way. Its terms are at least 0.
    type Sum: Clone;
    /// That a question can't be decided in these numbers.
    type Doubt;

    /// The constant that stands for an exact number.
    fn constant(value: &Exact) -> Self::Constant;
    /// The number that stands for an exact one.
    fn of(value: &Exact) -> Self;
    /// The sum, whatever the signs.
    fn plus(&self, other: &Self) -> Self;
    /// The product.
    fn times(&self, constant: &Self::Constant) -> Self;
    /// A sum without a term.
    fn nothing() -> Self::Sum;
    /// Adds a product that is at least 0 to a sum.
    fn add_product(&self, constant: &Self::Constant, sum: &mut Self::Sum);
    /// A sum of at most so many terms.
    fn total(sum: &Self::Sum, terms: u32) -> Self;
    /// The smallest whole number that is neither below this one nor below 1.
    fn whole_from_one(&self) -> Result<Self, Self::Doubt>;
    /// Whether it is above 0.
    fn above_zero(&self) -> Result<bool, Self::Doubt>;
    /// Whether it is short enough to go on computing with.
    fn is_manageable(&self) -> bool;
}

impl Number for Exact {
    type Constant = Self;
    type Sum = Self;
    /// Exact numbers leave nothing undecided.
    type Doubt = Infallible;

    fn constant(value: &Exact) -> Self {
        value.clone()
    }
    fn of(value: &Exact) -> Self {
        value.clone()
    }
    fn plus(&self, other: &Self) -> Self {
        self + other
    }
    fn times(&self, constant: &Self) -> Self {
        self * constant
    }
    fn nothing() -> Self {
        Self::from(0)
    }
    fn add_product(&self, constant: &Self, sum: &mut Self) {
        *sum = &*sum + self * constant;
    }
    fn total(sum: &Self, _terms: u32) -> Self {
        sum.clone()
    }
    fn whole_from_one(&self) -> Result<Self, Infallible> {
        Ok(self.ceil().max(Exact::from(1)))
    }
    fn above_zero(&self) -> Result<bool, Infallible> {
        Ok(self.is_positive())
    }
    fn is_manageable(&self) -> bool {
        size::manageable(self)
    }
}
