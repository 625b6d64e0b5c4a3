//! Revisions: frozen states of documents.

use crate::{
    Book, Digest, DocumentId, DocumentKey, DocumentKind, Ingredient, PriceList, Recipe, Site,
    SiteId,
};

/// A revision by its document, its number there and the digest of its bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RevisionRef {
    /// The document.
    pub key: DocumentKey,
    /// From 1, without gaps.
    pub number: u32,
    /// The digest of the revision's bytes.
    pub digest: Digest,
}

/// Who may read a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Visibility {
    /// Every site of the group.
    Everyone,
    /// One site alone: its own description and its own prices.
    Site(SiteId),
}

/// What a document says.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "most documents are the largest kind, recipes")]
pub enum DocumentContent {
    /// The group's settings.
    Book(Book),
    /// An ingredient.
    Ingredient(Ingredient),
    /// A recipe.
    Recipe(Recipe),
    /// A site.
    Site(Site),
    /// A price list.
    Prices(PriceList),
}

impl DocumentContent {
    /// The id under which a group's settings are stored; there is one such document.
    pub const BOOK_ID: &'static str = "group";

    /// The document that this is the content of.
    pub fn key(&self) -> DocumentKey {
        match self {
            Self::Book(_) => DocumentKey { kind: DocumentKind::Book, id: group_id() },
            Self::Ingredient(ingredient) => (&ingredient.id).into(),
            Self::Recipe(recipe) => (&recipe.id).into(),
            Self::Site(site) => (&site.id).into(),
            Self::Prices(list) => (&list.id).into(),
        }
    }

    /// Who may read it.
    pub fn visibility(&self) -> Visibility {
        let own = match self {
            Self::Site(site) => Some(&site.id),
            Self::Prices(list) => list.site.as_ref(),
            Self::Book(_) | Self::Ingredient(_) | Self::Recipe(_) => None,
        };
        own.map_or(Visibility::Everyone, |site| Visibility::Site(site.clone()))
    }

    /// The documents that it uses directly and so pins, in order and each once.
    ///
    /// A recipe uses its ingredients and components, a compound ingredient its constituents.
    pub fn uses(&self) -> Vec<DocumentKey> {
        let key = |(kind, id)| DocumentKey { kind, id: DocumentId::of_another(id) };
        self.names_used().into_iter().map(key).collect()
    }

    /// The same by kind and id, as they stand in the content.
    pub fn names_used(&self) -> Vec<(DocumentKind, &str)> {
        let mut names: Vec<(DocumentKind, &str)> = match self {
            Self::Recipe(recipe) => recipe.lines.iter().map(|line| used(&line.uses)).collect(),
            Self::Ingredient(compound) => {
                let parts = compound.made_of.iter();
                parts.map(|part| (DocumentKind::Ingredient, part.ingredient.as_str())).collect()
            }
            Self::Book(_) | Self::Site(_) | Self::Prices(_) => Vec::new(),
        };
        names.sort_unstable();
        names.dedup();
        names
    }
}

fn group_id() -> DocumentId {
    DocumentContent::BOOK_ID.parse().expect("a constant id")
}

fn used(uses: &crate::Uses) -> (DocumentKind, &str) {
    match uses {
        crate::Uses::Ingredient(id) => (DocumentKind::Ingredient, id.as_str()),
        crate::Uses::Component(id) => (DocumentKind::Recipe, id.as_str()),
    }
}

/// One frozen state of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revision {
    /// From 1, without gaps within its document.
    pub number: u32,
    /// The revisions of everything that the content uses, sorted by document.
    pub pins: Vec<RevisionRef>,
    /// What the document says.
    pub content: DocumentContent,
}
