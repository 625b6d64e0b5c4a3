//! A group's settings.

use chablon_quantity::Currency;

use crate::{ControlSettings, Language};

/// What holds for the whole group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Book {
    /// The group's name.
    pub name: String,
    /// The currency of a site that names none.
    pub currency: Currency,
    /// The book's languages; the first is the fallback. Never empty.
    pub languages: Vec<Language>,
    /// The label regimes that the group declares under.
    pub labels: Vec<LabelRegime>,
    /// The group's food-safety plan.
    pub control: ControlSettings,
}

impl Book {
    /// The language that is used where a text lacks the one asked for.
    ///
    /// # Panics
    /// Where the list is empty, which reading a book or a revision refuses.
    pub fn fallback_language(&self) -> &Language {
        self.languages.first().expect("a book names at least one language")
    }
}

/// A set of labelling rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LabelRegime {
    /// Regulation (EU) No 1169/2011.
    Eu,
    /// 21 CFR 101.9.
    Us,
}

impl LabelRegime {
    /// Every regime.
    pub const ALL: [Self; 2] = [Self::Eu, Self::Us];

    /// The regime's name in a book.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Eu => "eu",
            Self::Us => "us",
        }
    }

    /// The regime of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|regime| regime.as_str() == name)
    }
}
