//! Notes on lots.

use chablon_model::{IngredientId, LotNote, Moment, SiteId};

use crate::{Act, Actor, AuditRecord, Request};

/// A note to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who keeps it.
    pub by: Actor,
    /// The note.
    pub note: LotNote,
}

impl LotCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let LotNote { site, ingredient, supplier, lot, event, .. } = &self.note;
        let of = supplier.as_ref().map(|one| format!(" of {one}")).unwrap_or_default();
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act: Act::NoteLot,
            subject: format!("ingredient/{ingredient}"),
            detail: format!("{} at {site}: lot `{lot}`{of}", event.as_str()),
        }
    }
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
