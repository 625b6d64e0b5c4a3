//! Ids: short names that people type, each kind a type of its own.

use std::fmt;
use std::str::FromStr;

/// The longest id, in bytes: room for a descriptive name, short enough for a table's column.
const MAX_ID_BYTES: usize = 64;

/// Why a text is no id.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    /// Letters outside the alphabet, or hyphens at an end or doubled.
    #[error(
        "`{0}` is not an id; use lower-case letters a-z and digits, with single hyphens between words"
    )]
    Malformed(String),
    /// Longer than 64 bytes.
    #[error("`{0}` is longer than 64 letters")]
    TooLong(String),
}

fn check(text: &str) -> Result<(), IdError> {
    if text.len() > MAX_ID_BYTES {
        return Err(IdError::TooLong(text.to_owned()));
    }
    let mut in_word = false;
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'0'..=b'9' => in_word = true,
            b'-' if in_word => in_word = false,
            _ => return Err(IdError::Malformed(text.to_owned())),
        }
    }
    if in_word { Ok(()) } else { Err(IdError::Malformed(text.to_owned())) }
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident)+) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Box<str>);

        impl $name {
            /// The id as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl FromStr for $name {
            type Err = IdError;
            fn from_str(text: &str) -> Result<Self, IdError> {
                check(text)?;
                Ok(Self(text.into()))
            }
        }

        impl TryFrom<String> for $name {
            type Error = IdError;
            fn try_from(text: String) -> Result<Self, IdError> {
                check(&text)?;
                Ok(Self(text.into()))
            }
        }

        impl AsRef<str> for $name {
            fn as_ref(&self) -> &str {
                &self.0
            }
        }

        impl std::borrow::Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    )+};
}

ids! {
    /// A recipe, and so a component.
    RecipeId
    /// An ingredient.
    IngredientId
    /// A site: one kitchen.
    SiteId
    /// A group of sites, as a release addresses it.
    GroupId
    /// A step within a recipe.
    StepId
    /// A supplier, as prices name it.
    SupplierId
    /// A class of equipment whose capacity bounds a batch: `mixer`.
    EquipmentClass
    /// A price list.
    PriceListId
    /// A release; a UUID in lower case is one.
    ReleaseId
    /// A deviation; a UUID in lower case is one.
    DeviationId
    /// A draft.
    DraftId
    /// A document of any kind.
    DocumentId
}

impl DocumentId {
    /// The text of another id as that of a document.
    pub(crate) fn of_another(id: &str) -> Self {
        Self(id.into())
    }
}

macro_rules! document_ids {
    ($($name:ident => $kind:ident),+ $(,)?) => {$(
        impl From<&$name> for DocumentId {
            fn from(id: &$name) -> Self {
                Self(id.0.clone())
            }
        }
        impl From<&$name> for DocumentKey {
            fn from(id: &$name) -> Self {
                Self { kind: DocumentKind::$kind, id: id.into() }
            }
        }
        impl From<&DocumentId> for $name {
            fn from(id: &DocumentId) -> Self {
                Self(id.0.clone())
            }
        }
    )+};
}
document_ids!(
    RecipeId => Recipe,
    IngredientId => Ingredient,
    SiteId => Site,
    PriceListId => Prices,
);

/// The kinds of document that a hub distributes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DocumentKind {
    /// The group's settings.
    Book,
    /// An ingredient.
    Ingredient,
    /// A recipe.
    Recipe,
    /// A site with its scales and equipment.
    Site,
    /// A price list.
    Prices,
}

impl DocumentKind {
    /// Every kind, dependencies first.
    pub const ALL: [Self; 5] =
        [Self::Book, Self::Ingredient, Self::Recipe, Self::Site, Self::Prices];

    /// The kind's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Book => "book",
            Self::Ingredient => "ingredient",
            Self::Recipe => "recipe",
            Self::Site => "site",
            Self::Prices => "prices",
        }
    }

    /// The kind of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }
}

impl fmt::Display for DocumentKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

/// A document: its kind and its id. Shown as `recipe/honey-bavarois`.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocumentKey {
    /// The kind.
    pub kind: DocumentKind,
    /// The id, unique within the kind.
    pub id: DocumentId,
}

impl fmt::Display for DocumentKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.kind, self.id)
    }
}

impl fmt::Debug for DocumentKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for DocumentKey {
    type Err = IdError;
    fn from_str(text: &str) -> Result<Self, IdError> {
        let malformed = || IdError::Malformed(text.to_owned());
        let (kind, id) = text.split_once('/').ok_or_else(malformed)?;
        let kind = DocumentKind::parse(kind).ok_or_else(malformed)?;
        Ok(Self { kind, id: id.parse()? })
    }
}
