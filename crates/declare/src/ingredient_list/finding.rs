//! What keeps a list from being printed as it is.

use std::fmt;

use chablon_model::{Allergen, IngredientId, Language};

/// Something to mend, or to know, before a list is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ListFinding {
    /// An allergen's state isn't known.
    AllergensUnknown {
        /// The allergens.
        allergens: Vec<Allergen>,
    },
    /// An ingredient contains something of a group whose kinds or species are named singly, and
    /// doesn't say which.
    KindNotNamed {
        /// The ingredient.
        ingredient: IngredientId,
        /// The group.
        allergen: Allergen,
    },
    /// There are no words for allergens in the language; English stands in.
    NoWords {
        /// The language asked for.
        language: Language,
    },
    /// An ingredient has no name in the language; another language stands in.
    NotTranslated {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A compound ingredient is made of itself; its constituents end there.
    MadeOfItself {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A constituent isn't among the ingredients; its id stands in.
    NotThere {
        /// The constituent.
        ingredient: IngredientId,
    },
    /// A compound ingredient has more constituents than a label could print.
    TooManyParts {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A percentage is called for of something that isn't an entry by itself.
    NotListed {
        /// The ingredient.
        ingredient: IngredientId,
    },
}

impl ListFinding {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::AllergensUnknown { .. } => "allergens-unknown",
            Self::KindNotNamed { .. } => "kind-not-named",
            Self::NoWords { .. } => "no-words",
            Self::NotTranslated { .. } => "not-translated",
            Self::MadeOfItself { .. } => "made-of-itself",
            Self::NotThere { .. } => "constituent-not-there",
            Self::TooManyParts { .. } => "too-many-parts",
            Self::NotListed { .. } => "not-listed",
        }
    }
}

impl fmt::Display for ListFinding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AllergensUnknown { allergens } => {
                let names: Vec<&str> = allergens.iter().map(Allergen::code).collect();
                write!(f, "not known, so don't print this list: {}", names.join(", "))
            }
            Self::KindNotNamed { ingredient, allergen } => {
                write!(f, "`{ingredient}` contains {allergen}; state which kind or species")
            }
            Self::NoWords { language } => {
                write!(f, "there are no words for allergens in `{language}`; they are in English")
            }
            Self::NotTranslated { ingredient } => {
                write!(f, "`{ingredient}` has no name in this language")
            }
            Self::MadeOfItself { ingredient } => write!(f, "`{ingredient}` is made of itself"),
            Self::NotThere { ingredient } => {
                write!(f, "there is no ingredient `{ingredient}`, so its allergens aren't known")
            }
            Self::TooManyParts { ingredient } => {
                write!(f, "`{ingredient}` has too many constituents to list")
            }
            Self::NotListed { ingredient } => {
                write!(
                    f,
                    "a percentage of `{ingredient}` is called for, but it isn't listed by itself"
                )
            }
        }
    }
}
