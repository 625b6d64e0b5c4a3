//! Notes on lots.

use chablon_model::{IngredientId, LotNote, Moment, SiteId};

use crate::Request;

/// A note to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// The note.
    pub note: LotNote,
}

/// A note that is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredLotNote {
    /// Its number, from 1. Later ones are higher; some may be left out.
    pub number: u64,
    /// When the hub took it.
    pub recorded_at: Moment,
    /// The note.
    pub note: LotNote,
}

/// Which notes are asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LotFilter {
    /// Of this site only.
    pub site: Option<SiteId>,
    /// Of lots of this ingredient only.
    pub ingredient: Option<IngredientId>,
    /// Of lots with just these words on them only.
    pub lot: Option<String>,
}

impl LotFilter {
    /// Whether a note is asked for.
    pub fn takes(&self, note: &LotNote) -> bool {
        self.site.as_ref().is_none_or(|site| *site == note.site)
            && self.ingredient.as_ref().is_none_or(|one| *one == note.ingredient)
            && self.lot.as_ref().is_none_or(|lot| *lot == note.lot)
    }
}
