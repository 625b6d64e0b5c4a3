//! Baker's percentages: every line as a share of the flour, or of whatever is the base.

use chablon_quantity::{Exact, Grams, Mass, Share};

use super::{DoughError, check};

/// One line of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct FormulaLine {
    /// What it weighs.
    pub mass: Mass,
    /// Whether it is in the base, the 100 %.
    pub base: bool,
}

/// A formula in baker's percentages.
#[derive(Clone, Debug, PartialEq)]
pub struct Percentages {
    /// What the base lines weigh together.
    pub base: Mass,
    /// Each line's mass over the base's, in the order of the lines.
    pub lines: Vec<Share>,
    /// All lines together; above 100 % where anything but the base is in it.
    pub total: Share,
}

/// The baker's percentages of a formula: each mass over the sum of the base lines' masses.
///
/// Source: by definition; checked against the worksheets named in the tests.
pub fn percentages(lines: &[FormulaLine]) -> Result<Percentages, DoughError> {
    for line in lines {
        check::mass("mass of a line", &line.mass)?;
    }
    let base: Exact = lines.iter().filter(|line| line.base).map(|line| line.mass.grams()).sum();
    let share = |grams: Exact| grams.checked_div(&base).map(Share).ok_or(DoughError::NoBase);
    Ok(Percentages {
        lines: lines.iter().map(|line| share(line.mass.grams())).collect::<Result<_, _>>()?,
        total: share(lines.iter().map(|line| line.mass.grams()).sum())?,
        base: Mass::of_grams(base),
    })
}

/// The weights of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct Weights {
    /// What 100 % weigh: the flour.
    pub base: Mass,
    /// Each line, in the order of the percentages.
    pub lines: Vec<Mass>,
    /// All lines together.
    pub total: Mass,
}

/// The weights of a formula that is given in baker's percentages, for a total mass:
/// the base weighs total / sum of the percentages, each line its share of that.
pub fn weights_for_total(percentages: &[Share], total: &Mass) -> Result<Weights, DoughError> {
    check::mass("total mass", total)?;
    let base = total.grams().checked_div(&sum(percentages)?).ok_or(DoughError::NoShares)?;
    weights_for_base(percentages, &Mass::of_grams(base))
}

/// The weights of a formula that is given in baker's percentages, for a mass of the base.
pub fn weights_for_base(percentages: &[Share], base: &Mass) -> Result<Weights, DoughError> {
    check::mass("mass of the base", base)?;
    Ok(Weights {
        total: base.clone() * sum(percentages)?,
        lines: percentages.iter().map(|share| base.clone() * share.0.clone()).collect(),
        base: base.clone(),
    })
}

fn sum(percentages: &[Share]) -> Result<Exact, DoughError> {
    for share in percentages {
        check::share("percentage of a line", share)?;
    }
    Ok(percentages.iter().map(|share| &share.0).sum())
}

/// One line of a dough with the water in it.
#[derive(Clone, Debug, PartialEq)]
pub struct WetLine {
    /// What it weighs.
    pub mass: Mass,
    /// Whether it is in the base.
    pub base: bool,
    /// The part of it that counts as water: all of water; of milk or egg what the kitchen counts;
    /// none of flour, whose own moisture is left out by convention.
    pub water: Share,
}

/// The hydration of a dough: the water of all lines over the mass of the base.
pub fn hydration(lines: &[WetLine]) -> Result<Share, DoughError> {
    let (mut water, mut base) = (check::zero(), check::zero());
    for line in lines {
        check::mass("mass of a line", &line.mass)?;
        check::part("water in a line", &line.water)?;
        water = water + line.mass.grams() * &line.water.0;
        if line.base {
            base = base + line.mass.grams();
        }
    }
    water.checked_div(&base).map(Share).ok_or(DoughError::NoBase)
}
