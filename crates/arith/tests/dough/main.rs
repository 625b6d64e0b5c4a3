//! Dough, set, air and syrup against published worked examples.
//!
//! Each check names its source. "From memory" marks a figure of a published text that was not at
//! hand; "computed" one that was worked out apart from this code.

mod about;
mod eggs;
mod formulas;
mod gelatine;
mod ice;
mod overrun;
mod stages;
mod syrup;
mod temperature;

use chablon_quantity::{Exact, Grams, Mass, Number, Share, Temperature};

fn exact(text: &str) -> Exact {
    text.parse::<Number>().unwrap().exact()
}

fn g(text: &str) -> Mass {
    Mass::of_grams(exact(text))
}

fn percent(text: &str) -> Share {
    Share(exact(text) / Exact::from(100))
}

fn c(text: &str) -> Temperature {
    Temperature::of_celsius(exact(text))
}

fn f(text: &str) -> Temperature {
    Temperature::of_fahrenheit(exact(text))
}

/// Tenths of a unit as an exact number.
fn tenths(count: impl Into<i128>) -> Exact {
    Exact::ratio(count.into(), 10).unwrap()
}
