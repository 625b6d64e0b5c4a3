//! Changes as they are sent, the same bytes each time.

use chablon_store::RequestId;
use chablon_wire::Frozen;

use crate::FrozenRevision;

/// Bytes of one's own that are to be frozen.
pub(crate) fn frozen(bytes: Vec<u8>) -> Frozen {
    let digest = chablon_wire::digest(&bytes);
    Frozen::unsigned(bytes.into(), digest)
}

/// A release to be recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ReleaseRequest {
    pub(crate) id: RequestId,
    pub(crate) revisions: Vec<FrozenRevision>,
    pub(crate) parts: Vec<Frozen>,
}

/// A withdrawal to be recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WithdrawalRequest {
    pub(crate) id: RequestId,
    pub(crate) notice: Frozen,
}
