//! A list as text: what is marked stands in capitals, which needs no colour and no bold type.

use std::fmt;

use super::words::Words;
use super::{Entry, IngredientList, Quantity, Span};

impl Span {
    /// The text, in capitals where it is marked.
    pub fn capitals(&self) -> String {
        if self.allergen { self.text.to_uppercase() } else { self.text.clone() }
    }
}

fn plain(text: &str) -> Span {
    Span { text: text.to_owned(), allergen: false }
}

impl IngredientList {
    /// All runs of text, for a printer that marks in its own way.
    pub fn spans(&self) -> Vec<Span> {
        let mut spans = vec![plain(self.words.ingredients)];
        for (at, entry) in self.entries.iter().enumerate() {
            spans.push(plain(if at == 0 { "" } else { ", " }));
            spans.extend(entry.spans(self.words));
        }
        spans.push(plain("."));
        if !self.may_contain.is_empty() {
            let names = self.may_contain.join(", ");
            spans.push(plain(&format!(" {}{names}.", self.words.may_contain)));
        }
        spans.retain(|span| !span.text.is_empty());
        spans
    }
}

impl Entry {
    fn spans(&self, words: &Words) -> Vec<Span> {
        let mut spans = self.name.clone();
        let quantity = self.quantity.as_ref().map(|one| one.to_string().replace('.', words.point));
        spans.extend(quantity.map(|quantity| plain(&format!(" {quantity}"))));
        let mut open = 0;
        for part in &self.made_of {
            let between = if part.depth > open {
                " (".to_owned()
            } else {
                format!("{}, ", ")".repeat(open - part.depth))
            };
            open = part.depth;
            spans.push(plain(&between));
            spans.extend(part.name.iter().cloned());
        }
        spans.push(plain(&")".repeat(open)));
        spans
    }
}

impl fmt::Display for Quantity {
    /// `29.4 %`, `120.5 g/100 g`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Percent(percent) => write!(f, "{} %", percent.round(1)),
            Self::GramsPer100G(grams) => write!(f, "{} g/100 g", grams.round(1)),
        }
    }
}

impl fmt::Display for IngredientList {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.spans().iter().try_for_each(|span| f.write_str(&span.capitals()))
    }
}
