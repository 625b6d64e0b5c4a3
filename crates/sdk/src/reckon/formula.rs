//! Formulas in percentages, blends, eggs.

use chablon_arith::about;
use chablon_arith::dough::{self, EggPart, EggSize, weights_for_base, weights_for_total};
use chablon_quantity::{Exact, Grams, Mass, Share};

use super::Reckoned;
use crate::Error;

/// What is given of a formula in baker's percentages.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// What all of it weighs.
    Total(Mass),
    /// What the base weighs, the 100 %.
    Base(Mass),
}

/// The weights of a formula in baker's percentages, by the names of its lines.
///
/// # Errors
/// [`Error::is_not_computable`] for percentages or masses below 0, and for none above 0.
pub fn formula(lines: &[(String, Share)], given: &Given) -> Result<Reckoned, Error> {
    let shares: Vec<Share> = lines.iter().map(|(_, share)| share.clone()).collect();
    let weights = match given {
        Given::Total(total) => weights_for_total(&shares, total)?,
        Given::Base(base) => weights_for_base(&shares, base)?,
    };
    let mut reckoned = Reckoned::new("formula", "Weights of the formula", &[about::BAKERS_PERCENT]);
    for ((name, _), mass) in lines.iter().zip(&weights.lines) {
        reckoned = reckoned.grams(format!("line_{name}_g"), name, mass.grams());
    }
    let reckoned = reckoned.grams("base_g", "the base, 100 %", weights.base.grams());
    Ok(reckoned.grams("total_g", "all of it", weights.total.grams()))
}

/// Two of a kind blended to a strength between theirs; their masses, where a total is given.
///
/// # Errors
/// [`Error::is_not_computable`] for a target that isn't between the two.
pub fn blend(
    [first, second, target]: [&Share; 3],
    total: Option<&Mass>,
) -> Result<Reckoned, Error> {
    let blend = dough::blend(first, second, target)?;
    let mut reckoned = Reckoned::new("blend", "Blend", &[about::BLEND])
        .percent("first_percent", "of the first", &blend.first.0)
        .percent("second_percent", "of the second", &blend.second.0);
    if let Some(total) = total {
        let (first, second) = blend.of_total(total)?;
        reckoned = reckoned.grams("first_g", "the first", first.grams()).grams(
            "second_g",
            "the second",
            second.grams(),
        );
    }
    Ok(reckoned)
}

/// How many eggs of a US size a mass of shelled egg takes.
///
/// # Errors
/// [`Error::is_not_computable`] for a mass below 0.
pub fn eggs(mass: &Mass, size: EggSize) -> Result<Reckoned, Error> {
    Ok(counted(size.eggs_for(mass)?.0))
}

/// How many large eggs a mass of white or yolk takes.
///
/// # Errors
/// [`Error::is_not_computable`] for a mass below 0.
pub fn yolks_or_whites(mass: &Mass, part: EggPart) -> Result<Reckoned, Error> {
    Ok(counted(part.large_eggs_for(mass)?.0))
}

fn counted(eggs: Exact) -> Reckoned {
    let to_open = eggs.ceil();
    let reckoned = Reckoned::new("eggs", "Eggs", &[about::EGGS]).pieces("eggs", "eggs", eggs);
    reckoned.pieces("to_open", "to open", to_open)
}
