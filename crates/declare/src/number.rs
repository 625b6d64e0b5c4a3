//! Numbers of tables.

use chablon_quantity::{Exact, Number};

/// A decimal of a table: 15 and -1 are 1.5.
pub(crate) const fn dec(coefficient: i64, exponent: i8) -> Number {
    Number::Decimal { coefficient, exponent }
}

/// A fraction of a rule.
pub(crate) fn ratio(numerator: i64, denominator: i64) -> Exact {
    Exact::ratio(numerator.into(), denominator.into()).expect("a rule divides by no zero")
}
