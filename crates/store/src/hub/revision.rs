//! Revisions as a hub keeps them.

use bytes::Bytes;
use chablon_model::{RevisionRef, SiteId, View, Visibility};

/// A stored revision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredRevision {
    /// Which one.
    pub reference: RevisionRef,
    /// Who may read it.
    pub visible_to: Visibility,
    /// The bytes as they came.
    pub bytes: Bytes,
}

impl StoredRevision {
    /// Whether a site may read it.
    pub fn is_visible_to(&self, site: &SiteId) -> bool {
        sees(&View::Site(site.clone()), &self.visible_to)
    }
}

/// The latest revision of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Which one.
    pub reference: RevisionRef,
    /// Who may read it.
    pub visible_to: Visibility,
}

impl Head {
    /// Whether the reader of a view may read it.
    pub fn is_visible_in(&self, view: &View) -> bool {
        sees(view, &self.visible_to)
    }
}

/// Whether the reader of a view may read what is visible so.
pub(crate) fn sees(view: &View, visible_to: &Visibility) -> bool {
    match (view, visible_to) {
        (View::Whole, _) | (_, Visibility::Everyone) => true,
        (View::Site(reader), Visibility::Site(site)) => reader == site,
    }
}
