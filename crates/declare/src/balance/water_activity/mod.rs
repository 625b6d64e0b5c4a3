//! Water activity, estimated by published equations.
//!
//! - Norrish for a mix: ln aw = ln xw - (sum of sqrt(K) x)², mole fractions and the natural
//!   logarithm.
//! - Ross: the activities of solutes that each have all the water multiply; salt comes in so.
//! - Sodium chloride by its osmotic coefficient.
//!
//! The equations need roots and powers, which aren't rational. They are reckoned in fixed point
//! with 30 decimals ([`fixed`]); the error of an activity stays below 1e-25, far below what is shown.
//! No decision on an allergen or a label rests on it.

mod fixed;
mod salt;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use chablon_model::{IngredientId, Nutrient};
use chablon_quantity::Exact;

use super::{Dissolved, Solute};
use crate::content::Composition;
use crate::number::{dec, ratio};

pub use salt::sodium_chloride;

/// Water activity, or why it isn't estimated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WaterActivityEstimate {
    /// The estimate.
    Estimated(WaterActivity),
    /// Why there is none.
    Not(NotEstimated),
}

/// An estimate with its limits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WaterActivity {
    /// The lowest over everything that sugars of unknown kind could be.
    pub lowest: Exact,
    /// The highest.
    pub highest: Exact,
    /// How far an estimate by these equations is commonly off, either way.
    pub plus_minus: Exact,
    /// The ingredients that don't say which sugars theirs are.
    pub unknown_in: BTreeSet<IngredientId>,
    /// Moles of sugars and sugar alcohols in a kilogram of water, at most.
    pub molality: Exact,
    /// What isn't counted, each of which makes the true activity lower.
    pub not_counted: Vec<&'static str>,
    /// The equations and where they hold.
    pub method: &'static str,
}

/// Why water activity isn't estimated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotEstimated {
    /// Ingredients don't state their water, sugars or salt.
    Missing(BTreeSet<IngredientId>),
    /// There is no water.
    Dry,
    /// More is dissolved than the equations were checked for.
    OutOfRange {
        /// Moles of sugars and sugar alcohols in a kilogram of water.
        sugars: Exact,
        /// Moles of salt in a kilogram of water.
        salt: Exact,
        /// Up to how many of each they were checked.
        limit: Exact,
    },
}

/// Shown as a sentence without a full stop.
impl fmt::Display for NotEstimated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(ingredients) => {
                let names: Vec<_> = ingredients.iter().map(|id| format!("`{id}`")).collect();
                write!(f, "water, sugars or salt of {} aren't stated", names.join(", "))
            }
            Self::Dry => f.write_str("there is no water in it"),
            Self::OutOfRange { sugars, salt, limit } => write!(
                f,
                "more is dissolved ({} mol/kg of sugars, {} mol/kg of salt) than the equations \
                 were checked for ({} mol/kg)",
                sugars.round(2),
                salt.round(2),
                limit.round(1)
            ),
        }
    }
}

const METHOD: &str = "Norrish's equation for a mix (K of sugars from memory, of sugar alcohols after \
    the table of alditols at 25 °C), sodium chloride by its osmotic coefficient (Robinson and \
    Stokes, from memory), combined after Ross; at 25 °C, up to 6 mol of each in a kilogram of water";

/// Up to how many moles in a kilogram of water the constants were held to osmotic data.
pub(super) const MOST_MOLAL: i64 = 6;

/// Grams of water per mole.
pub(super) fn water_molar_mass() -> Exact {
    dec(180_153, -4).exact()
}

/// Water activity of a mix of sugars and sugar alcohols in water, all in grams; 1 for water alone,
/// and 0 without water.
pub fn norrish(solutes: &BTreeMap<Solute, Exact>, water: &Exact) -> Exact {
    let water_moles = water / water_molar_mass();
    let moles = |(solute, grams): (&Solute, &Exact)| grams / solute.figures().molar_mass.exact();
    let total: Exact = solutes.iter().map(moles).sum::<Exact>() + &water_moles;
    let fraction = |moles: Exact| moles.checked_div(&total).unwrap_or_else(|| Exact::from(0));
    let depressions = solutes.iter().map(|(solute, grams)| {
        let root = fixed::square_root(&solute.figures().norrish.exact());
        root * fraction(moles((solute, grams)))
    });
    let depression: Exact = depressions.sum();
    fraction(water_moles) * fixed::exp_minus(&(&depression * &depression))
}

/// The water activity of a mix from those of its solutes, each in all the water.
pub fn ross(activities: &[Exact]) -> Exact {
    activities.iter().fold(Exact::from(1), |product, one| product * one)
}

pub(super) fn estimate(content: &Composition, dissolved: &Dissolved) -> WaterActivityEstimate {
    let not = WaterActivityEstimate::Not;
    if !dissolved.missing.is_empty() {
        return not(NotEstimated::Missing(dissolved.missing.clone()));
    }
    let water = &content.amount(Nutrient::Water).grams;
    if !water.is_positive() {
        return not(NotEstimated::Dry);
    }
    let mixes: Vec<_> = Solute::SUGARS.iter().map(|kind| dissolved.taken_as(*kind)).collect();
    let molalities = mixes.iter().map(|mix| molality(mix, water));
    let molality = molalities.max().unwrap_or_else(|| Exact::from(0));
    let salt_molality = salt::molality(&content.amount(Nutrient::Salt).grams, water);
    let limit = Exact::from(MOST_MOLAL);
    let salt = sodium_chloride(&salt_molality);
    let Some(salt) = salt.filter(|_| molality <= limit) else {
        return not(NotEstimated::OutOfRange { sugars: molality, salt: salt_molality, limit });
    };
    let activities = mixes.iter().map(|mix| ross(&[norrish(mix, water), salt.clone()]));
    let activities: Vec<Exact> = activities.collect();
    let nothing = || Exact::from(0);
    WaterActivityEstimate::Estimated(WaterActivity {
        lowest: activities.iter().min().cloned().unwrap_or_else(nothing),
        highest: activities.iter().max().cloned().unwrap_or_else(nothing),
        plus_minus: ratio(2, 100),
        unknown_in: dissolved.unknown_in.clone(),
        molality,
        not_counted: not_counted(content, dissolved),
        method: METHOD,
    })
}

impl Dissolved {
    /// What is dissolved if all sugars of unknown kind are of this one.
    fn taken_as(&self, kind: Solute) -> BTreeMap<Solute, Exact> {
        let mut mix = self.known.clone();
        let sum = mix.entry(kind).or_insert_with(|| Exact::from(0));
        *sum = &*sum + &self.unknown_sugars;
        mix
    }
}

fn molality(mix: &BTreeMap<Solute, Exact>, water: &Exact) -> Exact {
    let moles = mix.iter().map(|(solute, grams)| grams / solute.figures().molar_mass.exact());
    moles.sum::<Exact>() * Exact::from(1000) / water
}

fn not_counted(content: &Composition, dissolved: &Dissolved) -> Vec<&'static str> {
    let mut names = vec!["other carbohydrates, proteins and acids"];
    let alcohol = content.amount(Nutrient::Alcohol);
    if alcohol.grams.is_positive() || !alcohol.is_complete() {
        names.push("alcohol, of which no constant is published here");
    }
    if dissolved.unknown_polyols.is_positive() {
        names.push("sugar alcohols of unknown kind");
    }
    names
}
