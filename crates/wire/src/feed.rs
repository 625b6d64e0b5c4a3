//! Entries of the feed and cursors into it.

use chablon_model::{Digest, EntryBody, Moment};

use crate::common::moment;
use crate::form::Wire;
use crate::{
    At, Frozen, Violation, WireError, decode_deviation, decode_manifest, decode_withdrawal, pb,
};

/// How the body of an entry is to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyKind {
    /// A part of a release.
    Release,
    /// A withdrawal.
    Withdrawal,
    /// A decision on a deviation.
    Deviation,
}

impl BodyKind {
    /// The kind of what a body says.
    pub fn of(says: &EntryBody) -> Self {
        match says {
            EntryBody::Release(_) => Self::Release,
            EntryBody::Withdrawal(_) => Self::Withdrawal,
            EntryBody::Deviation(_) => Self::Deviation,
        }
    }

    /// What a body of this kind says.
    pub fn decode(self, body: &[u8]) -> Result<EntryBody, WireError> {
        match self {
            Self::Release => decode_manifest(body).map(EntryBody::Release),
            Self::Withdrawal => decode_withdrawal(body).map(EntryBody::Withdrawal),
            Self::Deviation => decode_deviation(body).map(EntryBody::Deviation),
        }
    }
}

/// An entry of the feed as it travels.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedEntry {
    /// The position, from 1.
    pub position: u64,
    /// The position before it in the reader's view; 0 if there is none.
    pub previous_position: u64,
    /// When the hub recorded it.
    pub recorded_at: Moment,
    /// How to read the body.
    pub kind: BodyKind,
    /// The bytes of a manifest, a notice or a deviation; the receiver compares their digest.
    pub body: Frozen,
}

impl Wire for FeedEntry {
    type Pb = pb::FeedEntry;

    fn to_pb(&self) -> pb::FeedEntry {
        let frozen = self.body.to_pb();
        pb::FeedEntry {
            position: self.position,
            previous_position: self.previous_position,
            recorded_at_ms: self.recorded_at.0,
            body: Some(match self.kind {
                BodyKind::Release => pb::feed_entry::Body::ReleasePart(frozen),
                BodyKind::Withdrawal => pb::feed_entry::Body::Withdrawal(frozen),
                BodyKind::Deviation => pb::feed_entry::Body::Deviation(frozen),
            }),
        }
    }

    fn from_pb(entry: pb::FeedEntry) -> Result<Self, Violation> {
        let (kind, body) = body(entry.body).at("body")?;
        if entry.position == 0 {
            return Err(Violation::required().at("position"));
        }
        if entry.previous_position >= entry.position {
            let reason = format!("must be less than `position`, {}", entry.position);
            return Err(Violation::new(reason).at("previous_position"));
        }
        Ok(Self {
            position: entry.position,
            previous_position: entry.previous_position,
            recorded_at: moment(entry.recorded_at_ms).at("recorded_at_ms")?,
            kind,
            body,
        })
    }
}

fn body(body: Option<pb::feed_entry::Body>) -> Result<(BodyKind, Frozen), Violation> {
    // A kind that this version doesn't know arrives as none. It must not be passed over.
    let unknown = || Violation::new("is missing, or of a kind that this version doesn't know");
    match body.ok_or_else(unknown)? {
        pb::feed_entry::Body::ReleasePart(frozen) => {
            Ok((BodyKind::Release, Frozen::from_pb(frozen).at("release_part")?))
        }
        pb::feed_entry::Body::Withdrawal(frozen) => {
            Ok((BodyKind::Withdrawal, Frozen::from_pb(frozen).at("withdrawal")?))
        }
        pb::feed_entry::Body::Deviation(frozen) => {
            Ok((BodyKind::Deviation, Frozen::from_pb(frozen).at("deviation")?))
        }
    }
}

/// A place in one view of one history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedCursor {
    /// The history; empty at the start.
    pub epoch: String,
    /// The view; none for the whole view and at the start.
    pub view: Option<Digest>,
    /// The position up to which all has been read.
    pub position: u64,
    /// Inside the snapshot with which a compacted view begins: up to where it reaches. 0 elsewhere.
    pub snapshot: u64,
}

/// The longest name of an epoch, in bytes.
const MAX_EPOCH_BYTES: usize = 128;

impl Wire for FeedCursor {
    type Pb = pb::FeedCursor;

    fn to_pb(&self) -> pb::FeedCursor {
        pb::FeedCursor {
            epoch: self.epoch.clone(),
            view: self.view.map(|view| view.to_pb()).unwrap_or_default(),
            position: self.position,
            snapshot: self.snapshot,
        }
    }

    fn from_pb(cursor: pb::FeedCursor) -> Result<Self, Violation> {
        let pb::FeedCursor { epoch, view, position, snapshot } = cursor;
        let visible = epoch.bytes().all(|byte| byte.is_ascii_graphic());
        if !visible || epoch.len() > MAX_EPOCH_BYTES {
            let reason = format!("must be at most {MAX_EPOCH_BYTES} visible ASCII characters");
            return Err(Violation::new(reason).at("epoch"));
        }
        if position > 0 && epoch.is_empty() {
            return Err(Violation::required().at("epoch"));
        }
        let view = (!view.is_empty()).then(|| Digest::from_pb(view)).transpose().at("view")?;
        Ok(Self { epoch, view, position, snapshot })
    }
}
