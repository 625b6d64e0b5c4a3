//! A rational number that is exact however large it grows.

use std::cmp::Ordering;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Rem, Sub};
use std::str::FromStr;

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::{BigRational, Ratio};
use num_traits::{
    CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Num, One, Signed, ToPrimitive, Zero,
};

use crate::Rounded;

/// An exact rational number.
///
/// It is held as a checked ratio of two `i128` for as long as it fits, and as a ratio of big
/// integers beyond that. A value that fits is always held small, so equal numbers are held equal.
///
/// Shown as `n/d`, reduced, with `/1` left out; parsed from the same form.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct Exact(Repr);

#[derive(Clone, PartialEq, Eq, Hash)]
enum Repr {
    /// Reduced, with a positive denominator and a numerator other than `i128::MIN`, so that
    /// taking the negative can't overflow.
    Small(Ratio<i128>),
    /// Reduced, and too large for `Small`.
    Big(Box<BigRational>),
}

/// Why a text is no exact number.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is not a whole number or a fraction such as `5/2`")]
pub struct ExactError {
    /// The text as it came.
    pub text: String,
}

impl Exact {
    /// The ratio of two integers, or nothing where the denominator is 0.
    pub fn ratio(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        // Reducing an `i128` may negate it, which the least of them has no room for.
        if numerator != i128::MIN && denominator > 0 {
            return Some(Self::from_small(Ratio::new(numerator, denominator)));
        }
        Some(Self::from_big(BigRational::new(numerator.into(), denominator.into())))
    }

    /// The ratio of two integers of any size, or nothing where the denominator is 0.
    pub fn big_ratio(numerator: BigInt, denominator: BigInt) -> Option<Self> {
        (!denominator.is_zero()).then(|| Self::from_big(BigRational::new(numerator, denominator)))
    }

    /// Ten to the given power.
    pub fn power_of_ten(exponent: i32) -> Self {
        let power = BigRational::from_integer(BigInt::from(10).pow(exponent.unsigned_abs()));
        Self::from_big(if exponent < 0 { power.recip() } else { power })
    }

    /// A whole number times ten to the given power: so are most numbers written, and of each that is
    /// in a book this is the first that is reckoned.
    pub(crate) fn decimal(coefficient: i64, exponent: i8) -> Self {
        let whole = i128::from(coefficient);
        let power = 10i128.checked_pow(exponent.unsigned_abs().into());
        let small = power.and_then(|power| match exponent {
            ..0 => Self::ratio(whole, power),
            0.. => Some(Self::from_small(Ratio::from_integer(whole.checked_mul(power)?))),
        });
        small.unwrap_or_else(|| Self::from(coefficient) * Self::power_of_ten(exponent.into()))
    }

    /// The quotient, or nothing where the divisor is 0.
    pub fn checked_div(&self, divisor: &Self) -> Option<Self> {
        if divisor.is_zero() {
            return None;
        }
        let small = self.small().zip(divisor.small()).and_then(|(a, b)| a.checked_div(b));
        Some(match small {
            Some(ratio) => Self::from_small(ratio),
            None => Self::from_big(self.to_big() / divisor.to_big()),
        })
    }

    /// Whether the number is above 0.
    pub fn is_positive(&self) -> bool {
        match &self.0 {
            Repr::Small(ratio) => ratio.is_positive(),
            Repr::Big(ratio) => ratio.is_positive(),
        }
    }

    /// Whether the number is below 0.
    pub fn is_negative(&self) -> bool {
        match &self.0 {
            Repr::Small(ratio) => ratio.is_negative(),
            Repr::Big(ratio) => ratio.is_negative(),
        }
    }

    /// Whether the number is whole.
    pub fn is_integer(&self) -> bool {
        match &self.0 {
            Repr::Small(ratio) => ratio.is_integer(),
            Repr::Big(ratio) => ratio.is_integer(),
        }
    }

    /// The number without its sign.
    #[must_use]
    pub fn abs(&self) -> Self {
        if self.is_negative() { -self } else { self.clone() }
    }

    /// The largest whole number that is not above this one.
    #[must_use]
    pub fn floor(&self) -> Self {
        match &self.0 {
            // `Ratio::floor` adds before it divides and overflows near the ends of `i128`.
            Repr::Small(ratio) => {
                Self::from_small(Ratio::from_integer(ratio.numer().div_floor(ratio.denom())))
            }
            Repr::Big(ratio) => Self::from_big(ratio.floor()),
        }
    }

    /// The smallest whole number that is not below this one.
    #[must_use]
    pub fn ceil(&self) -> Self {
        -(-self).floor()
    }

    /// The number as a `u64`, where it is whole and fits.
    pub fn to_u64(&self) -> Option<u64> {
        if !self.is_integer() {
            return None;
        }
        match &self.0 {
            Repr::Small(ratio) => ratio.to_integer().to_u64(),
            Repr::Big(_) => None,
        }
    }

    /// Numerator and denominator, reduced, where both fit `i128`.
    pub fn parts(&self) -> Option<(i128, i128)> {
        self.small().map(|ratio| (*ratio.numer(), *ratio.denom()))
    }

    /// Numerator and denominator, reduced, of any size.
    pub fn big_parts(&self) -> (BigInt, BigInt) {
        self.to_big().into()
    }

    /// The figure for people: rounded half away from zero to this many decimals.
    pub fn round(&self, decimals: u32) -> Rounded {
        Rounded::of(self, decimals)
    }

    fn small(&self) -> Option<&Ratio<i128>> {
        match &self.0 {
            Repr::Small(ratio) => Some(ratio),
            Repr::Big(_) => None,
        }
    }

    fn to_big(&self) -> BigRational {
        match &self.0 {
            Repr::Small(ratio) => {
                // A small ratio is reduced already.
                BigRational::new_raw((*ratio.numer()).into(), (*ratio.denom()).into())
            }
            Repr::Big(ratio) => (**ratio).clone(),
        }
    }

    fn from_small(ratio: Ratio<i128>) -> Self {
        if *ratio.numer() == i128::MIN {
            return Self(Repr::Big(Box::new(BigRational::new_raw(
                (*ratio.numer()).into(),
                (*ratio.denom()).into(),
            ))));
        }
        Self(Repr::Small(ratio))
    }

    fn from_big(ratio: BigRational) -> Self {
        match (ratio.numer().to_i128(), ratio.denom().to_i128()) {
            (Some(n), Some(d)) if n != i128::MIN => Self(Repr::Small(Ratio::new_raw(n, d))),
            _ => Self(Repr::Big(Box::new(ratio))),
        }
    }
}

/// One operator on references and on values: checked `i128` first, big integers where it overflows.
macro_rules! operator {
    ($trait:ident, $method:ident, $checked:ident) => {
        impl $trait<&Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                let small = self.small().zip(other.small()).and_then(|(a, b)| a.$checked(b));
                match small {
                    Some(ratio) => Exact::from_small(ratio),
                    None => Exact::from_big($trait::$method(self.to_big(), other.to_big())),
                }
            }
        }
        operator!(values $trait, $method);
    };
    (values $trait:ident, $method:ident) => {
        impl $trait for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                $trait::$method(&self, &other)
            }
        }
        impl $trait<&Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                $trait::$method(&self, other)
            }
        }
        impl $trait<Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                $trait::$method(self, &other)
            }
        }
    };
}

operator!(Add, add, checked_add);
operator!(Sub, sub, checked_sub);
operator!(Mul, mul, checked_mul);

/// # Panics
/// Where the divisor is 0, as the integer operator does; [`Exact::checked_div`] answers instead.
impl Div<&Exact> for &Exact {
    type Output = Exact;
    fn div(self, divisor: &Exact) -> Exact {
        self.checked_div(divisor).expect("divisor is not zero")
    }
}
operator!(values Div, div);

/// # Panics
/// Where the divisor is 0.
impl Rem<&Exact> for &Exact {
    type Output = Exact;
    fn rem(self, divisor: &Exact) -> Exact {
        let quotient = self / divisor;
        let whole = if quotient.is_negative() { quotient.ceil() } else { quotient.floor() };
        self - &(whole * divisor)
    }
}
operator!(values Rem, rem);

impl Neg for &Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        match &self.0 {
            Repr::Small(ratio) => Exact(Repr::Small(-ratio)),
            Repr::Big(ratio) => Exact::from_big(-(**ratio).clone()),
        }
    }
}

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        -&self
    }
}

impl Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(terms: I) -> Exact {
        terms.fold(Exact::zero(), |total, term| total + term)
    }
}

impl<'a> Sum<&'a Exact> for Exact {
    fn sum<I: Iterator<Item = &'a Exact>>(terms: I) -> Exact {
        terms.fold(Exact::zero(), |total, term| total + term)
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        match (&self.0, &other.0) {
            (Repr::Small(a), Repr::Small(b)) => a.cmp(b),
            _ => self.to_big().cmp(&other.to_big()),
        }
    }
}

impl Zero for Exact {
    fn zero() -> Self {
        Self(Repr::Small(Ratio::zero()))
    }
    fn is_zero(&self) -> bool {
        self.small().is_some_and(Zero::is_zero)
    }
}

impl One for Exact {
    fn one() -> Self {
        Self(Repr::Small(Ratio::one()))
    }
}

/// Needed as storage of `uom`'s dimension types.
impl Num for Exact {
    type FromStrRadixErr = ExactError;
    fn from_str_radix(text: &str, radix: u32) -> Result<Self, ExactError> {
        let ratio = if text.contains('/') {
            BigRational::from_str_radix(text, radix).ok()
        } else {
            BigInt::from_str_radix(text, radix).ok().map(BigRational::from_integer)
        };
        ratio.map(Self::from_big).ok_or_else(|| ExactError { text: text.to_owned() })
    }
}

macro_rules! from_integer {
    ($($int:ty)*) => {$(
        impl From<$int> for Exact {
            fn from(value: $int) -> Self {
                Self(Repr::Small(Ratio::from_integer(i128::from(value))))
            }
        }
    )*};
}
from_integer!(u8 u16 u32 u64 i8 i16 i32 i64);

impl From<BigInt> for Exact {
    fn from(value: BigInt) -> Self {
        Self::from_big(BigRational::from_integer(value))
    }
}

impl FromStr for Exact {
    type Err = ExactError;
    fn from_str(text: &str) -> Result<Self, ExactError> {
        Self::from_str_radix(text, 10)
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Repr::Small(ratio) => ratio.fmt(f),
            Repr::Big(ratio) => ratio.fmt(f),
        }
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
