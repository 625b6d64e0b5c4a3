//! How a figure stands in a message.

use chablon_quantity::{Exact, Length, Millimetres, Temperature};

/// The most decimals that a message shows.
const DECIMALS: u32 = 6;

/// A number for people: a decimal without trailing zeros, with `about` where digits are left out.
pub(crate) fn number(value: &Exact) -> String {
    let rounded = value.round(DECIMALS);
    let digits = rounded.to_string();
    let digits = digits.trim_end_matches('0').trim_end_matches('.');
    if rounded.exact() == *value { digits.to_owned() } else { format!("about {digits}") }
}

/// A length in millimetres.
pub(crate) fn length(value: &Length) -> String {
    format!("{} mm", number(&value.millimetres()))
}

/// A part of a whole in percent.
pub(crate) fn percent(part: &Exact) -> String {
    format!("{} %", number(&(part * Exact::from(100))))
}

/// A temperature on both scales, since a message can't know which one its reader uses.
pub(crate) fn temperature(value: &Temperature) -> String {
    format!("{} °C ({} °F)", number(&value.celsius()), number(&value.fahrenheit()))
}
