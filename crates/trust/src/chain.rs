//! The digests that a checkpoint vouches for.

use chablon_model::{Digest, Entry, Moment, Standing, standings};
use sha2::{Digest as _, Sha256};

use crate::Payload;

/// The digest of a view's entries, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chain(Digest);

impl Chain {
    /// Of no entries.
    pub fn new() -> Self {
        Self(chablon_wire::digest(b"chablon chain 1"))
    }

    /// Up to a place that a checkpoint vouches for.
    pub fn vouched(digest: Digest) -> Self {
        Self(digest)
    }

    /// With the next entry.
    #[must_use]
    pub fn then(self, position: u64, payload: Payload, body: &Digest) -> Self {
        let mut hash = Sha256::new();
        hash.update(self.0.0);
        hash.update(position.to_be_bytes());
        hash.update(body.0);
        hash.update(payload.media_type());
        Self(Digest(hash.finalize().into()))
    }

    /// The digest.
    pub fn digest(self) -> Digest {
        self.0
    }
}

impl Default for Chain {
    fn default() -> Self {
        Self::new()
    }
}

/// The digest of what is in force at a moment, by the entries of a site's view.
pub fn state_digest(entries: &[Entry], at: Moment) -> Digest {
    let standings = standings(entries, at);
    let in_force = standings.iter().filter_map(|(document, standing)| match standing {
        Standing::InForce { revision, .. } => Some(format!("\n{document} {}", revision.digest)),
        Standing::None | Standing::Stopped { .. } => None,
    });
    let mut lines: Vec<String> = in_force.collect();
    // A line feed and a space sort before all that a name has, so this is the order of the names.
    lines.sort_unstable();
    chablon_wire::digest(format!("chablon state 1{}", lines.concat()).as_bytes())
}
