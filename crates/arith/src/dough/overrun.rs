//! Overrun: the air in an ice cream, a mousse, a whipped cream.

use chablon_quantity::{Density, Exact, Grams, Mass, Share};

use super::error::with_unit;
use super::{DoughError, check};

/// The overrun of a product from what it and its mix weigh in the same measure:
/// (mix - product) / product.
///
/// Source: University of Guelph ice cream pages, overrun by weight, without particulates (nuts
/// and the like are neither mix nor air). By its definition it is 0 % or more.
pub fn overrun(mix: &Mass, product: &Mass) -> Result<Share, DoughError> {
    check::some_mass("mix in the measure", mix)?;
    check::some_mass("product in the measure", product)?;
    if product > mix {
        let [product, mix] = [product, mix].map(|mass| with_unit(&mass.grams(), "g"));
        return Err(DoughError::HeavierThanMix { product, mix });
    }
    Ok(Share((mix.clone() - product.clone()).value / product.grams()))
}

/// What a measure of the product weighs that holds a mass of the mix before it is aerated:
/// mix / (1 + overrun). The inverse of [`overrun`].
pub fn aerated_mass(mix: &Mass, overrun: &Share) -> Result<Mass, DoughError> {
    check::some_mass("mix in the measure", mix)?;
    Ok(mix.clone() / swelling(overrun)?)
}

/// The density of the product at an overrun: density of the mix / (1 + overrun).
pub fn aerated_density(mix: &Density, overrun: &Share) -> Result<Density, DoughError> {
    check::some_density("mix's density", mix)?;
    Ok(mix.clone() / swelling(overrun)?)
}

/// The density of the mix behind a product of a known overrun: the inverse of
/// [`aerated_density`].
pub fn mix_density(product: &Density, overrun: &Share) -> Result<Density, DoughError> {
    check::some_density("product's density", product)?;
    Ok(product.clone() * swelling(overrun)?)
}

/// By what factor the volume grows.
fn swelling(overrun: &Share) -> Result<Exact, DoughError> {
    check::share("overrun", overrun)?;
    Ok(check::one() + &overrun.0)
}
