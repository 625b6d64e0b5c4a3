//! Changes as they are sent, the same bytes each time.

use bytes::Bytes;
use chablon_model::{Digest, Manifest, Withdrawal};
use chablon_store::RequestId;
use chablon_wire::{encode_manifest, encode_withdrawal};

use crate::FrozenRevision;

/// Bytes with their digest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Body {
    pub(crate) bytes: Bytes,
    pub(crate) digest: Digest,
}

impl Body {
    fn new(bytes: Vec<u8>) -> Self {
        Self { digest: chablon_wire::digest(&bytes), bytes: bytes.into() }
    }

    /// A part of a release.
    pub(crate) fn of_manifest(manifest: &Manifest) -> Self {
        Self::new(encode_manifest(manifest))
    }
}

/// A release to be recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ReleaseRequest {
    pub(crate) id: RequestId,
    pub(crate) revisions: Vec<FrozenRevision>,
    pub(crate) parts: Vec<Body>,
}

impl ReleaseRequest {
    pub(super) fn new(id: RequestId, revisions: Vec<FrozenRevision>, parts: &[Manifest]) -> Self {
        let parts = parts.iter().map(Body::of_manifest).collect();
        Self { id, revisions, parts }
    }
}

/// A withdrawal to be recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WithdrawalRequest {
    pub(crate) id: RequestId,
    pub(crate) notice: Body,
}

impl WithdrawalRequest {
    pub(super) fn new(id: RequestId, withdrawal: &Withdrawal) -> Self {
        Self { id, notice: Body::new(encode_withdrawal(withdrawal)) }
    }
}
