//! Floats with a proven bound, which decide nearly every rounding.
//!
//! This module is the one place with floats. A figure that it hands out is a whole number of
//! units of the last decimal, and it hands one out only where the proof leaves no other. Whatever
//! it can't decide is answered with [`Undecided`] and computed exactly by the caller, so no digit
//! that anyone sees depends on a float.
//!
//! # The proof
//!
//! Let `u = 2^-53`. By IEEE 754 with rounding to nearest, for `o` one of `+ - *` on finite
//! doubles whose result doesn't overflow,
//!
//! ```text
//! (1)  |fl(a o b) - (a o b)| <= u |a o b| + h     and     <= u |fl(a o b)| + h
//! ```
//!
//! with `h = 2^-1075` for a product and `h = 0` for a sum, since a sum of doubles that falls
//! below the normal range is exact. The same holds for a quotient.
//!
//! A [`Bounded`] `(v, e)` stands for a real `x` with `|x - v| <= e`. An `e` that is infinite or
//! NaN says nothing about `x`, which is true of any `x`.
//!
//! **Constants** ([`nearest`]) divide two integers, each converted with one rounding, and scale by
//! a power of two, which is exact within the range that is checked; a long integer is cut to its
//! upper 120 bits first. So `c = x (1 + d)` with `|d| <= (1 + u)^2 / (1 - u) (1 + 2^-118) - 1 <
//! 4 u`, and `|x - c| <= 4 u |c| (1 + 8 u)`, as `|x| <= |c| / (1 - 4 u)`.
//!
//! **Sums of two** of either sign: `|(x + y) - fl(v + w)| <= e + f + u |fl(v + w)|` by (1). Where
//! `v` and `w` cancel, the bounds still add up.
//!
//! **Products with a constant** `c` for `k`: `|k x - fl(c v)| <= |c| e + |k - c| (|v| + e) +
//! u |fl(c v)| + h <= |c| e (1 + 5 u) + 6 u |fl(c v)| + h`.
//!
//! **Long sums** of `n` products whose floats are at least 0: the products are off as above and
//! the additions by at most `n u` of the sum `s` (to first order; `n < 2^30` here, so what is left
//! out is below `2^-22` of that). So `e = (p + (n + 6) u s) (1 + 2^-20)` with `p` the sum of the
//! `|c| e`, summed beside it; the factor outweighs the roundings of `p` itself, at most `n + 1` each.
//!
//! **The bounds themselves** are computed in floats. That of a sum of two or of a product has at
//! most four terms above 0, each of at most two products, so by (1) it comes out at no less than
//! `(1 - u)^8` of its value less at most `8 h`. Multiplying by `1 + 16 u` and adding `2^-1000`
//! outweighs both. In a long sum the `n` underflows `h` are outweighed likewise.
//!
//! **Rounding half away from zero to `d` decimals.** Let `y = |x| 10^d` and `w = fl(|v| 10^d)`;
//! `10^d` is exact in a double for `d <= 22`. By (1) `|y - w| <= e 10^d + u w + h`, which is at most
//! `s = (e 10^d + 2 u w) (1 + 16 u) + 2^-1000`. For `w < 2^51` the sum `fl(w + 2^52)` is a whole
//! number, so less `2^52` it is the whole number `k` nearest to `w` ([`nearest_whole`]), and
//! `f = w - k` is exact. Where `|f| + s < 1/2`, `y` lies within less than a half of `k`, so `k` is
//! what it rounds to, whichever way halves go. Rounding the sum `|f| + s` can't take it from `1/2`
//! or above to below. A half is never decided. If `k > 0` then `|v| > e`, so the sign of `v` is
//! that of `x`; if it is 0, the sign doesn't matter.
//!
//! **Rounding up to a number of batches** takes the same `k` and `f` for `v`, with
//! `s = e (1 + 16 u)`: where `f > s` it is `k + 1`, where `f < -s` it is `k`, since rounding can't
//! turn either comparison around. Where `f = 0` and `s = 0`, `v` is exactly `k`.
//!
//! [`sheet`] uses bounds that are known beforehand instead, since every term there is at least 0;
//! their proof stands there.

#![expect(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "floats with a proven bound; see the proof above"
)]

pub(crate) mod sheet;

use chablon_quantity::Exact;
use num_bigint::BigInt;
use num_traits::{Signed, ToPrimitive, Zero};

use crate::number::Number;

/// The largest relative error of one rounding to nearest: half a unit in the last place.
const U: f64 = f64::EPSILON / 2.0;
/// Makes up for the roundings of a bound's own computation.
const OUTWEIGH: f64 = 1.0 + 16.0 * U;
/// The same for a sum of many terms.
const OUTWEIGH_MANY: f64 = 1.0 + power_of_two(-20);
/// Makes up for what underflow takes from a bound: 2^-1000.
const TINY: f64 = power_of_two(-1000);
/// Below this, a double beside [`WHOLE`] keeps its whole part.
const LARGEST: f64 = power_of_two(51);
/// From here on to twice as much, doubles are whole numbers.
const WHOLE: f64 = power_of_two(52);
/// Ten to each power that a double holds exactly and a figure asks for.
const POWERS_OF_TEN: [f64; 10] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

/// A question that these bounds can't decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Undecided;

/// A real number to within a bound.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bounded {
    value: f64,
    error: f64,
}

/// `2^exponent`, for exponents of normal doubles.
const fn power_of_two(exponent: i32) -> f64 {
    f64::from_bits((1023 + exponent).unsigned_abs() as u64 * (1 << 52))
}

impl Bounded {
    /// The constant of a long sum, which the proof asks to be at least 0; a lower one is NaN and
    /// so leaves everything undecided that it comes into.
    pub(crate) fn constant_from_zero(value: &Exact) -> f64 {
        if value.is_negative() { f64::NAN } else { nearest(value) }
    }

    /// The figure in units of the last of so many decimals, where the bound decides it.
    pub(crate) fn round(&self, decimals: u32) -> Result<i64, Undecided> {
        let power = power_of_ten(decimals);
        let (magnitude, decided) = round_scaled(self.value.abs() * power, self.error * power);
        let units = if self.value < 0.0 { -magnitude } else { magnitude };
        if decided { Ok(units) } else { Err(Undecided) }
    }
}

/// Ten to so many decimals; NaN, which leaves everything undecided, for more than figures have.
fn power_of_ten(decimals: u32) -> f64 {
    POWERS_OF_TEN.get(decimals as usize).copied().unwrap_or(f64::NAN)
}

/// The figures of numbers that are at least 0, and the places of those that aren't decided.
///
/// Nothing branches on a single figure, so that they are rounded several at a time.
pub(crate) fn round_row(row: &[Bounded], decimals: u32) -> (Vec<i64>, Vec<usize>) {
    let power = power_of_ten(decimals);
    let rounded = |one: &Bounded| round_scaled(one.value * power, one.error * power);
    let mut all = true;
    let units = row.iter().map(|one| {
        let (units, decided) = rounded(one);
        all &= decided;
        units
    });
    let units = units.collect();
    let undecided = if all { 0..0 } else { 0..row.len() };
    (units, undecided.filter(|&at| !rounded(&row[at]).1).collect())
}

/// The whole number nearest to one from 0 up to [`LARGEST`], and how far that one is above it.
#[inline]
fn nearest_whole(value: f64) -> (i64, f64) {
    let shifted = value + WHOLE;
    // The distance between doubles there is 1, so their bits count on by 1.
    let whole = shifted.to_bits().wrapping_sub(WHOLE.to_bits());
    (whole.cast_signed(), value - (shifted - WHOLE))
}

/// What a number within `error` of `scaled`, which is at least 0, rounds to, and whether all of
/// them round to that.
#[inline]
fn round_scaled(scaled: f64, error: f64) -> (i64, bool) {
    let slack = (error + 2.0 * U * scaled) * OUTWEIGH + TINY;
    let (whole, above) = nearest_whole(scaled);
    // A NaN is in neither order to anything.
    (whole, (scaled < LARGEST) & (above.abs() + slack < 0.5))
}

impl Number for Bounded {
    /// The double nearest to the constant, to within its proof.
    type Constant = f64;
    /// The sum of the products beside that of their bounds.
    type Sum = [f64; 2];
    type Doubt = Undecided;

    fn constant(value: &Exact) -> f64 {
        nearest(value)
    }

    fn of(value: &Exact) -> Self {
        let value = nearest(value);
        Self { value, error: 4.0 * U * value.abs() * OUTWEIGH }
    }

    #[inline]
    fn plus(&self, other: &Self) -> Self {
        let value = self.value + other.value;
        let error = (self.error + other.error + U * value.abs()) * OUTWEIGH + TINY;
        Self { value, error }
    }

    #[inline]
    fn times(&self, constant: &f64) -> Self {
        let value = self.value * constant;
        let error = (self.error * constant.abs() + 6.0 * U * value.abs()) * OUTWEIGH + TINY;
        Self { value, error }
    }

    #[inline]
    fn nothing() -> [f64; 2] {
        [0.0; 2]
    }

    #[inline]
    fn add_product(&self, constant: &f64, [sum, errors]: &mut [f64; 2]) {
        *sum += self.value * constant;
        *errors += self.error * constant;
    }

    #[inline]
    fn total([sum, errors]: &[f64; 2], terms: u32) -> Self {
        let roundings = f64::from(terms) + 6.0;
        Self { value: *sum, error: (errors + roundings * U * sum) * OUTWEIGH_MANY + TINY }
    }

    #[inline]
    fn whole_from_one(&self) -> Result<Self, Undecided> {
        let slack = self.error * OUTWEIGH;
        let whole = |value| Ok(Self { value, error: 0.0 });
        // Written so that a NaN falls through to `Undecided`.
        if self.value + slack < 1.0 {
            return whole(1.0);
        }
        if (0.0..LARGEST).contains(&self.value) {
            let (nearest, above) = nearest_whole(self.value);
            if above > slack {
                return whole((nearest + 1) as f64);
            }
            if above < -slack || (above == 0.0 && slack == 0.0) {
                return whole(nearest as f64);
            }
        }
        Err(Undecided)
    }

    fn above_zero(&self) -> Result<bool, Undecided> {
        if self.value > self.error {
            Ok(true)
        } else if self.value < -self.error {
            Ok(false)
        } else {
            Err(Undecided)
        }
    }

    /// Floats don't grow; what is out of range is undecided.
    fn is_manageable(&self) -> bool {
        true
    }
}

/// The double that stands for an exact number: 0 for 0, otherwise within `4 u` of it in relation
/// to either, or NaN for a number that is out of the range of doubles by far.
pub(crate) fn nearest(value: &Exact) -> f64 {
    if let Some((numerator, denominator)) = value.parts() {
        return numerator as f64 / denominator as f64;
    }
    let (numerator, denominator) = value.big_parts();
    let (upper, up) = upper_bits(&numerator);
    let (lower, down) = upper_bits(&denominator);
    let exponent = up - down;
    // The quotient is between 2^-121 and 2^121, so within this range nothing under- or overflows.
    if exponent.abs() > 800 {
        return f64::NAN;
    }
    upper / lower * power_of_two(exponent as i32)
}

/// An integer as `upper 2^exponent`, from its upper 120 bits.
fn upper_bits(value: &BigInt) -> (f64, i64) {
    let surplus = value.bits().saturating_sub(120);
    let upper = (value.abs() >> surplus).to_i128().unwrap_or_default() as f64;
    let upper = if value.is_negative() { -upper } else { upper };
    let exponent = if value.is_zero() { 0 } else { i64::try_from(surplus).unwrap_or(i64::MAX / 4) };
    (upper, exponent)
}

#[cfg(test)]
mod tests;
