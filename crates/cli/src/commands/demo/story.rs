//! How the demonstration is told.

use owo_colors::OwoColorize;

use super::stage::Stage;
use crate::console;
use crate::failure::Failure;
use crate::text::paragraph;

/// How far output stands in.
const INDENT: usize = 4;

/// What it is about.
pub(super) fn begin(stage: &Stage) -> Result<(), Failure> {
    says(
        "Saltmarsh Kitchens is an invented group with three kitchens: harbour, millrace, station. What follows really happens on this machine; each step shows the command that does it.",
    )?;
    typed(&format!("cd {}", stage.folder().display()))
}

/// A step's heading.
pub(super) fn step(number: usize, text: &str) -> Result<(), Failure> {
    console::result("")?;
    console::result(&format!("{}", format!("{number}. {text}").bold()))
}

/// Something that is told.
pub(super) fn says(text: &str) -> Result<(), Failure> {
    console::result(&paragraph(text, 0, console::width()))
}

/// A command as it would be typed.
pub(super) fn typed(command: &str) -> Result<(), Failure> {
    console::result(&format!("  {}", format!("$ {command}").cyan()))
}

/// What a command prints, or the part of it that matters.
pub(super) fn shown(output: &str) -> Result<(), Failure> {
    for line in output.trim_end().lines() {
        let lines = paragraph(line, INDENT, console::width());
        console::result(&lines)?;
    }
    Ok(())
}

/// Columns, which are not broken over lines any more.
pub(super) fn table(table: &str) -> Result<(), Failure> {
    let margin = " ".repeat(INDENT);
    let lines = table.trim_end().lines();
    lines
        .map(|line| format!("{margin}{line}"))
        .try_for_each(|line| console::result(line.trim_end()))
}

/// How many columns there are for a table.
pub(super) fn width() -> usize {
    console::width() - INDENT
}

/// Where to go from here.
pub(super) fn end(stage: &Stage) -> Result<(), Failure> {
    console::result("")?;
    match stage.kept() {
        Some(folder) => says(&format!(
            "The files are kept in {}. Go on with: chablon hub serve --store {}",
            folder.display(),
            folder.join("hub.db").display()
        )),
        None => says(
            "The files are removed; `chablon demo --keep DIR` keeps them, to go on from there.",
        ),
    }
}
