//! Storage of a hub and of a kitchen.
//!
//! - [`HubStore`] keeps all revisions and the one feed of releases, withdrawals and decisions, what
//!   is proposed before that ([`DraftStore`]), and who did what ([`AuditLog`]).
//! - [`AccessStore`], a part of the same, keeps who may reach it.
//! - [`ReplicaStore`] keeps what one kitchen needs of it, to go on without the hub.
//!
//! Their operations are use cases, each one transaction; there is no way to begin one and forget
//! it. Revisions and the bodies of feed entries are bytes: a store checks their digest and hands
//! them back as they came. It never decodes them. What it must know to find them (who is addressed,
//! what is pinned) is given beside the bytes. Moments and ids come in as arguments.
//!
//! [`MemoryHub`] and [`MemoryReplica`] are the stores of tests and simulations. What any store must
//! do alike is decided in [`backend`], and every store is held to it by one suite, `conformance`
//! (behind the feature of that name).
//!
//! # Adding a database
//!
//! 1. Make a sibling crate with migrations of its own.
//! 2. Implement the trait: check a commit by [`backend`], write in one transaction that runs in a
//!    task of its own, update the counter last.
//! 3. Make its tests a call of `hub_conformance!` or `replica_conformance!`.

mod access;
pub mod backend;
#[cfg(feature = "conformance")]
pub mod conformance;
mod frozen;
mod hub;
mod ids;
mod memory;
mod replica;

pub use access::{
    AccessRefusal, AccessStore, Account, AccountRecord, Attempt, Enrolment, KeptToken,
    MAX_FAILURES, NewEnrolment, NewToken, Revocation, Revoked, TokenRecord,
};
pub use frozen::{Frozen, digest_of};
pub use hub::{
    Ack, AckFilter, Act, Actor, AskCommit, AuditEntry, AuditLog, AuditRecord, Committed,
    Compaction, DecisionCommit, DraftCommit, DraftStep, DraftStore, EntryKind, EntrySignatures,
    FeedEntry, FeedState, Ground, Head, HubError, HubStore, LotCommit, LotFilter, NewPart,
    NewRevision, Page, ReleaseCommit, Request, RootCommit, RootRecord, SigningCommit, SiteRecord,
    Statement, StoredDeviation, StoredDraft, StoredLotNote, StoredRevision, WithdrawalCommit,
};
pub use ids::{EnrolmentId, Epoch, RequestId, TokenError, TokenId};
pub use memory::{MemoryHub, MemoryReplica};
pub use replica::{
    CatchUp, Cursor, HeldRevision, Identity, Integrity, NewCheckpoint, NewEntry, NewHeldRevision,
    Outgoing, ReplicaError, ReplicaStore, Said, Trust,
};
