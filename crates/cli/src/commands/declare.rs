//! `chablon declare`.

use chablon_model::{IngredientId, Language, RecipeId};
use chablon_sdk::declare::control::Jurisdiction;
use chablon_sdk::declared::Declaring;
use clap::{Args, ValueEnum};

use crate::arguments::{Format, SourceArguments, parse_language};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::source::Source;
use crate::text;

/// What is in it: allergens and why, content, label figures, ingredient list, control points
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    /// What to declare
    #[arg(long, value_name = "ID")]
    recipe: RecipeId,
    /// An ingredient that the name, a picture or a claim calls for, so that its share is stated;
    /// any number of them
    #[arg(long, value_name = "INGREDIENT")]
    emphasise: Vec<IngredientId>,
    /// Whose published control points count; those that go with the group's labels if not given
    #[arg(long, value_enum, value_name = "WHOSE")]
    limits: Option<Limits>,
    /// The language of names
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Whose published control points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Limits {
    /// The European Union's
    Eu,
    /// France's
    Fr,
    /// The United Kingdom's
    Uk,
    /// The FDA Food Code's
    Us,
}

impl From<Limits> for Jurisdiction {
    fn from(limits: Limits) -> Self {
        match limits {
            Limits::Eu => Self::EuropeanUnion,
            Limits::Fr => Self::France,
            Limits::Uk => Self::UnitedKingdom,
            Limits::Us => Self::UsFoodCode,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let source = Source::open(&arguments.source, &arguments.recipe)?;
    let how = Declaring {
        emphasised: arguments.emphasise.iter().cloned().collect(),
        jurisdiction: arguments.limits.map(Jurisdiction::from),
    };
    let declared = source.declare(&arguments.recipe, &how)?;
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(None, arguments.language.as_ref())?;
            source.sheet(text::declaration_sheet(&declared, &names, console::width()), &names)
        }
        Format::Json => source.json(declared.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}
