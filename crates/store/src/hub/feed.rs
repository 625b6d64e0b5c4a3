//! The feed as a hub lists it.

use chablon_model::{Digest, EntryBody, Moment};

use crate::{Epoch, Frozen};

/// Where a feed stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedState {
    /// Which history the positions belong to.
    pub epoch: Epoch,
    /// The last position; 0 when nothing was committed yet.
    pub position: u64,
    /// The position up to which sites' views were [compacted](crate::HubStore::compact); 0: they
    /// show all that ever addressed them.
    pub oldest: u64,
}

/// How the body of an entry is to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryKind {
    /// It is a part of a release.
    Release,
    /// It is a withdrawal.
    Withdrawal,
    /// It is a decision on a deviation.
    Deviation,
}

impl EntryKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Release, Self::Withdrawal, Self::Deviation];

    /// The kind of what an entry says.
    pub fn of(body: &EntryBody) -> Self {
        match body {
            EntryBody::Release(_) => Self::Release,
            EntryBody::Withdrawal(_) => Self::Withdrawal,
            EntryBody::Deviation(_) => Self::Deviation,
        }
    }

    /// The kind's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Release => "release",
            Self::Withdrawal => "withdrawal",
            Self::Deviation => "deviation",
        }
    }

    /// The kind of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }
}

/// An entry of the feed, as one view shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedEntry {
    /// Its place in the feed, from 1.
    pub position: u64,
    /// The place of the entry before it in this view, 0 for the first: a reader that holds another
    /// one has missed something.
    pub previous_position: u64,
    /// When the hub took it.
    pub recorded_at: Moment,
    /// How to read the body.
    pub kind: EntryKind,
    /// The bytes of the manifest, the notice or the deviation.
    pub body: Frozen,
}

/// A page of the feed. All of it is read at one moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// The entries, by position.
    pub entries: Vec<FeedEntry>,
    /// Whether the view has entries after these.
    pub more: bool,
    /// Where the feed stood.
    pub state: FeedState,
    /// For a site's view, the token of [`SiteRecord::view`](crate::SiteRecord::view).
    pub view: Option<Digest>,
}

impl Page {
    /// The position from which to read on.
    ///
    /// At the end of the view that is the end of the feed, so that a reader whom nothing concerned
    /// for long needn't have the same stretch looked through again.
    pub fn end(&self) -> u64 {
        match self.entries.last() {
            Some(last) if self.more => last.position,
            _ => self.state.position,
        }
    }
}
