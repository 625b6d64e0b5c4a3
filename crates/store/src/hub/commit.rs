//! Changes to a hub's store.

use std::collections::BTreeSet;

use bytes::Bytes;
use chablon_model::{Digest, GroupId, Manifest, Moment, RevisionRef, Visibility, Withdrawal};

use crate::{Frozen, RequestId};

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
    /// Revisions to store. One that is stored already is passed over.
    pub revisions: Vec<NewRevision>,
    /// The parts, in order. All take consecutive positions.
    pub parts: Vec<NewPart>,
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
    /// What the body says.
    pub withdrawal: Withdrawal,
    /// The bytes of the notice, as the chef's machine made them.
    pub body: Frozen,
}

/// Entries that sites' views show no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Compaction {
    /// The position up to which the feed was looked through.
    pub up_to: u64,
    /// Which entries up to there are passed over.
    pub passed_over: BTreeSet<u64>,
}

/// Where a change stands in the feed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Committed {
    /// The position of its first entry.
    pub first_position: u64,
    /// The position of its last entry.
    pub last_position: u64,
    /// Whether the request had been carried out before, and nothing was done now.
    pub repeated: bool,
}
