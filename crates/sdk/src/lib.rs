#![doc = include_str!("../README.md")]

pub mod access;
mod bundle;
mod client;
mod clock;
pub mod declared;
pub mod deviations;
pub mod drafts;
mod error;
mod feed;
pub mod figures;
mod frozen;
mod hub;
pub mod lots;
mod options;
pub mod prelude;
pub mod publish;
pub mod reckon;
mod replica;
mod retry;
#[cfg(feature = "simulation")]
#[doc(hidden)]
pub mod simulation;
mod task;
mod tls;
mod transport;
pub mod where_used;

pub use bundle::Bundle;
pub use chablon_arith as arith;
pub use chablon_change as change;
pub use chablon_declare as declare;
pub use chablon_model as model;
pub use chablon_quantity as quantity;
pub use chablon_store::{Integrity, RequestId, TokenError};
pub use chablon_trust as trust;
pub use chablon_wire::{
    Adoption, AuditRecord, FeedCursor, Frozen as SignedBytes, InForce, Standard as Listed,
    StandardState, TakenBack,
};
pub use client::{Adopted, Client, Following, GoesBy, HowFar, InForceAgain, Untold};
pub use clock::now;
pub use error::{Error, FieldViolation, Reason};
pub use feed::{Change, Changes, FeedHead, Recorded, Release};
pub use frozen::FrozenRevision;
pub use options::Options;
pub use replica::{
    Event, Imported, OVERDUE_AFTER, Pin, Progress, Relisted, Replica, Standard, Status, Synced,
    Together, TrustStatus, decided_by,
};
pub use tls::Tls;
