//! What a case gives, read as our own types; and how it is refused.

use std::fmt;

use chablon_sdk::model::Day;
use chablon_sdk::quantity::{
    Authored, CountUnit, Density, DensityUnit, Exact, Length, LengthUnit, Mass, MassUnit, Number,
    ParseError, Pieces, Share, ShareUnit, Temperature, TemperatureInterval, TemperatureUnit, Time,
    TimeUnit, Unit, Volume, VolumeUnit,
};
use serde_json::Value;

use crate::refusals;

/// What a case comes to.
pub(crate) type Answer = Result<Value, Refusal>;

/// Why a case has no result.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// By the word of the vectors.
    Word(&'static str),
    /// By our own codes: all that is wrong.
    Codes(Vec<String>),
}

impl Refusal {
    /// Whether it is the one that a vector names.
    pub(crate) fn is(&self, kind: &str) -> bool {
        match self {
            Self::Word(word) => *word == kind,
            Self::Codes(codes) => {
                let expected = refusals::codes(kind);
                codes.iter().any(|code| expected.contains(&code.as_str()))
            }
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Word(word) => write!(f, "refused: {word}"),
            Self::Codes(codes) => write!(f, "refused: {}", codes.join(", ")),
        }
    }
}

impl From<ParseError> for Refusal {
    fn from(error: ParseError) -> Self {
        Self::Word(match error {
            ParseError::Number(_) => "bad-number",
            ParseError::NoUnit { .. } => "bad-quantity",
            ParseError::WrongDimension { .. } => "wrong-dimension",
            ParseError::UnknownUnit { .. } => "bad-unit",
            ParseError::Negative { .. } => "below-0",
            ParseError::Currency(_) => "bad-currency",
        })
    }
}

/// The input of a case.
#[derive(Clone, Copy)]
pub(crate) struct Given<'a>(pub(crate) &'a Value);

impl<'a> Given<'a> {
    pub(crate) fn has(self, key: &str) -> bool {
        self.0.get(key).is_some()
    }

    pub(crate) fn part(self, key: &str) -> Given<'a> {
        Given(&self.0[key])
    }

    pub(crate) fn parts(self, key: &str) -> impl Iterator<Item = Given<'a>> + use<'a> {
        self.0[key].as_array().expect("a list").iter().map(Given)
    }

    pub(crate) fn itself(self) -> &'a str {
        self.0.as_str().expect("a text")
    }

    pub(crate) fn text(self, key: &str) -> &'a str {
        self.part(key).0.as_str().unwrap_or_else(|| panic!("`{key}` is a text"))
    }

    pub(crate) fn maybe_text(self, key: &str) -> Option<&'a str> {
        self.0[key].as_str()
    }

    pub(crate) fn flag(self, key: &str) -> bool {
        self.0[key].as_bool().unwrap_or(false)
    }

    pub(crate) fn whole(self, key: &str) -> u64 {
        self.0[key].as_u64().unwrap_or_else(|| panic!("`{key}` is a whole number"))
    }

    pub(crate) fn day(self, key: &str) -> Day {
        self.text(key).parse().expect("a day")
    }

    pub(crate) fn number(self, key: &str) -> Result<Exact, Refusal> {
        number(self.text(key))
    }

    pub(crate) fn mass(self, key: &str) -> Result<Mass, Refusal> {
        quantity::<MassUnit>(self.text(key))
    }

    pub(crate) fn length(self, key: &str) -> Result<Length, Refusal> {
        quantity::<LengthUnit>(self.text(key))
    }

    /// A length that is as much where nothing is said.
    pub(crate) fn length_or(self, key: &str, unsaid: &str) -> Result<Length, Refusal> {
        quantity::<LengthUnit>(self.maybe_text(key).unwrap_or(unsaid))
    }

    pub(crate) fn time(self, key: &str) -> Result<Time, Refusal> {
        quantity::<TimeUnit>(self.text(key))
    }

    pub(crate) fn density(self, key: &str) -> Result<Density, Refusal> {
        quantity::<DensityUnit>(self.text(key))
    }

    pub(crate) fn share(self, key: &str) -> Result<Share, Refusal> {
        quantity::<ShareUnit>(self.text(key))
    }

    pub(crate) fn share_or(self, key: &str, unsaid: &str) -> Result<Share, Refusal> {
        quantity::<ShareUnit>(self.maybe_text(key).unwrap_or(unsaid))
    }

    pub(crate) fn temperature(self, key: &str) -> Result<Temperature, Refusal> {
        quantity::<TemperatureUnit>(self.text(key))
    }

    /// A difference of temperatures.
    pub(crate) fn difference(self, key: &str) -> Result<TemperatureInterval, Refusal> {
        let Authored { number, unit } = self.text(key).parse::<Authored<TemperatureUnit>>()?;
        Ok(chablon_arith::dough::interval(number.exact(), unit))
    }
}

pub(crate) fn number(text: &str) -> Result<Exact, Refusal> {
    let number: Result<Number, _> = text.parse();
    number.map(|number| number.exact()).map_err(|_| Refusal::Word("bad-number"))
}

pub(crate) fn quantity<U: Unit>(text: &str) -> Result<U::Quantity, Refusal> {
    // A unit alone lacks its number, which the vectors call as bad as a number without a unit.
    if text.chars().next().is_some_and(char::is_alphabetic) {
        return Err(Refusal::Word("bad-quantity"));
    }
    Ok(text.parse::<Authored<U>>()?.quantity())
}

/// A quantity of each dimension that results show in a unit of their own.
pub(crate) enum Measured {
    Mass(Mass),
    Volume(Volume),
    Length(Length),
    Time(Time),
    Count(Pieces),
    Share(Share),
    Density(Density),
    Temperature(Temperature),
}

impl Measured {
    pub(crate) fn read(dimension: &str, text: &str) -> Result<Self, Refusal> {
        Ok(match dimension {
            "mass" => Self::Mass(quantity::<MassUnit>(text)?),
            "volume" => Self::Volume(quantity::<VolumeUnit>(text)?),
            "length" => Self::Length(quantity::<LengthUnit>(text)?),
            "time" => Self::Time(quantity::<TimeUnit>(text)?),
            "count" => Self::Count(quantity::<CountUnit>(text)?),
            "share" => Self::Share(quantity::<ShareUnit>(text)?),
            "density" => Self::Density(quantity::<DensityUnit>(text)?),
            "temperature" => Self::Temperature(quantity::<TemperatureUnit>(text)?),
            other => panic!("`{other}` is no dimension"),
        })
    }
}
