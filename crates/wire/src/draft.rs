//! Drafts, as they travel and as a hub keeps what they hold.

use bytes::Bytes;
use chablon_model::{
    Digest, DocumentKey, Draft, DraftAct, DraftEvent, DraftId, DraftState, RevisionRef,
};
use prost::Message;

use crate::Frozen;
use crate::common::moment;
use crate::form::{
    Coded, Wire, code, coded, collect, list, optional_words, parsed, required, sorted, to_list,
};
use crate::{At, Violation, WireError, pb};

coded!(DraftState = pb::DraftState { Open, InReview, Returned, Approved, Released, Dropped });
coded!(DraftAct = pb::DraftAct { Create, Update, Submit, Comment, Approve, Return, Drop, Release });

/// What a draft's content is called in messages.
const WHAT: &str = "what a draft holds";

/// The most bytes of what a draft holds: 16 MiB.
pub const MAX_DRAFT_BYTES: usize = 16 << 20;

/// The most revisions that a draft holds.
const MAX_REVISIONS: usize = 10_000;

/// What a draft holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftContent {
    /// The latest revision of every document when it was made, sorted, each document once.
    pub base: Vec<RevisionRef>,
    /// The revisions that it proposes, as bytes with the digests that are stated for them.
    pub revisions: Vec<(Bytes, Digest)>,
}

impl Wire for DraftContent {
    type Pb = pb::DraftContent;

    fn to_pb(&self) -> pb::DraftContent {
        let revisions = self.revisions.iter();
        pb::DraftContent {
            base: to_list(&self.base),
            revisions: revisions
                .map(|(body, digest)| Frozen::unsigned(body.clone(), *digest).to_pb())
                .collect(),
        }
    }

    fn from_pb(content: pb::DraftContent) -> Result<Self, Violation> {
        let base: Vec<RevisionRef> = list(content.base, "base")?;
        let documents: Vec<&DocumentKey> = base.iter().map(|one| &one.key).collect();
        sorted(&documents, "base")?;
        let revisions = content.revisions;
        match revisions.len() {
            0 => return Err(Violation::required().at("revisions")),
            1..=MAX_REVISIONS => {}
            many => {
                let reason = format!("has {many} items; at most {MAX_REVISIONS} are taken");
                return Err(Violation::new(reason).at("revisions"));
            }
        }
        let revisions = collect(revisions, "revisions", |form| {
            // A revision isn't signed: what is signed names it by its digest.
            Frozen::from_pb(form).map(|frozen| (frozen.bytes, frozen.digest))
        })?;
        Ok(Self { base, revisions })
    }
}

/// The bytes of what a draft holds, as a hub keeps them. The revisions in them stay as they came.
pub fn encode_draft(content: &DraftContent) -> Vec<u8> {
    content.to_pb().encode_to_vec()
}

/// What a draft holds, from its bytes.
pub fn decode_draft(bytes: &[u8]) -> Result<DraftContent, WireError> {
    let (what, size, limit) = (WHAT, bytes.len(), MAX_DRAFT_BYTES);
    if size > limit {
        return Err(WireError::TooLarge { what, limit, size });
    }
    let malformed =
        |error: prost::DecodeError| WireError::Malformed { what, reason: error.to_string() };
    Ok(DraftContent::from_pb(pb::DraftContent::decode(bytes).map_err(malformed)?)?)
}

/// The state of this number, if this version knows it.
pub fn draft_state(number: i32) -> Result<DraftState, Violation> {
    code(number, "")
}

/// The number of a state in the schema.
pub fn draft_state_code(state: DraftState) -> i32 {
    state.code()
}

/// What is done, by this number, if this version knows it.
pub fn draft_act(number: i32, field: &str) -> Result<DraftAct, Violation> {
    code(number, field)
}

/// The number of what is done in the schema.
pub fn draft_act_code(act: DraftAct) -> i32 {
    act.code()
}

impl Wire for Draft {
    type Pb = pb::Draft;

    fn to_pb(&self) -> pb::Draft {
        pb::Draft {
            id: self.id.to_string(),
            state: self.state.code(),
            etag: self.etag.to_string(),
            author: self.author.clone(),
            note: self.note.clone(),
            events: to_list(&self.events),
        }
    }

    fn from_pb(draft: pb::Draft) -> Result<Self, Violation> {
        let id: DraftId = parsed(&draft.id).at("id")?;
        Ok(Self {
            id,
            state: code(draft.state, "state")?,
            etag: parsed(&draft.etag).at("etag")?,
            author: draft.author,
            note: draft.note,
            events: list(draft.events, "events")?,
        })
    }
}

impl Wire for DraftEvent {
    type Pb = pb::DraftEvent;

    fn to_pb(&self) -> pb::DraftEvent {
        pb::DraftEvent {
            act: self.act.code(),
            by: self.by.clone(),
            at_ms: self.at.0,
            etag: self.etag.to_string(),
            text: self.text.clone(),
        }
    }

    fn from_pb(event: pb::DraftEvent) -> Result<Self, Violation> {
        Ok(Self {
            act: code(event.act, "act")?,
            by: event.by,
            at: moment(event.at_ms).at("at_ms")?,
            etag: parsed(&event.etag).at("etag")?,
            text: event.text,
        })
    }
}

/// Something that is wrong or doubtful in a draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftFinding {
    /// Whether it keeps the draft from being given to review and released.
    pub is_error: bool,
    /// In which document.
    pub document: DocumentKey,
    /// Where in it; empty: in the whole.
    pub path: String,
    /// What, and what would mend it.
    pub message: String,
}

impl Wire for DraftFinding {
    type Pb = pb::DraftFinding;

    fn to_pb(&self) -> pb::DraftFinding {
        pb::DraftFinding {
            is_error: self.is_error,
            document: self.document.to_string(),
            path: self.path.clone(),
            message: self.message.clone(),
        }
    }

    fn from_pb(finding: pb::DraftFinding) -> Result<Self, Violation> {
        Ok(Self {
            is_error: finding.is_error,
            document: parsed(&finding.document).at("document")?,
            path: finding.path,
            message: finding.message,
        })
    }
}

/// What is to be said of a draft beside what is released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftCheck {
    /// The draft that was looked at.
    pub draft: Draft,
    /// All that is wrong or doubtful, errors first.
    pub findings: Vec<DraftFinding>,
    /// How much it weighs, by the name of a class; none where nothing changes.
    pub class: Option<String>,
    /// How many others must approve it by the group's rule.
    pub needed: u32,
    /// A document that was released anew since the draft was made.
    pub outdated: Option<String>,
}

impl Wire for DraftCheck {
    type Pb = pb::CheckDraftResponse;

    fn to_pb(&self) -> pb::CheckDraftResponse {
        pb::CheckDraftResponse {
            draft: Some(self.draft.to_pb()),
            findings: to_list(&self.findings),
            change_class: self.class.clone().unwrap_or_default(),
            needed: self.needed,
            outdated: self.outdated.clone().unwrap_or_default(),
        }
    }

    fn from_pb(check: pb::CheckDraftResponse) -> Result<Self, Violation> {
        Ok(Self {
            draft: required(check.draft, "draft")?,
            findings: list(check.findings, "findings")?,
            class: optional_words(check.change_class),
            needed: check.needed,
            outdated: optional_words(check.outdated),
        })
    }
}
