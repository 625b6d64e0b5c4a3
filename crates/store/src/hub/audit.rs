//! Who did what when: the log of changes.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{Moment, Role};

use crate::HubError;

/// Who makes a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    /// The name.
    pub name: String,
    /// The role, where the hub checked who it is; none where the name is only what the call says.
    pub role: Option<Role>,
}

/// What is done to a hub.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Act {
    /// Revisions were released.
    Release,
    /// A revision was taken back.
    Withdraw,
    /// A draft was begun.
    CreateDraft,
    /// A draft got other content.
    UpdateDraft,
    /// A draft was given to be looked at.
    SubmitDraft,
    /// Something was said about a draft.
    CommentDraft,
    /// A draft was approved.
    ApproveDraft,
    /// A draft was handed back.
    ReturnDraft,
    /// A draft was given up.
    DropDraft,
    /// A draft was released.
    ReleaseDraft,
    /// A deviation was asked for.
    AskDeviation,
    /// A deviation was granted.
    GrantDeviation,
    /// A deviation was refused.
    RefuseDeviation,
    /// Somebody was given a code by which to join.
    Invite,
    /// A code was turned into a token.
    Join,
    /// A token, or an account with all its tokens, was shut out.
    Revoke,
    /// It was noted what happened to a lot.
    NoteLot,
    /// A version of the root of trust was added.
    AddRoot,
    /// Entries got other signatures.
    SignEntries,
    /// Sites' views were compacted.
    Compact,
}

impl Act {
    /// Every act.
    pub const ALL: [Self; 20] = [
        Self::Release,
        Self::Withdraw,
        Self::CreateDraft,
        Self::UpdateDraft,
        Self::SubmitDraft,
        Self::CommentDraft,
        Self::ApproveDraft,
        Self::ReturnDraft,
        Self::DropDraft,
        Self::ReleaseDraft,
        Self::AskDeviation,
        Self::GrantDeviation,
        Self::RefuseDeviation,
        Self::Invite,
        Self::Join,
        Self::Revoke,
        Self::NoteLot,
        Self::AddRoot,
        Self::SignEntries,
        Self::Compact,
    ];

    /// The act's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Release => "release",
            Self::Withdraw => "withdraw",
            Self::CreateDraft => "create-draft",
            Self::UpdateDraft => "update-draft",
            Self::SubmitDraft => "submit-draft",
            Self::CommentDraft => "comment-draft",
            Self::ApproveDraft => "approve-draft",
            Self::ReturnDraft => "return-draft",
            Self::DropDraft => "drop-draft",
            Self::ReleaseDraft => "release-draft",
            Self::AskDeviation => "ask-deviation",
            Self::GrantDeviation => "grant-deviation",
            Self::RefuseDeviation => "refuse-deviation",
            Self::Invite => "invite",
            Self::Join => "join",
            Self::Revoke => "revoke",
            Self::NoteLot => "note-lot",
            Self::AddRoot => "add-root",
            Self::SignEntries => "sign-entries",
            Self::Compact => "compact",
        }
    }

    /// The act of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.as_str() == name)
    }
}

/// What the log says of one change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditRecord {
    /// When the hub took it.
    pub at: Moment,
    /// Who made it.
    pub by: Actor,
    /// What was done.
    pub act: Act,
    /// To which: `release/4f1d...`, `recipe/honey-bavarois 3`, `draft/less-honey`, `root/2`.
    pub subject: String,
    /// What was said about it: a note, a reason. May be empty.
    pub detail: String,
}

/// A record with its place in the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditEntry {
    /// The place, from 1, without gaps.
    pub number: u64,
    /// What it says.
    pub record: AuditRecord,
}

/// The log of changes. Each change writes its record together with what it does, so that none is
/// missing and none is there of what didn't happen; nothing takes a record away.
#[async_trait]
pub trait AuditLog: Send + Sync {
    /// The records before a number, or the last ones, the newest first.
    async fn audit(
        &self,
        before: Option<u64>,
        limit: NonZeroU32,
    ) -> Result<Vec<AuditEntry>, HubError>;
}
