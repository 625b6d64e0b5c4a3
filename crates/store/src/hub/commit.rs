//! Changes to a hub's store.

use std::collections::BTreeSet;

use bytes::Bytes;
use chablon_model::{
    Digest, DraftId, GroupId, Manifest, Moment, RevisionRef, Visibility, Withdrawal,
};

use crate::{Act, Actor, AuditRecord, Epoch, Frozen, RequestId};

/// What makes a change repeatable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// The client's name for the request.
    pub id: RequestId,
    /// The digest of the whole request: the same name for other content is a mistake.
    pub digest: Digest,
}

/// A release: new revisions, and what is put in force for whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReleaseCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who makes it.
    pub by: Actor,
    /// The draft that it puts in force, and what that held when it was looked at.
    pub draft: Option<(DraftId, Digest)>,
    /// Revisions to store. One that is stored already is passed over.
    pub revisions: Vec<NewRevision>,
    /// The parts, in order. All take consecutive positions.
    pub parts: Vec<NewPart>,
}

impl ReleaseCommit {
    /// The draft that it puts in force.
    pub fn draft_id(&self) -> Option<&DraftId> {
        self.draft.as_ref().map(|(draft, _)| draft)
    }

    /// What is said with it.
    pub fn note(&self) -> &str {
        self.parts.first().map_or("", |part| &part.manifest.note)
    }

    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let release = self.parts.first().map(|part| format!("release/{}", part.manifest.release));
        let release = release.unwrap_or_default();
        let (act, subject, detail) = match &self.draft {
            None => (Act::Release, release, self.note().to_owned()),
            Some((draft, _)) => {
                let detail = format!("{release}: {}", self.note());
                (Act::ReleaseDraft, format!("draft/{draft}"), detail)
            }
        };
        AuditRecord { at: self.at, by: self.by.clone(), act, subject, detail }
    }
}

/// A revision to store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewRevision {
    /// Which revision the bytes are; its digest is theirs.
    pub reference: RevisionRef,
    /// The bytes.
    pub bytes: Bytes,
    /// Who may read them.
    pub visible_to: Visibility,
    /// What it uses directly.
    pub pins: Vec<RevisionRef>,
    /// The groups that a site document puts its site in; given for site documents and no others.
    pub site_groups: Option<BTreeSet<GroupId>>,
}

/// A part of a release.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPart {
    /// What the body says.
    pub manifest: Manifest,
    /// The bytes of the manifest, as the chef's machine made them.
    pub body: Frozen,
}

/// A withdrawal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WithdrawalCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who makes it.
    pub by: Actor,
    /// What the body says.
    pub withdrawal: Withdrawal,
    /// The bytes of the notice, as the chef's machine made them.
    pub body: Frozen,
}

/// Entries that sites' views show no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Compaction {
    /// When it is done.
    pub at: Moment,
    /// Who does it.
    pub by: Actor,
    /// The position up to which the feed was looked through.
    pub up_to: u64,
    /// Which entries up to there are passed over.
    pub passed_over: BTreeSet<u64>,
}

impl Compaction {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act: Act::Compact,
            subject: format!("feed/{}", self.up_to),
            detail: format!("{} passed over", self.passed_over.len()),
        }
    }
}

impl WithdrawalCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let RevisionRef { key, number, .. } = &self.withdrawal.revision;
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act: Act::Withdraw,
            subject: format!("{key} {number}"),
            detail: self.withdrawal.reason.clone(),
        }
    }
}

/// Where a change stands in the feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Committed {
    /// Which history the positions belong to.
    pub epoch: Epoch,
    /// The position of its first entry.
    pub first_position: u64,
    /// The position of its last entry.
    pub last_position: u64,
    /// Whether the request had been carried out before, and nothing was done now.
    pub repeated: bool,
}
