//! Lots that suppliers deliver: what kitchens note of them, and where a lot went.
//!
//! [`Client::note_lot`](crate::Client::note_lot) adds a note,
//! [`Client::trace_lot`](crate::Client::trace_lot) asks where a lot may have gone.

use chablon_model::{LotNote, Moment, SiteId};
pub use chablon_store::{LotFilter, StoredLotNote};

use crate::publish::random_request;
use crate::where_used::Use;
use chablon_store::RequestId;

/// A note that is ready to be sent. Sent twice it is one note, since its request carries a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotDraft {
    pub(crate) request: RequestId,
    pub(crate) note: LotNote,
}

impl LotDraft {
    /// A note under a name that no other has.
    pub fn new(note: LotNote) -> Self {
        Self { request: random_request(), note }
    }

    /// The note.
    pub fn note(&self) -> &LotNote {
        &self.note
    }
}

/// Where a lot may have gone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct LotTrace {
    /// What was noted of it, by number.
    pub notes: Vec<StoredLotNote>,
    /// Every use of the ingredients that the notes name, at every kitchen: a kitchen that noted
    /// nothing may have had it all the same. By site, then by recipe, then by time.
    pub uses: Vec<Use>,
}

impl LotTrace {
    /// Whether a kitchen noted the lot.
    pub fn noted_at(&self, site: &SiteId) -> bool {
        self.notes.iter().any(|one| one.note.site == *site)
    }

    /// When the lot was first noted anywhere.
    pub fn first_noted(&self) -> Option<Moment> {
        self.notes.iter().map(|one| one.note.at).min()
    }
}
