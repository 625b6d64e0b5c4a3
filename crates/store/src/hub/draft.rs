//! Drafts: what is proposed on a hub before it is released.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{Digest, Draft, DraftAct, DraftId, DraftState, Moment};

use crate::{Act, Actor, AuditRecord, Frozen, HubError, Request};

/// A step in the life of a draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who takes the step.
    pub by: Actor,
    /// Which draft.
    pub draft: DraftId,
    /// What is done.
    pub step: DraftStep,
}

/// What is done to a draft. An `etag` names what whoever does it has looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DraftStep {
    /// Makes it.
    Create {
        /// What changes and why.
        note: String,
        /// What it holds, encoded; no store looks into it.
        content: Frozen,
    },
    /// Puts other content in it.
    Update {
        /// What it held before.
        etag: Digest,
        /// What changes and why.
        note: String,
        /// What it holds from now on, encoded.
        content: Frozen,
    },
    /// Gives it to be looked at.
    Submit {
        /// What it holds.
        etag: Digest,
        /// How many others must approve it. Where that is none, it is approved by this.
        needed: u32,
    },
    /// Says something about it.
    Comment {
        /// What.
        text: String,
    },
    /// Approves it.
    Approve {
        /// What it holds.
        etag: Digest,
        /// What is said with it.
        text: String,
        /// How many others must approve it, this one included.
        needed: u32,
    },
    /// Hands it back to be mended.
    Return {
        /// What it holds.
        etag: Digest,
        /// What is to be mended.
        text: String,
    },
    /// Gives it up.
    Drop {
        /// What it holds.
        etag: Digest,
        /// Why.
        text: String,
    },
}

impl DraftStep {
    /// What is done, by name.
    pub fn act(&self) -> DraftAct {
        match self {
            Self::Create { .. } => DraftAct::Create,
            Self::Update { .. } => DraftAct::Update,
            Self::Submit { .. } => DraftAct::Submit,
            Self::Comment { .. } => DraftAct::Comment,
            Self::Approve { .. } => DraftAct::Approve,
            Self::Return { .. } => DraftAct::Return,
            Self::Drop { .. } => DraftAct::Drop,
        }
    }

    /// What is said with it.
    pub fn text(&self) -> &str {
        match self {
            Self::Create { note: text, .. }
            | Self::Update { note: text, .. }
            | Self::Comment { text }
            | Self::Approve { text, .. }
            | Self::Return { text, .. }
            | Self::Drop { text, .. } => text,
            Self::Submit { .. } => "",
        }
    }

    /// The content that it brings.
    pub fn content(&self) -> Option<&Frozen> {
        match self {
            Self::Create { content, .. } | Self::Update { content, .. } => Some(content),
            _ => None,
        }
    }
}

impl DraftCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let act = match self.step {
            DraftStep::Create { .. } => Act::CreateDraft,
            DraftStep::Update { .. } => Act::UpdateDraft,
            DraftStep::Submit { .. } => Act::SubmitDraft,
            DraftStep::Comment { .. } => Act::CommentDraft,
            DraftStep::Approve { .. } => Act::ApproveDraft,
            DraftStep::Return { .. } => Act::ReturnDraft,
            DraftStep::Drop { .. } => Act::DropDraft,
        };
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act,
            subject: format!("draft/{}", self.draft),
            detail: self.step.text().to_owned(),
        }
    }
}

/// A draft with what it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredDraft {
    /// The draft.
    pub draft: Draft,
    /// What it holds, encoded, as it came.
    pub content: Frozen,
}

/// Drafts, and the steps of their lives.
#[async_trait]
pub trait DraftStore: Send + Sync {
    /// Takes a step, and gives the draft as it then is. A request that is sent again changes
    /// nothing and gives the draft as it is by now.
    ///
    /// # Errors
    /// [`HubError::DigestMismatch`], [`HubError::RequestIdReused`], [`HubError::DraftExists`],
    /// [`HubError::UnknownDraft`], [`HubError::DraftChanged`], [`HubError::DraftState`],
    /// [`HubError::OwnDraft`].
    async fn take_step(&self, commit: DraftCommit) -> Result<Draft, HubError>;

    /// One draft with what it holds.
    async fn draft(&self, id: &DraftId) -> Result<Option<StoredDraft>, HubError>;

    /// Drafts in one of these states, ordered by id, starting after one.
    async fn drafts(
        &self,
        states: &[DraftState],
        after: Option<&DraftId>,
        limit: NonZeroU32,
    ) -> Result<Vec<Draft>, HubError>;
}
