//! Numbers as an author writes them.

use std::fmt;
use std::str::FromStr;

use crate::Exact;

/// A number as it was written, so that it can be shown again as its author knows it.
///
/// The grammar: an optional `-`, then `digits`, `digits.digits`, `digits/digits` or
/// `digits digits/digits`. At most 18 significant digits in each part, as many as a coefficient
/// holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Number {
    /// `coefficient` times ten to the `exponent`; `1.50` is 150 and -2.
    Decimal {
        /// All digits, the decimal point left out.
        coefficient: i64,
        /// From -18 to 18; 0 for a whole number.
        exponent: i8,
    },
    /// `1/2`, or `1 1/2` with `whole` at 1.
    Fraction {
        /// The whole part as written, or 0.
        whole: u64,
        /// The numerator as written; carries the sign of the number.
        numerator: i64,
        /// The denominator as written, above 0.
        denominator: u64,
    },
}

/// Why a text is no number.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// The text doesn't follow the grammar.
    #[error("`{0}` is not a number; write `250`, `0.5`, `1/2` or `1 1/2`")]
    Malformed(String),
    /// More digits than a coefficient or a part of a fraction holds.
    #[error("`{0}` has more than 18 significant digits")]
    TooLong(String),
    /// A fraction over 0.
    #[error("`{0}` divides by zero")]
    ZeroDenominator(String),
}

/// The largest power of ten, up or down, that a written number may carry.
const MAX_EXPONENT: i8 = 18;
/// Ten to the 18: one more than the largest coefficient.
const LIMIT: u64 = 1_000_000_000_000_000_000;

impl Number {
    /// A whole number.
    pub const fn whole(value: i64) -> Self {
        Self::Decimal { coefficient: value, exponent: 0 }
    }

    /// A decimal, or nothing where coefficient or exponent are out of range.
    pub fn decimal(coefficient: i64, exponent: i8) -> Option<Self> {
        let fits = coefficient.unsigned_abs() < LIMIT && exponent.abs() <= MAX_EXPONENT;
        fits.then_some(Self::Decimal { coefficient, exponent })
    }

    /// A fraction, or nothing where the denominator is 0, a part has more than 18 digits, or a
    /// whole part stands beside a fraction that isn't proper (`1 3/2`).
    pub fn fraction(whole: u64, numerator: i64, denominator: u64) -> Option<Self> {
        let proper = whole == 0 || numerator.unsigned_abs() < denominator;
        let parts = [whole, numerator.unsigned_abs(), denominator];
        let fits = parts.into_iter().all(|part| part < LIMIT);
        // With a whole part the sign would have no place to stand when the numerator is 0.
        let signed = whole == 0 || numerator != 0;
        (denominator > 0 && proper && fits && signed).then_some(Self::Fraction {
            whole,
            numerator,
            denominator,
        })
    }

    /// What the number is worth.
    pub fn exact(&self) -> Exact {
        match *self {
            Self::Decimal { coefficient, exponent } => Exact::decimal(coefficient, exponent),
            Self::Fraction { whole, numerator, denominator } => {
                let sign = Exact::from(numerator.signum());
                Exact::from(whole) * sign
                    + Exact::ratio(numerator.into(), denominator.into())
                        .expect("the denominator was checked")
            }
        }
    }

    /// Whether the number is below 0.
    pub fn is_negative(&self) -> bool {
        match *self {
            Self::Decimal { coefficient, .. } => coefficient < 0,
            Self::Fraction { numerator, .. } => numerator < 0,
        }
    }

    /// Whether the number is above 0.
    pub fn is_positive(&self) -> bool {
        match *self {
            Self::Decimal { coefficient, .. } => coefficient > 0,
            Self::Fraction { numerator, .. } => numerator > 0,
        }
    }

    fn parse_decimal(text: &str, sign: i64, digits: &str) -> Result<Self, NumberError> {
        let malformed = || NumberError::Malformed(text.to_owned());
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        if digits.ends_with('.') || !all_digits(whole) || !fraction.bytes().all(is_digit) {
            return Err(malformed());
        }
        let too_long = || NumberError::TooLong(text.to_owned());
        let all = format!("{whole}{fraction}");
        let coefficient: i64 = all.parse().map_err(|_| too_long())?;
        let exponent = i8::try_from(fraction.len()).map_err(|_| too_long())?;
        Self::decimal(sign * coefficient, -exponent).ok_or_else(too_long)
    }

    fn parse_fraction(text: &str, sign: i64, digits: &str) -> Result<Self, NumberError> {
        let malformed = || NumberError::Malformed(text.to_owned());
        let too_long = || NumberError::TooLong(text.to_owned());
        let (left, denominator) = digits.split_once('/').ok_or_else(malformed)?;
        let (whole, numerator) = left.split_once(' ').unwrap_or(("0", left));
        if ![whole, numerator, denominator].into_iter().all(all_digits) {
            return Err(malformed());
        }
        let whole: u64 = whole.parse().map_err(|_| too_long())?;
        let numerator: i64 = numerator.parse().map_err(|_| too_long())?;
        let denominator: u64 = denominator.parse().map_err(|_| too_long())?;
        if denominator == 0 {
            return Err(NumberError::ZeroDenominator(text.to_owned()));
        }
        if [whole, numerator.unsigned_abs(), denominator].iter().any(|part| *part >= LIMIT) {
            return Err(too_long());
        }
        Self::fraction(whole, sign * numerator, denominator).ok_or_else(malformed)
    }
}

fn is_digit(byte: u8) -> bool {
    byte.is_ascii_digit()
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(is_digit)
}

impl FromStr for Number {
    type Err = NumberError;
    fn from_str(text: &str) -> Result<Self, NumberError> {
        let (sign, digits) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
        if digits.contains('/') {
            Self::parse_fraction(text, sign, digits)
        } else {
            Self::parse_decimal(text, sign, digits)
        }
    }
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.is_negative() { "-" } else { "" };
        match *self {
            Self::Decimal { coefficient, exponent } => {
                let digits = coefficient.unsigned_abs().to_string();
                f.write_str(&place_point(sign, &digits, exponent))
            }
            Self::Fraction { whole: 0, numerator, denominator } => {
                write!(f, "{sign}{}/{denominator}", numerator.unsigned_abs())
            }
            Self::Fraction { whole, numerator, denominator } => {
                write!(f, "{sign}{whole} {}/{denominator}", numerator.unsigned_abs())
            }
        }
    }
}

fn place_point(sign: &str, digits: &str, exponent: i8) -> String {
    let places = usize::from(exponent.unsigned_abs());
    if exponent >= 0 {
        let zeros = if digits == "0" { 0 } else { places };
        return format!("{sign}{digits}{}", "0".repeat(zeros));
    }
    let padded = format!("{digits:0>width$}", width = places + 1);
    let (whole, fraction) = padded.split_at(padded.len() - places);
    format!("{sign}{whole}.{fraction}")
}
