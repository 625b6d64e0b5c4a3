//! The services of the schema, a file each.

pub(crate) mod access;
pub(crate) mod adoption;
pub(crate) mod audit;
mod costing;
mod declaration;
pub(crate) mod deviation;
pub(crate) mod document;
pub(crate) mod draft;
pub(crate) mod feed;
pub(crate) mod figure;
mod figures;
pub(crate) mod lot;
mod plan;
pub(crate) mod release;
mod revisions;
mod shock;
pub(crate) mod trust;
mod watch;

use chablon_store::{EntryKind, FeedEntry, StoredRevision};
use chablon_wire::{BodyKind, Frozen, Wire, pb};

/// An entry as it is sent. The bytes of its body are shared, not copied.
fn entry_to_pb(entry: FeedEntry) -> pb::FeedEntry {
    let kind = match entry.kind {
        EntryKind::Release => BodyKind::Release,
        EntryKind::Withdrawal => BodyKind::Withdrawal,
        EntryKind::Deviation => BodyKind::Deviation,
    };
    let FeedEntry { position, previous_position, recorded_at, body, .. } = entry;
    let body = to_wire(body);
    chablon_wire::FeedEntry { position, previous_position, recorded_at, kind, body }.to_pb()
}

/// Bytes with their signatures as they are sent.
fn to_wire(frozen: chablon_store::Frozen) -> Frozen {
    let chablon_store::Frozen { digest, bytes, signatures } = frozen;
    Frozen { bytes, digest, signatures }
}

fn entries_to_pb(entries: Vec<FeedEntry>) -> Vec<pb::FeedEntry> {
    entries.into_iter().map(entry_to_pb).collect()
}

/// A revision as it is sent.
fn revision_to_pb(revision: StoredRevision) -> pb::StoredRevision {
    pb::StoredRevision {
        revision: Some(revision.reference.to_pb()),
        frozen: Some(Frozen::unsigned(revision.bytes, revision.reference.digest).to_pb()),
    }
}
