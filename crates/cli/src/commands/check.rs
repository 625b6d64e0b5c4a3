//! `chablon check`.

use std::path::PathBuf;

use chablon_book::{AuthoredBook, Located, Severity};
use clap::Args;
use serde::Serialize;

use crate::arguments::Format;
use crate::book::{Checked, folder_or_here};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::text::counted;

/// Check a book: everything that is wrong or doubtful in it, in one run
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// What `--format json` prints.
#[derive(Serialize)]
struct Report<'a> {
    errors: usize,
    warnings: usize,
    recipes: Option<usize>,
    ingredients: Option<usize>,
    sites: Option<usize>,
    price_lists: Option<usize>,
    findings: Vec<Located<'a>>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to check")
            .hint("name its folder with --book DIR")
    })?;
    let checked = Checked::folder(&folder)?;
    match arguments.format {
        Format::Text => print(&checked)?,
        Format::Json => console::result(&json(&checked))?,
    }
    let refused = checked.count(Severity::Error) > 0;
    Ok(if refused { Exit::Refused } else { Exit::Result })
}

fn print(checked: &Checked) -> Result<(), Failure> {
    if !checked.findings.is_empty() {
        console::note(&checked.rendered());
        console::note("");
    }
    if checked.count(Severity::Error) == 0 {
        return console::result(&summary(checked));
    }
    console::note(&summary(checked));
    if checked.book.is_none() {
        console::note("The figures are checked once the files can be read.");
    }
    Ok(())
}

/// What was found, in one line.
pub(super) fn summary(checked: &Checked) -> String {
    let found = found(checked);
    match &checked.book {
        Some(book) => format!("{}: {found}", contents(book)),
        None => format!("The book can't be read: {found}"),
    }
}

fn contents(book: &AuthoredBook) -> String {
    [
        counted(book.recipes.len(), "recipe"),
        counted(book.ingredients.len(), "ingredient"),
        counted(book.sites.len(), "site"),
        counted(book.price_lists.len(), "price list"),
    ]
    .join(", ")
}

fn found(checked: &Checked) -> String {
    let warnings = counted(checked.count(Severity::Warning), "warning");
    match checked.count(Severity::Error) {
        0 => format!("no errors, {warnings}"),
        errors => format!("{}, {warnings}", counted(errors, "error")),
    }
}

fn json(checked: &Checked) -> String {
    let count = |of: fn(&AuthoredBook) -> usize| checked.book.as_ref().map(of);
    let report = Report {
        errors: checked.count(Severity::Error),
        warnings: checked.count(Severity::Warning),
        recipes: count(|book| book.recipes.len()),
        ingredients: count(|book| book.ingredients.len()),
        sites: count(|book| book.sites.len()),
        price_lists: count(|book| book.price_lists.len()),
        findings: checked.findings.iter().map(|one| one.located(&checked.files)).collect(),
    };
    console::json(&report)
}
