//! The languages that this program speaks, and how numbers are written in them.

use chablon_model::Language;
use chablon_quantity::{Exact, Rounded};
use chablon_sdk::declare::caution;
use chablon_sdk::declare::label::Row;

/// Keeps what belongs together on one line.
pub(crate) const NO_BREAK: char = '\u{a0}';

/// A language of the program's own words. A book may have more: its titles are shown in them,
/// beside English words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tongue {
    English,
    French,
}

impl Tongue {
    /// The tongue for a kitchen's language.
    pub(crate) fn of(language: &Language) -> Self {
        if language.as_str() == "fr" { Self::French } else { Self::English }
    }

    /// The tongue of whoever writes for a group, whose first language this is.
    pub(crate) fn of_group(first: Option<&Language>) -> Self {
        first.map_or(Self::English, Self::of)
    }

    /// One of two wordings.
    pub(crate) fn pick<T>(self, english: T, french: T) -> T {
        match self {
            Self::English => english,
            Self::French => french,
        }
    }

    /// What stands between a name and what is said of it.
    pub(crate) fn colon(self) -> &'static str {
        self.pick(":", "\u{a0}:")
    }

    /// What a result says of itself.
    pub(crate) fn caution(self, english: &str) -> &str {
        self.pick(english, caution::in_french(english))
    }

    fn point(self) -> char {
        self.pick('.', ',')
    }

    /// A figure with all its decimals and its thousands apart: `12 345.50`.
    pub(crate) fn fixed(self, rounded: &Rounded) -> String {
        let text = rounded.to_string();
        let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
        let (sign, digits) = whole.strip_prefix('-').map_or(("", whole), |digits| ("-", digits));
        let whole = format!("{sign}{}", grouped(digits));
        if decimals.is_empty() { whole } else { format!("{whole}{}{decimals}", self.point()) }
    }

    /// A number rounded to at most so many decimals, without zeros at its end: `12 345.5`.
    pub(crate) fn number(self, exact: &Exact, decimals: u32) -> String {
        let text = self.fixed(&exact.round(decimals));
        match text.split_once(self.point()) {
            Some(_) => text.trim_end_matches('0').trim_end_matches(self.point()).to_owned(),
            None => text,
        }
    }

    /// A mass in grams, to the milligram: `12 345.5 g`.
    pub(crate) fn grams(self, mass: &Exact) -> String {
        format!("{}{NO_BREAK}g", self.number(mass, 3))
    }

    /// A per cent figure: `28 %`.
    pub(crate) fn percent(self, percent: &Exact) -> String {
        format!("{}{NO_BREAK}%", self.number(percent, 2))
    }

    /// A figure of a label, which has its own decimals: `8,8 g`.
    pub(crate) fn printed(self, row: &Row) -> String {
        row.to_string().replace('.', self.pick(".", ","))
    }

    /// Pads numbers on the right so that in a column their decimal points stand under each other.
    pub(crate) fn aligned(self, numbers: &mut [String]) {
        let after_point =
            |text: &String| text.find(self.point()).map_or(0, |at| text[at..].chars().count());
        let widest = numbers.iter().map(after_point).max().unwrap_or_default();
        for number in numbers.iter_mut().filter(|number| !number.is_empty()) {
            let missing = widest - after_point(number);
            number.extend(std::iter::repeat_n(' ', missing));
        }
    }
}

/// Digits in threes.
fn grouped(digits: &str) -> String {
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(NO_BREAK);
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(tongue: Tongue, number: &str, expected: &str) {
        let exact: Exact = number.parse().unwrap();
        assert_eq!(tongue.number(&exact, 3).replace(NO_BREAK, " "), expected);
    }

    #[test]
    fn numbers_are_grouped_in_threes_without_idle_zeros() {
        check(Tongue::English, "12345678", "12 345 678");
        check(Tongue::English, "-1234", "-1 234");
        check(Tongue::English, "123", "123");
        check(Tongue::English, "2001/2", "1 000.5");
        check(Tongue::English, "100", "100");
        check(Tongue::English, "0", "0");
    }

    #[test]
    fn french_numbers_have_a_comma() {
        check(Tongue::French, "2001/2", "1 000,5");
    }

    #[test]
    fn points_stand_under_each_other() {
        let mut column = ["250".to_owned(), "62.14".to_owned(), String::new(), "0.5".to_owned()];
        Tongue::English.aligned(&mut column);
        assert_eq!(column, ["250   ", "62.14", "", "0.5 "]);
    }
}
