//! Drafts: changes that are proposed, looked at, and then released or dropped.

use std::collections::BTreeSet;

use crate::{Digest, DraftId, Moment};

/// A change that is proposed on a hub, without the revisions that it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// Which one.
    pub id: DraftId,
    /// Where it stands.
    pub state: DraftState,
    /// Names what it holds now. Whoever changes it or judges it says which one was looked at.
    pub etag: Digest,
    /// Who began it.
    pub author: String,
    /// What changes and why, for people.
    pub note: String,
    /// All that was done to it, in order. Never empty: the first made it.
    pub events: Vec<DraftEvent>,
}

/// Where a draft stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DraftState {
    /// It is written at.
    Open,
    /// Others look at it.
    InReview,
    /// It was handed back to be mended.
    Returned,
    /// As many others approved as the group's rule asks for.
    Approved,
    /// It is a standard now, and ends so.
    Released,
    /// It was given up, and ends so.
    Dropped,
}

/// What somebody did to a draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DraftAct {
    /// Made it.
    Create,
    /// Put other content in it. Whatever was approved before is not any more.
    Update,
    /// Gave it to be looked at.
    Submit,
    /// Said something about it.
    Comment,
    /// Approved what it holds.
    Approve,
    /// Handed it back to be mended.
    Return,
    /// Gave it up.
    Drop,
    /// Released it.
    Release,
}

/// Something that was done to a draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftEvent {
    /// What.
    pub act: DraftAct,
    /// Who did it.
    pub by: String,
    /// When.
    pub at: Moment,
    /// What the draft held then; for an update, from then on.
    pub etag: Digest,
    /// What was said, for people. May be empty.
    pub text: String,
}

impl Draft {
    /// Who wrote what it holds now.
    pub fn writer(&self) -> &str {
        self.events
            .iter()
            .rev()
            .find(|event| event.writes())
            .map_or(&self.author, |event| &event.by)
    }

    /// Who wrote at it.
    pub fn authors(&self) -> BTreeSet<&str> {
        self.events.iter().filter(|event| event.writes()).map(|event| event.by.as_str()).collect()
    }

    /// Who wrote what it holds now.
    pub fn last_writer(&self) -> Option<&str> {
        self.events.iter().rfind(|event| event.writes()).map(|event| event.by.as_str())
    }

    /// Who approved what it holds now, since it was last given to be looked at.
    pub fn approvals(&self) -> BTreeSet<&str> {
        let mut approvals = BTreeSet::new();
        for event in &self.events {
            match event.act {
                DraftAct::Approve => {
                    approvals.insert(event.by.as_str());
                }
                DraftAct::Comment | DraftAct::Release => {}
                DraftAct::Create
                | DraftAct::Update
                | DraftAct::Submit
                | DraftAct::Return
                | DraftAct::Drop => approvals.clear(),
            }
        }
        approvals
    }

    /// When it was begun.
    pub fn created_at(&self) -> Option<Moment> {
        self.events.first().map(|event| event.at)
    }

    /// When something was last done to it.
    pub fn changed_at(&self) -> Option<Moment> {
        self.events.last().map(|event| event.at)
    }
}

impl DraftEvent {
    /// Whether it put something in the draft.
    fn writes(&self) -> bool {
        matches!(self.act, DraftAct::Create | DraftAct::Update)
    }
}

impl DraftState {
    /// Every state, in the order in which a draft may come by them.
    pub const ALL: [Self; 6] =
        [Self::Open, Self::InReview, Self::Returned, Self::Approved, Self::Released, Self::Dropped];

    /// The state's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::InReview => "in-review",
            Self::Returned => "returned",
            Self::Approved => "approved",
            Self::Released => "released",
            Self::Dropped => "dropped",
        }
    }

    /// The state of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }

    /// Whether nothing can be done to it any more.
    pub fn is_final(self) -> bool {
        matches!(self, Self::Released | Self::Dropped)
    }
}

impl DraftAct {
    /// Every act.
    pub const ALL: [Self; 8] = [
        Self::Create,
        Self::Update,
        Self::Submit,
        Self::Comment,
        Self::Approve,
        Self::Return,
        Self::Drop,
        Self::Release,
    ];

    /// The act's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Create => "create",
            Self::Update => "update",
            Self::Submit => "submit",
            Self::Comment => "comment",
            Self::Approve => "approve",
            Self::Return => "return",
            Self::Drop => "drop",
            Self::Release => "release",
        }
    }

    /// The act of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.as_str() == name)
    }
}
