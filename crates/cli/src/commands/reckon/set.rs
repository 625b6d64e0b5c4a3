//! Gelatine and air.

use chablon_arith::dough::{Bloom, BloomRule, SheetGrade};
use chablon_quantity::{Authored, DensityUnit, MassUnit, Number, ShareUnit};
use chablon_sdk::Error;
use chablon_sdk::reckon::{self, Reckoned};
use clap::{Args, ValueEnum};

/// Own gelatine in place of the recipe's, by its strength
#[derive(Debug, Args)]
pub(super) struct Gelatine {
    /// The recipe's gelatine
    #[arg(long, value_name = "MASS")]
    amount: Authored<MassUnit>,
    /// The strength of the recipe's, in grams Bloom
    #[arg(long, value_name = "BLOOM")]
    from: Number,
    /// The strength of the own
    #[arg(long, value_name = "BLOOM")]
    to: Number,
    /// Which of the two published rules, since they disagree
    #[arg(long, value_enum)]
    rule: Rule,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Rule {
    Proportional,
    SquareRoot,
}

impl Gelatine {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let rule = match self.rule {
            Rule::Proportional => BloomRule::Proportional,
            Rule::SquareRoot => BloomRule::SquareRoot,
        };
        let [from, to] = [self.from, self.to].map(|bloom| Bloom(bloom.exact()));
        reckon::gelatine(&self.amount.quantity(), (&from, &to), rule)
    }
}

/// How many leaves of gelatine a mass is
#[derive(Debug, Args)]
pub(super) struct Leaves {
    /// The mass
    #[arg(long, value_name = "MASS")]
    amount: Authored<MassUnit>,
    /// The grade of the leaves
    #[arg(long, value_enum)]
    grade: Grade,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Grade {
    Bronze,
    Silver,
    Gold,
    Platinum,
}

impl Leaves {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let grade = match self.grade {
            Grade::Bronze => SheetGrade::Bronze,
            Grade::Silver => SheetGrade::Silver,
            Grade::Gold => SheetGrade::Gold,
            Grade::Platinum => SheetGrade::Platinum,
        };
        reckon::leaves(&self.amount.quantity(), grade)
    }
}

/// The overrun of a product, from what it and its mix weigh in one measure
#[derive(Debug, Args)]
pub(super) struct Overrun {
    /// What the measure holds of the mix
    #[arg(long, value_name = "MASS")]
    mix: Authored<MassUnit>,
    /// What it holds of the product
    #[arg(long, value_name = "MASS")]
    product: Authored<MassUnit>,
}

impl Overrun {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        reckon::overrun(&self.mix.quantity(), &self.product.quantity())
    }
}

/// The density of a mix once it has an overrun
#[derive(Debug, Args)]
pub(super) struct Aerated {
    /// The mix: "1.1 g/mL"
    #[arg(long, value_name = "DENSITY")]
    mix: Authored<DensityUnit>,
    /// The overrun: "80 %"
    #[arg(long, value_name = "SHARE")]
    overrun: Authored<ShareUnit>,
}

impl Aerated {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        reckon::aerated(&self.mix.quantity(), &self.overrun.quantity())
    }
}
