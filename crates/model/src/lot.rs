//! What kitchens note of the lots that suppliers deliver.

use crate::{IngredientId, Moment, SiteId, SupplierId};

/// What happened to a lot at a site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LotEvent {
    /// It came in.
    Received,
    /// It was worked with.
    Used,
    /// Nothing is left of it: it was used up, sent back or thrown away.
    Gone,
}

impl LotEvent {
    /// Every event.
    pub const ALL: [Self; 3] = [Self::Received, Self::Used, Self::Gone];

    /// The event's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Received => "received",
            Self::Used => "used",
            Self::Gone => "gone",
        }
    }

    /// The event of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|event| event.as_str() == name)
    }
}

/// A note on a lot. It is never changed; what was noted wrongly is noted again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotNote {
    /// At which site.
    pub site: SiteId,
    /// Of which ingredient the lot is.
    pub ingredient: IngredientId,
    /// Whose lot it is, where that is noted.
    pub supplier: Option<SupplierId>,
    /// What the supplier wrote on it, letter by letter.
    pub lot: String,
    /// What happened.
    pub event: LotEvent,
    /// When it happened.
    pub at: Moment,
    /// Who notes it, for people.
    pub author: String,
}
