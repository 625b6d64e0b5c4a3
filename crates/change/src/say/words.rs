//! Turns of phrase, and figures for people.

use std::fmt::Display;

use chablon_quantity::Exact;

use crate::Pair;

/// `after instead of before`
pub(super) fn instead(pair: Pair<impl Display>) -> String {
    let Pair { before, after } = pair;
    format!("{after} instead of {before}")
}

/// The same of something that may be left out, with what is said then.
pub(super) fn either<T: Display>(pair: &Pair<Option<T>>, none: &str) -> String {
    let said = |side: Option<&T>| side.map_or_else(|| none.to_owned(), ToString::to_string);
    instead(pair.as_ref().map(|side| said(side.as_ref())))
}

/// `changed`, `added` or `removed`, whichever it was.
pub(super) fn fate<T>(pair: &Pair<Option<T>>) -> &'static str {
    match (&pair.before, &pair.after) {
        (None, _) => "added",
        (_, None) => "removed",
        _ => "changed",
    }
}

/// The side that there is where only one is, else one instead of the other.
pub(super) fn sides<T>(pair: &Pair<Option<T>>, show: impl Fn(&T) -> String) -> String {
    let shown = pair.as_ref().map(|side| side.as_ref().map(&show));
    match (shown.before, shown.after) {
        (Some(before), Some(after)) => instead(Pair::new(before, after)),
        (before, after) => after.or(before).unwrap_or_default(),
    }
}

/// `a, b, c`, or what is said of none.
pub(super) fn list<T: Display>(items: &[T], none: &str) -> String {
    if items.is_empty() {
        return none.to_owned();
    }
    items.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// The first few of many, and how many more.
pub(super) fn some<T: Display>(items: &[T], most: usize) -> String {
    if items.len() <= most + 1 {
        return list(items, "nothing");
    }
    format!("{} and {} more", list(&items[..most], ""), items.len() - most)
}

/// Someone's words.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}

/// `12.5 g`: to a thousandth, without zeros at the end.
pub(super) fn grams(mass: &Exact) -> String {
    format!("{} g", plain(mass, 3))
}

/// A figure without zeros at the end.
pub(super) fn plain(figure: &Exact, decimals: u32) -> String {
    let rounded = figure.round(decimals).to_string();
    match rounded.split_once('.') {
        Some((whole, part)) => {
            let part = part.trim_end_matches('0');
            if part.is_empty() { whole.to_owned() } else { format!("{whole}.{part}") }
        }
        None => rounded,
    }
}

/// `6.90 %` of a part of one.
pub(super) fn percent(part: &Exact) -> String {
    format!("{} %", (part * Exact::from(100)).round(2))
}

/// The same with its sign: `+6.90 %`.
pub(super) fn signed_percent(part: &Exact) -> String {
    let sign = if part.is_negative() { "" } else { "+" };
    format!("{sign}{}", percent(part))
}
