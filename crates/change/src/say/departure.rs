//! Departures of a deviation as sentences.

use chablon_model::{Amount, Departure, LineRef, NewAmount};

use super::method::range;

/// A departure as a sentence without a full stop.
pub fn departure_words(departure: &Departure) -> String {
    match departure {
        Departure::Ingredient { line, with, amount } => {
            let (number, id) = (line.number, line.uses.id());
            format!("line {number} takes `{with}` instead of `{id}`, {}", much(amount))
        }
        Departure::Amount { line: LineRef { number, uses }, to } => {
            format!("line {number} (`{}`) takes {}", uses.id(), much(to))
        }
        Departure::Wording { step, to } => {
            let words = to.0.values().next().map_or("", String::as_str);
            format!("step `{step}` says: {words}")
        }
        Departure::Control { step, number, to } => {
            let measure = to.measure.as_str();
            format!("step `{step}`, control {number}: {measure} {}", range(to))
        }
    }
}

fn much(amount: &NewAmount) -> String {
    match amount {
        NewAmount::Times(times) => format!("{times} times the amount"),
        NewAmount::Exactly(Amount::Mass(mass)) => mass.to_string(),
        NewAmount::Exactly(Amount::Volume(volume)) => volume.to_string(),
        NewAmount::Exactly(Amount::Count(count)) => count.to_string(),
        NewAmount::Exactly(Amount::Share(share)) => share.to_string(),
        NewAmount::Exactly(Amount::Shape(shape)) => shape.to_string(),
        NewAmount::Exactly(Amount::ToTaste) => "as much as the cook likes".to_owned(),
    }
}
