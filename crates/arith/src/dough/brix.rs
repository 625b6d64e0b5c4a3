//! Syrup by its strength: mixing, thinning, sweetening, boiling down.

use std::fmt;

use chablon_quantity::{Exact, Grams, Mass, Share};

use super::{DoughError, HOT_SUGAR_CAUTION, check};
use crate::geometry::shown;

/// The strength of a syrup: grams of sucrose in 100 g, from 0 to 100 by definition.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Brix(Exact);

impl Brix {
    /// A strength in degrees Brix.
    pub fn new(degrees: impl Into<Exact>) -> Result<Self, DoughError> {
        let degrees = degrees.into();
        check::part("strength of the syrup", &Share(&degrees / Exact::from(100)))?;
        Ok(Self(degrees))
    }

    /// In degrees Brix.
    pub fn degrees(&self) -> &Exact {
        &self.0
    }

    /// As the share of sugar in the syrup.
    pub fn share(&self) -> Share {
        Share(&self.0 / Exact::from(100))
    }

    /// The grams of sugar to 100 g of water, or nothing of dry sugar: 100 p / (100 - p).
    pub fn sugar_per_100_g_water(&self) -> Option<Exact> {
        (&self.0 * Exact::from(100)).checked_div(&self.water())
    }

    /// The strength of sugar dissolved in water: 100 x sugar / (sugar + water).
    pub fn of(sugar: &Mass, water: &Mass) -> Result<Self, DoughError> {
        mix(&[(sugar.clone(), Self(Exact::from(100))), (water.clone(), Self(Exact::from(0)))])
    }

    fn water(&self) -> Exact {
        Exact::from(100) - &self.0
    }
}

impl fmt::Display for Brix {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} Brix", shown::number(&self.0))
    }
}

/// The strength of several syrups mixed: the mean by mass, as sugar and water both stay.
///
/// Water is a syrup of 0 Brix and dry sugar one of 100; whether all of it dissolves is for
/// [`super::saturation`] to say.
pub fn mix(parts: &[(Mass, Brix)]) -> Result<Brix, DoughError> {
    let (mut total, mut sugar) = (check::zero(), check::zero());
    for (mass, brix) in parts {
        check::mass("mass of a syrup", mass)?;
        total = total + mass.grams();
        sugar = sugar + mass.grams() * &brix.0;
    }
    sugar.checked_div(&total).map(Brix).ok_or(DoughError::NothingMixed)
}

/// What is added to a syrup.
#[derive(Clone, Debug, PartialEq)]
pub enum Addition {
    /// Water, which thins it.
    Water(Mass),
    /// Sugar, which strengthens it.
    Sugar(Mass),
}

/// What brings a syrup to a strength: water where it is too strong, sugar where it is too thin
/// (0 g where it is right already).
///
/// Water is syrup x (from / to - 1); sugar is syrup x (to - from) / (100 - to). No water thins a
/// syrup to 0 Brix and no sugar makes one of 100.
pub fn bring_to(syrup: &Mass, from: &Brix, to: &Brix) -> Result<Addition, DoughError> {
    check::mass("syrup", syrup)?;
    if to < from {
        let ratio = from.0.checked_div(&to.0).ok_or_else(|| {
            unreachable("water", from, to, "aim above 0 Brix, or leave the syrup out")
        })?;
        return Ok(Addition::Water(syrup.clone() * (ratio - check::one())));
    }
    if to == from {
        return Ok(Addition::Sugar(syrup.clone() * check::zero()));
    }
    let ratio = (&to.0 - &from.0).checked_div(&to.water()).ok_or_else(|| {
        unreachable("sugar", from, to, "aim below 100 Brix, or use dry sugar alone")
    })?;
    Ok(Addition::Sugar(syrup.clone() * ratio))
}

/// A syrup boiled down to a strength.
#[derive(Clone, Debug, PartialEq)]
pub struct BoiledDown {
    /// The water that has to leave.
    pub water: Mass,
    /// What the pan then holds: weigh the pan until it does.
    pub left: Mass,
    /// To be shown with the figures.
    pub caution: &'static str,
}

/// The water that is boiled off to bring a syrup to a higher strength:
/// syrup x (1 - from / to). The sugar stays.
pub fn boil_down(syrup: &Mass, from: &Brix, to: &Brix) -> Result<BoiledDown, DoughError> {
    check::mass("syrup", syrup)?;
    if from.0 == check::zero() {
        return Err(unreachable("boiling", from, to, "there is no sugar in it; add some"));
    }
    let kept = from.0.checked_div(&to.0).filter(|kept| *kept <= check::one());
    let kept = kept.ok_or_else(|| {
        unreachable("boiling", from, to, "it only strengthens; add water to thin a syrup")
    })?;
    let left = syrup.clone() * kept;
    Ok(BoiledDown { water: syrup.clone() - left.clone(), left, caution: HOT_SUGAR_CAUTION })
}

fn unreachable(what: &'static str, from: &Brix, to: &Brix, mend: &'static str) -> DoughError {
    DoughError::Unreachable { what, from: from.to_string(), to: to.to_string(), mend }
}
