//! A small sum of the bench with what it rests on.

mod french;

use chablon_sdk::reckon::{Entry, Reckoned, Value};
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side, paragraph, styled};
use super::tongue::{NO_BREAK, Tongue};

const INDENT: usize = 3;

/// The sheet of a sum.
pub(crate) fn reckoned(reckoned: &Reckoned, tongue: Tongue, width: usize) -> String {
    let mut text = format!("{}\n", said(tongue, reckoned.title).bold());
    text += &results(&reckoned.entries, tongue, width);
    text += "\n";
    let colon = tongue.colon();
    for about in &reckoned.about {
        let (rule, range) = (said(tongue, about.rule), said(tongue, about.range));
        text += &paragraph(&format!("{}{colon} {rule}.", heading(tongue).0), INDENT, width);
        // A publication is found by its own words.
        text += &paragraph(&format!("Source{colon} {}.", about.source), INDENT, width);
        text += &paragraph(&format!("{}{colon} {range}.", heading(tongue).1), INDENT, width);
    }
    if let Some(caution) = reckoned.caution {
        let caution = format!("! {}", said(tongue, caution));
        text += &styled(&caution, INDENT, width, Style::new().red().bold());
    }
    let rules = &reckoned.basis.rules;
    let basis = tongue.pick(
        format!("Rules {rules}; no document was read."),
        format!("Règles {rules} ; aucun document n’a été lu."),
    );
    text + &basis.dimmed().to_string() + "\n"
}

/// The words before a rule and before its range.
fn heading(tongue: Tongue) -> (&'static str, &'static str) {
    tongue.pick(("Rule", "Range"), ("Règle", "Domaine"))
}

/// Fixed words in a tongue.
fn said(tongue: Tongue, words: &str) -> String {
    match tongue {
        Tongue::English => words.to_owned(),
        Tongue::French => french::of(words).unwrap_or(words).to_owned(),
    }
}

fn results(entries: &[Entry], tongue: Tongue, width: usize) -> String {
    let mut numbers: Vec<String> = entries.iter().map(|entry| number(entry, tongue)).collect();
    tongue.aligned(&mut numbers);
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Left]);
    for (entry, number) in entries.iter().zip(numbers) {
        let value = match &entry.value {
            Value::Words(words) => tongue.pick(words.clone(), french::words(words)),
            _ if entry.unit.is_empty() => number,
            _ => format!("{number}{NO_BREAK}{}", entry.unit),
        };
        // The lines of a formula are called as they were typed.
        let typed = entry.key.starts_with("line_");
        let label = if typed { entry.label.clone() } else { said(tongue, &entry.label) };
        listing.row([label, value]);
    }
    listing.render(width)
}

/// A result as a number; nothing for words.
fn number(entry: &Entry, tongue: Tongue) -> String {
    match &entry.value {
        Value::Figure(figure) => tongue.fixed(&figure.rounded()),
        Value::Root(root, decimals) => tongue.fixed(&root.round(*decimals)),
        Value::Count(count) => count.to_string(),
        Value::Words(_) => String::new(),
    }
}
