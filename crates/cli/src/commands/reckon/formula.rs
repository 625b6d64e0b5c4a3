//! Formulas in percentages, blends, eggs.

use chablon_arith::dough::{EggPart, EggSize};
use chablon_quantity::{Authored, MassUnit, Share, ShareUnit};
use chablon_sdk::Error;
use chablon_sdk::reckon::{self, Given, Reckoned};
use clap::{Args, ValueEnum};

/// The weights of a formula in baker's percentages
#[derive(Debug, Args)]
pub(super) struct Formula {
    /// A line of it, as often as needed: flour="100 %"
    #[arg(long = "line", value_name = "NAME=SHARE", required = true, value_parser = parse_line)]
    lines: Vec<(String, Share)>,
    #[command(flatten)]
    given: Weight,
}

/// What all of it, or the base, weighs.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct Weight {
    /// What all of it is to weigh
    #[arg(long, value_name = "MASS")]
    total: Option<Authored<MassUnit>>,
    /// What the base weighs, the 100 %
    #[arg(long, value_name = "MASS")]
    base: Option<Authored<MassUnit>>,
}

impl Formula {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let total = self.given.total.map(|mass| Given::Total(mass.quantity()));
        let given = total.or_else(|| self.given.base.map(|mass| Given::Base(mass.quantity())));
        reckon::formula(&self.lines, &given.expect("the parser asks for one of the two"))
    }
}

fn parse_line(text: &str) -> Result<(String, Share), String> {
    let (name, share) = text
        .split_once('=')
        .ok_or_else(|| format!("`{text}` names no share; write NAME=SHARE, such as flour=100%"))?;
    let share: Authored<ShareUnit> =
        share.trim().parse().map_err(|error: chablon_quantity::ParseError| error.to_string())?;
    Ok((name.trim().to_owned(), share.quantity()))
}

/// Two of a kind blended to a strength between theirs
#[derive(Debug, Args)]
pub(super) struct Blend {
    /// The strength of the first: "36 %"
    #[arg(long, value_name = "SHARE")]
    first: Authored<ShareUnit>,
    /// The strength of the second
    #[arg(long, value_name = "SHARE")]
    second: Authored<ShareUnit>,
    /// The strength that is wanted
    #[arg(long, value_name = "SHARE")]
    target: Authored<ShareUnit>,
    /// What the blend is to weigh
    #[arg(long, value_name = "MASS")]
    total: Option<Authored<MassUnit>>,
}

impl Blend {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let [first, second, target] =
            [&self.first, &self.second, &self.target].map(Authored::quantity);
        let total = self.total.as_ref().map(Authored::quantity);
        reckon::blend([&first, &second, &target], total.as_ref())
    }
}

/// How many eggs a mass of shelled egg, white or yolk takes
#[derive(Debug, Args)]
pub(super) struct Eggs {
    /// The mass
    #[arg(long, value_name = "MASS")]
    amount: Authored<MassUnit>,
    /// The US size of the eggs
    #[arg(long, value_enum, default_value_t, conflicts_with = "part")]
    size: Size,
    /// Only this part, of large eggs
    #[arg(long, value_enum)]
    part: Option<Part>,
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
enum Size {
    Small,
    Medium,
    #[default]
    Large,
    ExtraLarge,
    Jumbo,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Part {
    White,
    Yolk,
}

impl Eggs {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let mass = self.amount.quantity();
        match self.part {
            Some(Part::White) => reckon::yolks_or_whites(&mass, EggPart::White),
            Some(Part::Yolk) => reckon::yolks_or_whites(&mass, EggPart::Yolk),
            None => reckon::eggs(&mass, self.size.into()),
        }
    }
}

impl From<Size> for EggSize {
    fn from(size: Size) -> Self {
        match size {
            Size::Small => Self::Small,
            Size::Medium => Self::Medium,
            Size::Large => Self::Large,
            Size::ExtraLarge => Self::ExtraLarge,
            Size::Jumbo => Self::Jumbo,
        }
    }
}
