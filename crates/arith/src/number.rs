//! What the passes over a book ask of a number, so that each is written once for both kinds:
//! exact ones, and floats with a proven bound.

use std::convert::Infallible;

use chablon_quantity::Exact;

use crate::size;

/// A number of a pass.
pub(crate) trait Number: Clone {
    /// That a question can't be decided in these numbers.
    type Doubt;
    /// The number that stands for an exact one.
    fn of(value: &Exact) -> Self;
    /// The sum.
    fn plus(&self, other: &Self) -> Self;
    /// The difference.
    fn minus(&self, other: &Self) -> Self;
    /// The product.
    fn times(&self, other: &Self) -> Self;
    /// The smallest whole number that is neither below this one nor below 1.
    fn whole_from_one(&self) -> Result<Self, Self::Doubt>;
    /// Whether it is above 0.
    fn above_zero(&self) -> Result<bool, Self::Doubt>;
    /// Whether it is short enough to go on computing with.
    fn is_manageable(&self) -> bool;
}

impl Number for Exact {
    /// Exact numbers leave nothing undecided.
    type Doubt = Infallible;
    fn of(value: &Exact) -> Self {
        value.clone()
    }
    fn plus(&self, other: &Self) -> Self {
        self + other
    }
    fn minus(&self, other: &Self) -> Self {
        self - other
    }
    fn times(&self, other: &Self) -> Self {
        self * other
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
