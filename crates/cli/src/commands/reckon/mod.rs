//! `chablon reckon`: the small sums of the bench.

mod dough;
mod formula;
mod set;
mod shape;
mod syrup;

use chablon_model::Language;
use chablon_sdk::Error;
use chablon_sdk::reckon::Reckoned;
use clap::{Args, Subcommand};

use crate::arguments::{Format, parse_language};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::text::{self, Tongue};

/// The small sums of the bench, each with its source and its range: dough temperature, ice,
/// gelatine, overrun, syrup, shapes, sheets, ovens, formulas, eggs
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    what: What,
    /// How to print
    #[arg(long, value_enum, default_value_t, global = true)]
    format: Format,
    /// The language of the words; English if not given
    #[arg(long, value_name = "CODE", value_parser = parse_language, global = true)]
    language: Option<Language>,
}

#[derive(Debug, Subcommand)]
enum What {
    Water(dough::Water),
    Friction(dough::Friction),
    Ice(dough::Ice),
    Gelatine(set::Gelatine),
    Leaves(set::Leaves),
    Overrun(set::Overrun),
    Aerated(set::Aerated),
    Syrup(syrup::Syrup),
    BringTo(syrup::BringTo),
    BoilDown(syrup::BoilDown),
    Sugar(syrup::Sugar),
    Flat(shape::Flat),
    Mould(shape::MouldFill),
    Sheet(shape::SheetOf),
    Oven(shape::Oven),
    Formula(formula::Formula),
    Blend(formula::Blend),
    Eggs(formula::Eggs),
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let reckoned = arguments.what.reckon().map_err(|error| Failure::of_figure(&error))?;
    let printed = match arguments.format {
        Format::Text => {
            let tongue = arguments.language.as_ref().map_or(Tongue::English, Tongue::of);
            text::reckoned(&reckoned, tongue, console::width())
        }
        Format::Json => console::json(&reckoned.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

impl What {
    fn reckon(&self) -> Result<Reckoned, Error> {
        match self {
            Self::Water(asked) => asked.reckon(),
            Self::Friction(asked) => Ok(asked.reckon()),
            Self::Ice(asked) => asked.reckon(),
            Self::Gelatine(asked) => asked.reckon(),
            Self::Leaves(asked) => asked.reckon(),
            Self::Overrun(asked) => asked.reckon(),
            Self::Aerated(asked) => asked.reckon(),
            Self::Syrup(asked) => asked.reckon(),
            Self::BringTo(asked) => asked.reckon(),
            Self::BoilDown(asked) => asked.reckon(),
            Self::Sugar(asked) => asked.reckon(),
            Self::Flat(asked) => asked.reckon(),
            Self::Mould(asked) => asked.reckon(),
            Self::Sheet(asked) => asked.reckon(),
            Self::Oven(asked) => asked.reckon(),
            Self::Formula(asked) => asked.reckon(),
            Self::Blend(asked) => asked.reckon(),
            Self::Eggs(asked) => asked.reckon(),
        }
    }
}
