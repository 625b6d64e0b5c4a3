//! What bytes are signed as.

use chablon_model::EntryBody;
use chablon_wire::BodyKind;

/// What bytes are signed as. It is part of what a signature covers, so bytes that were signed as one
/// thing can't be shown as another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Payload {
    /// A root of trust.
    Root,
    /// A checkpoint.
    Checkpoint,
    /// A part of a release.
    ReleasePart,
    /// A withdrawal.
    Withdrawal,
    /// A decision on a deviation.
    Deviation,
}

impl Payload {
    /// The payload type of DSSE.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Root => "application/vnd.chablon.trust-root.v1+protobuf",
            Self::Checkpoint => "application/vnd.chablon.checkpoint.v1+protobuf",
            Self::ReleasePart => "application/vnd.chablon.release-part.v1+protobuf",
            Self::Withdrawal => "application/vnd.chablon.withdrawal.v1+protobuf",
            Self::Deviation => "application/vnd.chablon.deviation.v1+protobuf",
        }
    }

    /// What an entry's body is signed as.
    pub fn of(says: &EntryBody) -> Self {
        match says {
            EntryBody::Release(_) => Self::ReleasePart,
            EntryBody::Withdrawal(_) => Self::Withdrawal,
            EntryBody::Deviation(_) => Self::Deviation,
        }
    }
}

impl From<BodyKind> for Payload {
    fn from(kind: BodyKind) -> Self {
        match kind {
            BodyKind::Release => Self::ReleasePart,
            BodyKind::Withdrawal => Self::Withdrawal,
            BodyKind::Deviation => Self::Deviation,
        }
    }
}

/// The pre-authentication encoding of DSSE version 1: what a signature covers.
pub fn pae(media_type: &str, body: &[u8]) -> Vec<u8> {
    let head = format!("DSSEv1 {} {media_type} {} ", media_type.len(), body.len());
    [head.as_bytes(), body].concat()
}

#[cfg(test)]
mod tests {
    use super::pae;

    /// The example of the DSSE protocol, version 1.0.2 (`protocol.md` of secure-systems-lab/dsse),
    /// and lengths in bytes, not characters, with an empty body, by the same text.
    #[test]
    fn dsse_pae_matches_the_protocols_example() {
        assert_eq!(
            pae("http://example.com/HelloWorld", b"hello world"),
            b"DSSEv1 29 http://example.com/HelloWorld 11 hello world"
        );
        assert_eq!(pae("é", b""), "DSSEv1 2 é 0 ".as_bytes());
    }
}
