//! Whose signatures count, and what a hub vouches for: plain values. Who makes and verifies
//! signatures is another crate.

use std::fmt;
use std::str::FromStr;

use crate::{Digest, Moment, SiteId};

/// A public key of Ed25519. Shown as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PublicKey(
    /// The 32 bytes.
    pub [u8; 32],
);

/// Why a text is no public key.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a public key of 64 hexadecimal digits in lower case")]
pub struct PublicKeyError(pub String);

impl PublicKey {
    /// The first 12 digits, enough for people to tell keys apart.
    pub fn short(&self) -> String {
        Digest(self.0).short()
    }
}

impl FromStr for PublicKey {
    type Err = PublicKeyError;
    fn from_str(text: &str) -> Result<Self, PublicKeyError> {
        // A digest is written alike.
        let bytes: Result<Digest, _> = text.parse();
        bytes.map(|bytes| Self(bytes.0)).map_err(|_| PublicKeyError(text.to_owned()))
    }
}

impl fmt::Display for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&Digest(self.0), f)
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A signature and by which key it claims to be. What it covers is the holder's to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signature {
    /// The signer's key.
    pub key: PublicKey,
    /// The signature.
    pub bytes: [u8; 64],
}

/// A key and whose it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TrustKey {
    /// The key.
    pub key: PublicKey,
    /// Whose it is, for people.
    pub holder: String,
}

/// Which keys a role has and how many of them must sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrustRole {
    /// How many different keys must have signed.
    pub threshold: u32,
    /// The keys, sorted by key, each once.
    pub keys: Vec<TrustKey>,
}

impl TrustRole {
    /// Whether a key is one of the role's.
    pub fn has(&self, key: &PublicKey) -> bool {
        self.keys.iter().any(|known| known.key == *key)
    }
}

/// A version of who may sign what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Root {
    /// The version, from 1.
    pub version: u32,
    /// When it was made.
    pub issued_at: Moment,
    /// When the next version is due.
    pub expires_at: Moment,
    /// Who may replace this root.
    pub root: TrustRole,
    /// Who may release and withdraw.
    pub release: TrustRole,
    /// Which hubs may sign checkpoints.
    pub checkpoint: TrustRole,
}

/// A place in the chain of a view's entries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChainPlace {
    /// The position.
    pub position: u64,
    /// The digest of the chain there.
    pub chain: Digest,
}

/// What a hub shows a site by a position of the feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checkpoint {
    /// The site.
    pub site: SiteId,
    /// The history.
    pub epoch: String,
    /// What the site's view consists of.
    pub view: Digest,
    /// The position up to which the view is covered.
    pub position: u64,
    /// The digest of the chain of all entries up to there, those that a compacted view passes over
    /// included.
    pub chain: Digest,
    /// Where the snapshot ends with which a compacted view begins. None: the view isn't compacted.
    pub snapshot: Option<ChainPlace>,
    /// The digest of what is in force by them when the checkpoint was made. None: more entries
    /// follow.
    pub state: Option<Digest>,
    /// When it was made, by the hub's clock.
    pub issued_at: Moment,
    /// Until when it stands for what is new.
    pub expires_at: Moment,
}
