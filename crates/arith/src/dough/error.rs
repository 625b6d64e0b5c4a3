//! Why a figure of dough, set or syrup is refused.

use chablon_quantity::{Exact, Temperature};

use super::Brix;
use crate::geometry::shown;

/// Why a figure of dough, set or syrup is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DoughError {
    /// A figure is outside what the source covers. Nothing is computed beyond it.
    #[error(
        "the {what} is {value}, outside the published range of {low} to {high} ({source_title})"
    )]
    OutOfRange {
        /// Which figure.
        what: &'static str,
        /// What it is, for people.
        value: String,
        /// The lowest that is covered.
        low: String,
        /// The highest that is covered.
        high: String,
        /// Who covers it.
        source_title: &'static str,
    },
    /// A figure has no meaning outside two bounds.
    #[error("the {what} is {value}; it must be from {low} to {high}")]
    NoSuch {
        /// Which figure.
        what: &'static str,
        /// What it is, for people.
        value: String,
        /// The least that has a meaning.
        low: String,
        /// The most that has a meaning.
        high: String,
    },
    /// An amount that must be above 0 isn't.
    #[error("the {what} is {value}; it must be above 0")]
    NotAboveZero {
        /// Which amount.
        what: &'static str,
        /// What it is, for people.
        value: String,
    },
    /// An amount is below 0.
    #[error("the {what} is {value}; it can be 0 but not below")]
    BelowZero {
        /// Which amount.
        what: &'static str,
        /// What it is, for people.
        value: String,
    },
    /// The water would have to be ice or steam.
    #[error("the dough needs water at {water}, which isn't liquid; {mend}")]
    NoSuchWater {
        /// The temperature that comes out.
        water: String,
        /// What would mend it.
        mend: &'static str,
    },
    /// Ice is asked for where the water must be warmed.
    #[error("water at {tap} isn't cooled to {wanted}; ice only makes it colder")]
    WarmerThanTap {
        /// The water at hand.
        tap: String,
        /// What is wanted.
        wanted: String,
    },
    /// A product weighs more than the mix it is made of.
    #[error(
        "the product weighs {product} and the mix {mix} in the same volume; air only makes it \
         lighter, so check that both fill the same measure"
    )]
    HeavierThanMix {
        /// The product.
        product: String,
        /// The mix.
        mix: String,
    },
    /// Nothing can be brought to this strength by what is added.
    #[error("{what} doesn't bring a syrup of {from} to {to}; {mend}")]
    Unreachable {
        /// What is added or taken away.
        what: &'static str,
        /// The strength at hand.
        from: String,
        /// The strength that is wanted.
        to: String,
        /// What would mend it.
        mend: &'static str,
    },
    /// Two of a kind can't be blended to a third strength.
    #[error("{target} can't be blended of {first} and {second}; it must lie between them")]
    NotBetween {
        /// What is wanted.
        target: String,
        /// The one.
        first: String,
        /// The other.
        second: String,
    },
    /// A formula has no base to be a share of.
    #[error("the formula has no base line with a mass; mark the flour, or whatever is 100 %")]
    NoBase,
    /// Percentages add up to nothing.
    #[error("the percentages add up to 0, so no weight follows; give at least one above 0 %")]
    NoShares,
    /// A mix of nothing.
    #[error("nothing is mixed; give at least one part with a mass above 0")]
    NothingMixed,
}

/// A number with its unit, for people.
pub(super) fn with_unit(value: &Exact, unit: &str) -> String {
    format!("{} {unit}", shown::number(value))
}

/// A strength outside a table of degrees Brix.
pub(super) fn outside_strength(
    brix: &Brix,
    (low, high): &(Exact, Exact),
    source_title: &'static str,
) -> DoughError {
    DoughError::OutOfRange {
        what: "strength of the syrup",
        value: brix.to_string(),
        low: shown::number(low),
        high: with_unit(high, "Brix"),
        source_title,
    }
}

/// A temperature outside a table of degrees Celsius.
pub(super) fn outside_celsius(
    what: &'static str,
    temperature: &Temperature,
    (low, high): (Exact, Exact),
    source_title: &'static str,
) -> DoughError {
    DoughError::OutOfRange {
        what,
        value: shown::temperature(temperature),
        low: shown::temperature(&Temperature::of_celsius(low)),
        high: shown::temperature(&Temperature::of_celsius(high)),
        source_title,
    }
}
