//! A figure that is a square root: known exactly by its square, rounded rightly when shown.

use std::fmt;

use chablon_quantity::{Exact, Rounded};
use num_bigint::BigInt;

/// The square root of an exact number that isn't below 0.
///
/// A root is seldom rational, so it is held as its square, which is exact. It is rounded once,
/// when it is shown, and rightly: the digits are those of the root itself, half away from zero.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Root {
    square: Exact,
}

impl Root {
    /// The root of a number, whose sign is left out.
    pub(super) fn of(square: &Exact) -> Self {
        Self { square: square.abs() }
    }

    /// A rational number, whose sign is left out, as the root of its square.
    pub(super) fn rational(number: &Exact) -> Self {
        Self { square: number * number }
    }

    /// The root times a number, whose sign is left out.
    #[must_use]
    pub(super) fn times(&self, number: &Exact) -> Self {
        Self { square: &self.square * number * number }
    }

    /// The square of the figure, exactly.
    pub fn square(&self) -> &Exact {
        &self.square
    }

    /// The figure itself, where it is rational.
    pub fn exact(&self) -> Option<Exact> {
        let (numerator, denominator) = self.square.big_parts();
        Exact::big_ratio(whole_root(&numerator)?, whole_root(&denominator)?)
    }

    /// The figure for people: rounded half away from zero to this many decimals.
    ///
    /// With x the root in units of the last decimal, floor(x + 1/2) is
    /// floor((floor(2x) + 1) / 2), and floor(2x) is the whole root of floor((2x)²): integers only.
    pub fn round(&self, decimals: u32) -> Rounded {
        let scale = Exact::from(BigInt::from(10).pow(decimals) * 2u8);
        let (doubled_square, _) = (&self.square * &scale * &scale).floor().big_parts();
        Rounded::from_units((doubled_square.sqrt() + 1u8) / 2u8, decimals)
    }
}

/// The root of a square number, or nothing of any other.
fn whole_root(square: &BigInt) -> Option<BigInt> {
    let root = square.sqrt();
    (&root * &root == *square).then_some(root)
}

impl fmt::Display for Root {
    /// The number itself where it is rational, else `sqrt(n/d)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.exact() {
            Some(number) => number.fmt(f),
            None => write!(f, "sqrt({})", self.square),
        }
    }
}
