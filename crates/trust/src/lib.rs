//! Whose signature counts, and what may be taken from a hub.
//!
//! - A [`SigningKey`] signs frozen bytes as one [`Payload`]: the signature covers the
//!   pre-authentication encoding of DSSE over the stored bytes, never a structure.
//! - A [`TrustedRoot`] is a root that was pinned, or that the trusted one before it led to. It
//!   verifies entries and checkpoints.
//! - [`Chain`] and [`state_digest`] are what a checkpoint vouches for; [`goes_on`] holds a newer
//!   checkpoint to what was seen before.
//! - A [`KeyFile`] is a key at rest, sealed with a passphrase.
//!
//! Nothing here reads a file, a clock or randomness: moments, salts and seeds are arguments. The
//! rules stand at the head of `proto/chablon/v1/trust.proto`; each attack that they are made against
//! has a test of its name, here or where a whole hub and kitchen are needed for it.

mod chain;
mod checkpoint;
mod error;
mod key;
mod key_file;
mod payload;
mod root;
mod root_file;
mod view;

pub use chain::{Chain, state_digest};
pub use checkpoint::{Notice, goes_on, in_force_matches, known_at, notices};
pub use error::TrustError;
pub use key::{SigningKey, verifies};
pub use key_file::{KeyFile, KeyFileError};
pub use payload::{Payload, pae};
pub use root::TrustedRoot;
pub use root_file::{freeze_root, root_content, root_from_file, root_to_file, sign};
pub use view::{Listed, addresses_all, groups_of, not_for_others, nothing_lost, nothing_twice};
