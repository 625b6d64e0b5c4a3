//! Roots and powers in fixed point: whole numbers of 1e-30.

use chablon_quantity::Exact;
use num_bigint::BigInt;

/// The decimals that are kept.
const DECIMALS: u32 = 30;

fn scale() -> BigInt {
    BigInt::from(10).pow(DECIMALS)
}

/// A number in units of the last decimal, cut off below.
fn units(value: &Exact) -> BigInt {
    let (units, _) = (value * Exact::from(scale())).floor().big_parts();
    units
}

fn exact(units: BigInt) -> Exact {
    Exact::big_ratio(units, scale()).expect("a power of ten is not zero")
}

/// The square root of a number that isn't below 0, at most 1e-30 too small; 0 of any other.
pub(super) fn square_root(value: &Exact) -> Exact {
    if !value.is_positive() {
        return Exact::from(0);
    }
    // floor(10^30 sqrt(v)) is the whole root of floor(10^60 v).
    exact(units(&(value * Exact::from(scale()))).sqrt())
}

/// e to the power of minus a number from 0 to 1, right to 1e-28; a larger number counts as 1.
///
/// The series alternates and its terms fall, so what is left out is below its last term, and each
/// of its fewer than 30 terms is cut off by less than 1e-30.
pub(super) fn exp_minus(value: &Exact) -> Exact {
    let value = units(&value.clone().max(Exact::from(0)).min(Exact::from(1)));
    let mut term = scale();
    let mut sum = BigInt::from(0);
    let mut number = 0u32;
    while term != BigInt::from(0) {
        if number.is_multiple_of(2) {
            sum += &term;
        } else {
            sum -= &term;
        }
        number += 1;
        term = term * &value / scale() / BigInt::from(number);
    }
    exact(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_are_cut_off_at_thirty_decimals() {
        let two = square_root(&Exact::from(2));
        assert_eq!(two.round(29).to_string(), "1.41421356237309504880168872421");
        assert!(&two * &two <= Exact::from(2));
        assert_eq!(square_root(&Exact::from(9)), Exact::from(3));
        assert_eq!(square_root(&Exact::from(-1)), Exact::from(0));
    }

    #[test]
    fn e_to_minus_one_has_its_digits() {
        assert_eq!(exp_minus(&Exact::from(0)), Exact::from(1));
        let e = exp_minus(&Exact::from(1));
        assert_eq!(e.round(27).to_string(), "0.367879441171442321595523770");
        assert_eq!(exp_minus(&Exact::from(7)), e);
    }
}
