//! Where recipes come from.

use std::path::PathBuf;

use chablon_model::{Language, Moment};
use clap::Args;

use crate::clock::parse_moment;

/// A book as it is written, or what a kitchen has received.
#[derive(Debug, Args)]
pub(crate) struct SourceArguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR", conflicts_with = "replica")]
    pub(crate) book: Option<PathBuf>,
    /// A kitchen's replica, which needs no hub
    #[arg(long, value_name = "FILE")]
    pub(crate) replica: Option<PathBuf>,
    /// The standard in force at this moment, from a replica; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment, requires = "replica", conflicts_with = "book")]
    pub(crate) at: Option<Moment>,
}

/// A language as it is typed.
pub(crate) fn parse_language(text: &str) -> Result<Language, String> {
    text.parse().map_err(|error: chablon_model::LanguageError| error.to_string())
}
