//! What is done to a draft.

use chablon_model::{Digest, Draft, DraftId};
use chablon_store::RequestId;

use super::Proposal;
use crate::FrozenRevision;
use crate::publish::random_request;

/// Something to be done to a draft, with a name of its own: sent twice it is done once.
#[derive(Clone, Debug)]
pub struct Step {
    pub(crate) request: RequestId,
    pub(crate) draft: DraftId,
    pub(crate) what: What,
}

/// What is to be done.
#[derive(Clone, Debug)]
pub(crate) enum What {
    Create { note: String, content: Content },
    Update { etag: Digest, note: String, content: Content },
    Submit { etag: Digest },
    Comment { text: String },
    Approve { etag: Digest, text: String },
    Return { etag: Digest, text: String },
    Drop { etag: Digest, text: String },
}

/// What a draft is to hold.
#[derive(Clone, Debug)]
pub(crate) struct Content {
    pub(crate) base: Vec<chablon_model::RevisionRef>,
    pub(crate) revisions: Vec<FrozenRevision>,
}

impl Content {
    fn of(proposal: &Proposal) -> Self {
        Self { base: proposal.base.clone(), revisions: proposal.made.revisions().to_vec() }
    }
}

impl Step {
    fn new(draft: &DraftId, what: What) -> Self {
        Self { request: random_request(), draft: draft.clone(), what }
    }

    /// Makes a draft of this name.
    pub fn create(draft: &DraftId, proposal: &Proposal) -> Self {
        let (note, content) = (proposal.note.clone(), Content::of(proposal));
        Self::new(draft, What::Create { note, content })
    }

    /// Puts something else in a draft, which was read before. Approvals of what it held don't count
    /// any more.
    pub fn update(draft: &Draft, proposal: &Proposal) -> Self {
        let (note, content) = (proposal.note.clone(), Content::of(proposal));
        Self::new(&draft.id, What::Update { etag: draft.etag, note, content })
    }

    /// Gives a draft to review as it was read.
    pub fn submit(draft: &Draft) -> Self {
        Self::new(&draft.id, What::Submit { etag: draft.etag })
    }

    /// Says something about a draft.
    pub fn comment(draft: &DraftId, text: impl Into<String>) -> Self {
        Self::new(draft, What::Comment { text: text.into() })
    }

    /// Approves a draft as it was read.
    pub fn approve(draft: &Draft, text: impl Into<String>) -> Self {
        Self::new(&draft.id, What::Approve { etag: draft.etag, text: text.into() })
    }

    /// Hands a draft back, with what is to be mended.
    pub fn hand_back(draft: &Draft, text: impl Into<String>) -> Self {
        Self::new(&draft.id, What::Return { etag: draft.etag, text: text.into() })
    }

    /// Gives a draft up.
    pub fn give_up(draft: &Draft, text: impl Into<String>) -> Self {
        Self::new(&draft.id, What::Drop { etag: draft.etag, text: text.into() })
    }

    /// The request's name.
    pub fn request(&self) -> &RequestId {
        &self.request
    }

    /// With a name for the request that was chosen elsewhere.
    #[must_use]
    pub fn under(mut self, request: RequestId) -> Self {
        self.request = request;
        self
    }
}
