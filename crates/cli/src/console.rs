//! The two streams: results to standard output, all else to standard error.
//!
//! Colours are taken out on the way where the stream isn't a terminal or `NO_COLOR` is set.

use std::io::Write;

use crate::failure::Failure;
use crate::text::NO_BREAK;

/// The width where no terminal tells.
const USUAL_WIDTH: usize = 100;
/// Below this no table has room for its columns.
const LEAST_WIDTH: usize = 60;
/// Beyond this a line is too long to be read across.
const LARGEST_WIDTH: usize = 120;

/// Writes a result.
///
/// Spaces that don't break have done their work by now; whoever searches the output types plain ones.
pub(crate) fn result(text: &str) -> Result<(), Failure> {
    let mut stream = anstream::stdout().lock();
    writeln!(stream, "{}", text.trim_end_matches('\n').replace(NO_BREAK, " "))?;
    Ok(stream.flush()?)
}

/// A value as text, laid out for people who look into it.
pub(crate) fn json(value: &impl serde::Serialize) -> String {
    serde_json::to_string_pretty(value).expect("text, numbers and lists can be written as JSON")
}

/// Says something about the way to the result.
///
/// Nothing is left to tell where standard error can't be written to.
pub(crate) fn note(text: &str) {
    let _ = writeln!(anstream::stderr(), "{}", text.trim_end_matches('\n'));
}

/// The same, where there is something to say.
pub(crate) fn note_if_any(text: &str) {
    if !text.is_empty() {
        note(text);
    }
}

/// How many columns there are for text.
pub(crate) fn width() -> usize {
    let terminal = comfy_table::Table::new().width().map(usize::from);
    terminal.unwrap_or(USUAL_WIDTH).clamp(LEAST_WIDTH, LARGEST_WIDTH)
}

/// Whether findings on standard error may be coloured.
pub(crate) fn colours_notes() -> bool {
    anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never
}
