//! A small sum of the bench with what it rests on.

use chablon_sdk::reckon::{Entry, Reckoned, Value};
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side, paragraph, styled};
use super::tongue::{NO_BREAK, Tongue};

const INDENT: usize = 3;

/// The sheet of a sum.
pub(crate) fn reckoned(reckoned: &Reckoned, width: usize) -> String {
    let mut text = format!("{}\n", reckoned.title.bold());
    text += &results(&reckoned.entries, width);
    text += "\n";
    for about in &reckoned.about {
        text += &paragraph(&format!("Rule: {}.", about.rule), INDENT, width);
        text += &paragraph(&format!("Source: {}.", about.source), INDENT, width);
        text += &paragraph(&format!("Range: {}.", about.range), INDENT, width);
    }
    if let Some(caution) = reckoned.caution {
        text += &styled(&format!("! {caution}"), INDENT, width, Style::new().red().bold());
    }
    let basis = format!("Rules {}; no document was read.", reckoned.basis.rules);
    text + &basis.dimmed().to_string() + "\n"
}

fn results(entries: &[Entry], width: usize) -> String {
    let mut numbers: Vec<String> = entries.iter().map(number).collect();
    Tongue::English.aligned(&mut numbers);
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Left]);
    for (entry, number) in entries.iter().zip(numbers) {
        let value = match &entry.value {
            Value::Words(words) => words.clone(),
            _ if entry.unit.is_empty() => number,
            _ => format!("{number}{NO_BREAK}{}", entry.unit),
        };
        listing.row([entry.label.clone(), value]);
    }
    listing.render(width)
}

/// A result as a number; nothing for words.
fn number(entry: &Entry) -> String {
    match &entry.value {
        Value::Figure(figure) => Tongue::English.fixed(&figure.rounded()),
        Value::Root(root, decimals) => Tongue::English.fixed(&root.round(*decimals)),
        Value::Count(count) => count.to_string(),
        Value::Words(_) => String::new(),
    }
}
