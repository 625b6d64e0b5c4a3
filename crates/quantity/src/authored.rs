//! A quantity as its author wrote it.

use std::fmt;
use std::str::FromStr;

use crate::{
    CountUnit, Currency, CurrencyError, DensityUnit, HourlyRate, LengthUnit, MassUnit, MoneyAmount,
    Number, NumberError, ShareUnit, TemperatureUnit, TimeUnit, Unit, VolumeUnit,
};

/// A number with its unit, as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Authored<U> {
    /// The number as written.
    pub number: Number,
    /// The unit as written.
    pub unit: U,
}

impl<U: Unit> Authored<U> {
    /// A number of a unit.
    pub const fn new(number: Number, unit: U) -> Self {
        Self { number, unit }
    }

    /// What was written, as a quantity to compute with.
    pub fn quantity(&self) -> U::Quantity {
        self.unit.quantity(&self.number)
    }
}

impl<U: Unit> fmt::Display for Authored<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit.symbol())
    }
}

/// Why a text is no quantity of the dimension that is asked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ParseError {
    /// The part before the unit is no number.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// A number stands alone.
    #[error("`{text}` has no unit; {dimension} is needed, such as `{example}`")]
    NoUnit {
        /// The text as it came.
        text: String,
        /// What is needed.
        dimension: &'static str,
        /// One way to write it.
        example: String,
    },
    /// The unit belongs to another dimension.
    #[error("`{unit}` is {found}, where {dimension} is needed")]
    WrongDimension {
        /// The unit as written.
        unit: String,
        /// What it measures.
        found: &'static str,
        /// What is needed.
        dimension: &'static str,
    },
    /// No unit is written so.
    #[error("`{unit}` is not a unit; {dimension} is needed, in {known}")]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What is needed.
        dimension: &'static str,
        /// The units that would do, for people.
        known: String,
    },
    /// A quantity below 0 where that has no meaning.
    #[error("`{text}` is below zero, which {dimension} can't be")]
    Negative {
        /// The text as it came.
        text: String,
        /// What is needed.
        dimension: &'static str,
    },
    /// No currency is written so.
    #[error(transparent)]
    Currency(#[from] CurrencyError),
}

/// Splits `1 1/2 cup` into `1 1/2` and `cup`; the unit is empty where a number stands alone.
pub fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '.' | '/' | '-' | ' ')))
        .map_or(text.len(), |(index, _)| index);
    let (number, unit) = text.split_at(end);
    (number.trim_end(), unit)
}

impl<U: Unit> FromStr for Authored<U> {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        let (digits, symbol) = split(text);
        let number: Number = digits.parse()?;
        let unit = unit_from::<U>(text, symbol)?;
        if number.is_negative() && !U::allows_negative() {
            return Err(ParseError::Negative { text: text.to_owned(), dimension: U::DIMENSION });
        }
        Ok(Self { number, unit })
    }
}

fn unit_from<U: Unit>(text: &str, symbol: &str) -> Result<U, ParseError> {
    if let Some(unit) = U::from_symbol(symbol) {
        return Ok(unit);
    }
    let dimension = U::DIMENSION;
    if symbol.is_empty() {
        let example = format!("{} {}", text.trim(), preferred::<U>());
        return Err(ParseError::NoUnit { text: text.trim().to_owned(), dimension, example });
    }
    let unit = symbol.to_owned();
    Err(match dimension_of(symbol) {
        Some(found) => ParseError::WrongDimension { unit, found, dimension },
        None => ParseError::UnknownUnit { unit, dimension, known: known::<U>() },
    })
}

/// The unit of a dimension that an example shows: the second, which is the bench's own.
fn preferred<U: Unit>() -> String {
    let all = U::all();
    all.get(1).or(all.first()).map(Unit::symbol).unwrap_or_default()
}

/// The units of a dimension for people; a density's product of two lists is shortened.
fn known<U: Unit>() -> String {
    let symbols: Vec<String> = U::all().iter().map(Unit::symbol).take(16).collect();
    format!("`{}`", symbols.join("`, `"))
}

/// What a symbol measures, whichever dimension it belongs to.
fn dimension_of(symbol: &str) -> Option<&'static str> {
    fn named<U: Unit>(symbol: &str) -> Option<&'static str> {
        U::from_symbol(symbol).map(|_| U::DIMENSION)
    }
    let money = || symbol.parse::<Currency>().ok().map(|_| "money");
    named::<MassUnit>(symbol)
        .or_else(|| named::<VolumeUnit>(symbol))
        .or_else(|| named::<LengthUnit>(symbol))
        .or_else(|| named::<TimeUnit>(symbol))
        .or_else(|| named::<TemperatureUnit>(symbol))
        .or_else(|| named::<ShareUnit>(symbol))
        .or_else(|| named::<CountUnit>(symbol))
        .or_else(|| named::<DensityUnit>(symbol))
        .or_else(money)
}

/// What money is called in a message.
const MONEY: &str = "an amount of money";
/// What an hourly rate is called in a message.
const RATE: &str = "a rate by the hour";

impl FromStr for MoneyAmount {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        money(text, split(text), MONEY, "12.50 EUR")
    }
}

impl FromStr for HourlyRate {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        let (digits, symbol) = split(text);
        let Some(code) = symbol.strip_suffix("/h") else {
            return Err(ParseError::UnknownUnit {
                unit: symbol.to_owned(),
                dimension: RATE,
                known: "a currency by the hour, such as `24.50 EUR/h`".to_owned(),
            });
        };
        money(text, (digits, code), RATE, "24.50 EUR/h").map(Self)
    }
}

fn money(
    text: &str,
    (digits, code): (&str, &str),
    dimension: &'static str,
    example: &str,
) -> Result<MoneyAmount, ParseError> {
    let number: Number = digits.parse()?;
    if code.is_empty() {
        let (text, example) = (text.trim().to_owned(), example.to_owned());
        return Err(ParseError::NoUnit { text, dimension, example });
    }
    if number.is_negative() {
        return Err(ParseError::Negative { text: text.to_owned(), dimension });
    }
    Ok(MoneyAmount { number, currency: code.parse()? })
}
