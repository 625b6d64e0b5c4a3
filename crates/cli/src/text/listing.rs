//! Columns of text, with remarks between the rows.

use comfy_table::{CellAlignment, ContentArrangement, Table};
use owo_colors::{OwoColorize, Style};
use textwrap::core::display_width;

/// What stands between two columns.
const GAP: u16 = 2;
/// The first column isn't made narrower than this.
const LEAST_FIRST: usize = 14;

/// Which side of a column is even.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// Rows in columns. The first column holds names and is broken over lines where the width doesn't
/// do; the others never are, since they hold numbers.
#[derive(Debug)]
pub(crate) struct Listing {
    indent: usize,
    sides: Vec<Side>,
    rows: Vec<Row>,
    sums: Vec<Sum>,
}

/// A label across all columns and a number below the last; without both, an empty line.
#[derive(Debug, Default)]
struct Sum {
    label: String,
    value: String,
    style: Style,
}

/// One row, with the remarks below it.
#[derive(Debug)]
struct Row {
    cells: Vec<String>,
    style: Style,
    remarks: Vec<String>,
}

impl Listing {
    /// A listing with columns that are even on these sides.
    pub(crate) fn new(indent: usize, sides: impl IntoIterator<Item = Side>) -> Self {
        Self { indent, sides: sides.into_iter().collect(), rows: Vec::new(), sums: Vec::new() }
    }

    /// Adds the names of the columns.
    pub(crate) fn head<T: Into<String>>(&mut self, cells: impl IntoIterator<Item = T>) {
        self.styled(cells, Style::new().dimmed());
    }

    /// Adds a row.
    pub(crate) fn row<T: Into<String>>(&mut self, cells: impl IntoIterator<Item = T>) {
        self.styled(cells, Style::new());
    }

    /// Adds a row that stands out on a terminal.
    pub(crate) fn styled<T: Into<String>>(
        &mut self,
        cells: impl IntoIterator<Item = T>,
        style: Style,
    ) {
        let cells = cells.into_iter().map(Into::into).collect();
        self.rows.push(Row { cells, style, remarks: Vec::new() });
    }

    /// Adds a remark below the last row.
    pub(crate) fn remark(&mut self, text: impl Into<String>) {
        if let Some(row) = self.rows.last_mut() {
            row.remarks.push(text.into());
        }
    }

    /// Adds a remark below the last row, where there is one.
    pub(crate) fn remark_if_any(&mut self, text: Option<String>) {
        if let Some(text) = text {
            self.remark(text);
        }
    }

    /// Adds a sum below all rows, its number below the last column.
    pub(crate) fn sum(&mut self, label: &str, value: &str, style: Style) {
        self.sums.push(Sum { label: label.to_owned(), value: value.to_owned(), style });
    }

    /// Adds an empty line before the next sum.
    pub(crate) fn gap(&mut self) {
        self.sums.push(Sum::default());
    }

    /// The listing as text of at most this width, where its numbers leave room for that.
    pub(crate) fn render(&self, width: usize) -> String {
        let room = width.saturating_sub(self.indent);
        let natural = self.rows.iter().map(|row| display_width(first(row))).max().unwrap_or(0);
        let widest = self.lines(natural).iter().map(|line| display_width(line)).max().unwrap_or(0);
        let first = natural.saturating_sub(widest.saturating_sub(room)).max(LEAST_FIRST);
        let all = self.lines(first.min(natural));
        let mut lines = all.iter();
        let margin = " ".repeat(self.indent);
        let mut text = String::new();
        for row in &self.rows {
            for line in lines.by_ref().take(broken(row, first).len()) {
                text += &margin;
                text += &line.trim_end().style(row.style).to_string();
                text += "\n";
            }
            text.extend(row.remarks.iter().map(|remark| paragraph(remark, self.indent + 2, width)));
        }
        let widest = all.iter().map(|line| display_width(line)).max().unwrap_or(0);
        text.extend(self.sums.iter().map(|sum| sum.line(&margin, widest)));
        text
    }

    /// The rows as lines, one for each line of a row's name.
    fn lines(&self, first: usize) -> Vec<String> {
        let mut table = Table::new();
        table.set_content_arrangement(ContentArrangement::Disabled);
        table.load_style(comfy_table::presets::NOTHING);
        for row in &self.rows {
            for (at, part) in broken(row, first).into_iter().enumerate() {
                let others = row.cells.iter().skip(1).filter(|_| at == 0);
                table.add_row(std::iter::once(&part).chain(others));
            }
        }
        let last = self.sides.len().saturating_sub(1);
        for (column, side) in table.column_iter_mut().zip(&self.sides) {
            let right = if column.index == last { 0 } else { GAP };
            column.set_padding((0, right));
            column.set_cell_alignment(match side {
                Side::Left => CellAlignment::Left,
                Side::Right => CellAlignment::Right,
            });
        }
        table.lines().collect()
    }
}

impl Sum {
    fn line(&self, margin: &str, width: usize) -> String {
        if self.label.is_empty() {
            return "\n".to_owned();
        }
        let used = display_width(&self.label) + display_width(&self.value);
        let between = " ".repeat(width.saturating_sub(used).max(GAP.into()));
        let line = format!("{}{between}{}", self.label, self.value);
        format!("{margin}{}\n", line.style(self.style))
    }
}

fn first(row: &Row) -> &str {
    row.cells.first().map_or("", String::as_str)
}

/// The first cell of a row in lines of a width; at least one.
fn broken(row: &Row, width: usize) -> Vec<String> {
    let options = whole_words(width.max(1)).subsequent_indent("  ");
    let name = first(row).replace(" %", "\u{a0}%");
    textwrap::wrap(&name, options).into_iter().map(String::from).collect()
}

/// A paragraph that stands out on a terminal.
pub(crate) fn styled(text: &str, indent: usize, width: usize, style: Style) -> String {
    let lines = paragraph(text, indent, width);
    lines.lines().map(|line| line.style(style).to_string() + "\n").collect()
}

/// A sentence or several, broken over lines.
pub(crate) fn paragraph(text: &str, indent: usize, width: usize) -> String {
    let margin = " ".repeat(indent);
    let options = whole_words(width).initial_indent(&margin).subsequent_indent(&margin);
    textwrap::fill(text, options) + "\n"
}

/// Lines of whole words: an id isn't broken at its hyphens.
fn whole_words<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn listing() -> Listing {
        let mut listing = Listing::new(2, [Side::Left, Side::Right]);
        listing.head(["what", "grams"]);
        listing.row(["Pear, buckwheat and honey entremet", "1 250"]);
        listing.remark("as it is");
        listing.row(["Œuf", "50"]);
        listing
    }

    fn plain(text: &str) -> String {
        anstream::adapter::strip_str(text).to_string()
    }

    #[test]
    fn columns_are_even_and_remarks_stand_below_their_row() {
        let expected = "  what                                grams
  Pear, buckwheat and honey entremet  1 250
    as it is
  Œuf                                    50
";
        assert_eq!(plain(&listing().render(80)), expected);
    }

    #[test]
    fn names_are_broken_where_the_width_is_too_small() {
        let expected = "  what                 grams
  Pear, buckwheat and  1 250
    honey entremet
    as it is
  Œuf                     50
";
        assert_eq!(plain(&listing().render(31)), expected);
    }
}
