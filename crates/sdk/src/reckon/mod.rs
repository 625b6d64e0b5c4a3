//! The small sums of the bench, ready to be shown: each with the rule that it follows, who published
//! that, and how far it goes.
//!
//! The sums themselves are in [`arith::dough`](crate::arith::dough) and
//! [`arith::geometry`](crate::arith::geometry), for programs that go on computing with them. Outside
//! the published range there is an error and never a figure.
//!
//! ```
//! use chablon_sdk::arith::dough::{Mixing, interval};
//! use chablon_sdk::quantity::{Temperature, TemperatureUnit};
//! use chablon_sdk::reckon;
//!
//! let flour = Temperature::of_celsius(21);
//! let bowl = Mixing { flour, room: Temperature::of_celsius(23), preferment: None };
//! let friction = interval(12, TemperatureUnit::Celsius);
//! let water = reckon::dough_water(&bowl, &Temperature::of_celsius(25), &friction)?;
//! assert_eq!(water.figure("water_c").ok_or("no figure")?.to_string(), "19.00");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod dough;
mod formula;
#[cfg(feature = "json")]
mod json;
mod set;
mod shape;
mod syrup;

use std::collections::BTreeSet;

use chablon_arith::about::About;
use chablon_arith::dough::{DoughError, Root};
use chablon_arith::geometry::GeometryError;
use chablon_quantity::{Exact, Temperature};

pub use dough::{Icing, dough_water, ice, mixer_friction};
pub use formula::{Given, blend, eggs, formula, yolks_or_whites};
pub use set::{aerated, gelatine, leaves, overrun};
pub use shape::{fill, flat_mass, flat_thickness, mould_factor, oven, sheet};
pub use syrup::{boil_down, boiling_at, bring_to, stage, syrup, syrup_of};

use crate::Error;
use crate::error::Kind;
use crate::figures::{Basis, Figure};

/// A sum with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Reckoned {
    /// What was reckoned, as one word that stays the same.
    pub what: &'static str,
    /// The same for people.
    pub title: &'static str,
    /// The results, the wanted one first.
    pub entries: Vec<Entry>,
    /// The rules that they follow.
    pub about: Vec<About>,
    /// What must be known with hot sugar.
    pub caution: Option<&'static str>,
    /// The version of the rules; no document was read.
    pub basis: Basis,
}

/// One result.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Entry {
    /// Its name, with the unit: `water_c`.
    pub key: String,
    /// The same for people, without the unit.
    pub label: String,
    /// The unit, where it has one.
    pub unit: &'static str,
    /// The result.
    pub value: Value,
}

/// What a result is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// An exact figure.
    Figure(Figure),
    /// A root, which is exact by its square, with the decimals to which it is shown.
    Root(Root, u32),
    /// A whole number.
    Count(u64),
    /// Words.
    Words(String),
}

impl Reckoned {
    fn new(what: &'static str, title: &'static str, about: &[About]) -> Self {
        let (about, basis) = (about.to_vec(), Basis::new(BTreeSet::new()));
        Self { what, title, entries: Vec::new(), about, caution: None, basis }
    }

    /// A result that is a figure.
    pub fn figure(&self, key: &str) -> Option<&Figure> {
        self.entries.iter().find(|entry| entry.key == key).and_then(|entry| match &entry.value {
            Value::Figure(figure) => Some(figure),
            _ => None,
        })
    }

    /// A result that is a whole number.
    pub fn count(&self, key: &str) -> Option<u64> {
        self.entries.iter().find(|entry| entry.key == key).and_then(|entry| match entry.value {
            Value::Count(count) => Some(count),
            _ => None,
        })
    }

    fn with(
        mut self,
        key: impl Into<String>,
        label: impl Into<String>,
        unit: &'static str,
        value: Value,
    ) -> Self {
        self.entries.push(Entry { key: key.into(), label: label.into(), unit, value });
        self
    }

    fn grams(self, key: impl Into<String>, label: impl Into<String>, exact: Exact) -> Self {
        self.with(key, label, "g", Value::Figure(Figure::grams(exact)))
    }

    fn percent(self, key: &'static str, label: &'static str, part: &Exact) -> Self {
        let percent = Figure::percent(part * Exact::from(100));
        self.with(key, label, "%", Value::Figure(percent))
    }

    fn brix(self, key: &'static str, label: &'static str, degrees: Exact) -> Self {
        self.with(key, label, "Brix", Value::Figure(Figure::percent(degrees)))
    }

    fn pieces(self, key: &'static str, label: &'static str, exact: Exact) -> Self {
        self.with(key, label, "", Value::Figure(Figure::pieces(exact)))
    }

    fn counted(self, key: &'static str, label: &'static str, count: u64) -> Self {
        self.with(key, label, "", Value::Count(count))
    }

    fn words(self, key: &'static str, label: &'static str, words: impl Into<String>) -> Self {
        self.with(key, label, "", Value::Words(words.into()))
    }

    /// A temperature on both scales.
    fn temperature(self, name: &str, label: &str, at: &Temperature) -> Self {
        self.degrees(name, label, [at.celsius(), at.fahrenheit()])
    }

    /// Degrees Celsius and Fahrenheit.
    fn degrees(self, name: &str, label: &str, [celsius, fahrenheit]: [Exact; 2]) -> Self {
        let figure = |degrees| Value::Figure(Figure::degrees(degrees));
        self.with(format!("{name}_c"), label, "°C", figure(celsius)).with(
            format!("{name}_f"),
            "",
            "°F",
            figure(fahrenheit),
        )
    }

    fn caution(self, caution: &'static str) -> Self {
        Self { caution: Some(caution), ..self }
    }
}

impl From<DoughError> for Error {
    fn from(error: DoughError) -> Self {
        Self::new(Kind::NotComputable, error.to_string()).with_source(error)
    }
}

impl From<GeometryError> for Error {
    fn from(error: GeometryError) -> Self {
        Self::new(Kind::NotComputable, error.to_string()).with_source(error)
    }
}
