//! Energy from content, by the factors of a label's regime.

use std::collections::BTreeSet;

use chablon_model::{IngredientId, LabelRegime, Nutrient};
use chablon_quantity::{Exact, Number};

use super::Composition;
use crate::number::dec;

/// A factor of energy.
#[derive(Debug)]
pub struct Factor {
    /// What the regime calls it.
    pub name: &'static str,
    /// What it is the sum of; nothing where a book states no content of it.
    pub of: &'static [Part],
    /// Kilojoules per gram, where the regime counts them.
    pub kj: Option<Number>,
    /// Kilocalories per gram.
    pub kcal: Number,
}

/// A nutrient as a part of what a factor is for.
#[derive(Clone, Copy, Debug)]
pub enum Part {
    /// It counts.
    And(Nutrient),
    /// It is taken out.
    Without(Nutrient),
}

/// Energy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Energy {
    /// Kilojoules, where the regime counts them.
    pub kj: Option<Exact>,
    /// Kilocalories.
    pub kcal: Exact,
    /// The ingredients that don't state something that it is computed from. It is computed from
    /// what is known; where polyols aren't stated, all carbohydrate counts in full.
    pub missing: BTreeSet<IngredientId>,
}

const fn eu(name: &'static str, of: &'static [Part], kj: i64, kcal: Number) -> Factor {
    Factor { name, of, kj: Some(Number::whole(kj)), kcal }
}

/// Annex XIV to Regulation (EU) No 1169/2011.
pub const EU_FACTORS: &[Factor] = &[
    eu(
        "carbohydrate except polyols",
        &[Part::And(Nutrient::Carbohydrate), Part::Without(Nutrient::Polyols)],
        17,
        Number::whole(4),
    ),
    eu("polyols", &[Part::And(Nutrient::Polyols)], 10, dec(24, -1)),
    eu("protein", &[Part::And(Nutrient::Protein)], 17, Number::whole(4)),
    eu("fat", &[Part::And(Nutrient::Fat)], 37, Number::whole(9)),
    eu("salatrims", &[], 25, Number::whole(6)),
    eu("alcohol (ethanol)", &[Part::And(Nutrient::Alcohol)], 29, Number::whole(7)),
    eu("organic acid", &[], 13, Number::whole(3)),
    eu("fibre", &[Part::And(Nutrient::Fibre)], 8, Number::whole(2)),
    eu("erythritol", &[], 0, Number::whole(0)),
];

const fn us(name: &'static str, of: &'static [Part], kcal: i64) -> Factor {
    Factor { name, of, kj: None, kcal: Number::whole(kcal) }
}

/// The general factors of 21 CFR 101.9(c)(1)(i)(B), which count fibre with carbohydrate. It names
/// none for alcohol; 7 is common practice.
pub const US_FACTORS: &[Factor] = &[
    us("protein", &[Part::And(Nutrient::Protein)], 4),
    us("total carbohydrate", &[Part::And(Nutrient::Carbohydrate), Part::And(Nutrient::Fibre)], 4),
    us("total fat", &[Part::And(Nutrient::Fat)], 9),
    us("alcohol", &[Part::And(Nutrient::Alcohol)], 7),
];

impl Factor {
    /// The grams that it is for.
    fn grams(&self, of: &Composition) -> Exact {
        let signed = |part: &Part| match part {
            Part::And(nutrient) => of.amount(*nutrient).grams.clone(),
            Part::Without(nutrient) => -&of.amount(*nutrient).grams,
        };
        self.of.iter().map(signed).sum()
    }

    fn nutrients(&self) -> impl Iterator<Item = Nutrient> {
        self.of.iter().map(|part| match part {
            Part::And(nutrient) | Part::Without(nutrient) => *nutrient,
        })
    }
}

/// The factors of a regime.
pub(crate) fn factors(regime: LabelRegime) -> &'static [Factor] {
    match regime {
        LabelRegime::Eu => EU_FACTORS,
        LabelRegime::Us => US_FACTORS,
    }
}

/// The energy of so much of a finished recipe, each unit summed by its own factors.
pub fn energy(of: &Composition, regime: LabelRegime) -> Energy {
    let factors = factors(regime);
    let kj = factors.iter().map(|one| Some(one.kj?.exact() * one.grams(of)));
    let kcal = factors.iter().map(|one| one.kcal.exact() * one.grams(of));
    let nutrients = factors.iter().flat_map(Factor::nutrients);
    let missing = nutrients.flat_map(|nutrient| of.amount(nutrient).missing.iter().cloned());
    Energy {
        kj: kj.collect::<Option<Vec<Exact>>>().map(|terms| terms.iter().sum()),
        kcal: kcal.sum(),
        missing: missing.collect(),
    }
}
