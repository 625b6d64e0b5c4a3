//! The protobuf schema chablon.v1 in Rust, and checked conversions to and from the model.
//!
//! - [`encode_revision`], [`encode_manifest`], [`encode_withdrawal`], [`encode_deviation`],
//!   [`encode_root`] and [`encode_checkpoint`] make the bytes that are hashed, stored and passed on as
//!   they are; their `decode_` counterparts read them and refuse whatever breaks a rule of the schema.
//! - [`encode_pack`] makes one compressed message of many revisions.
//! - [`Wire`] is the same for what isn't frozen: requests, entries, cursors, acknowledgements.
//! - [`pb`] is what the schema generates. Only this crate, the services and the SDK's transport
//!   name it.
//!
//! The bounds come first: a body has at most [`MAX_BODY_BYTES`]; then schema version and required
//! features; only then the rest. No message holds itself, so nesting is as deep as the schema, and
//! what a reader doesn't know is skipped to a depth of 100 at most. A [`Violation`] says where and
//! what: `recipe.lines[2].amount.mass.unit: is required`.
//!
//! ```
//! use chablon_wire::decode_revision;
//!
//! let refused = decode_revision(&[0x08, 0x01]).unwrap_err();
//! assert_eq!(refused.to_string(), "kind: is required");
//! ```

mod access;
mod adoption;
mod audit;
mod book;
mod bundle;
mod bytes;
mod caller;
mod common;
mod control;
mod demand;
mod deviation;
mod draft;
mod error;
mod feed;
mod form;
mod ingredient;
mod lot;
mod pack;
#[expect(
    clippy::allow_attributes,
    clippy::default_trait_access,
    clippy::doc_markdown,
    clippy::large_enum_variant,
    clippy::too_many_lines,
    clippy::trivially_copy_pass_by_ref,
    reason = "generated code, and the schema's comments, which aren't written for rustdoc"
)]
pub mod pb;
mod prices;
mod quantity;
mod reason;
mod recipe;
mod release;
mod revision;
mod secret;
mod shock;
mod site;
mod standard;
mod trust;
mod withdrawal;

pub use access::{Account, AccountToken, Identity, role, role_code};
pub use adoption::{Acknowledgement, Adoption, MAX_REASON_BYTES, Statement};
pub use audit::AuditRecord;
pub use bundle::{Bundle, decode_bundle, encode_bundle};
pub use bytes::{
    Frozen, MAX_BODY_BYTES, MAX_SIGNATURES, SCHEMA_VERSION, decode_frozen, digest, encode_frozen,
    signatures_from_pb,
};
pub use caller::{CALLER_HEADER, caller_from_header, caller_to_header};
pub use common::{document_kind, document_kind_code, moment};
pub use demand::Demand;
pub use deviation::{decode_deviation, encode_deviation};
pub use draft::{
    DraftCheck, DraftContent, DraftFinding, MAX_DRAFT_BYTES, decode_draft, draft_act,
    draft_act_code, draft_state, draft_state_code, encode_draft,
};
pub use error::{At, Violation, WireError};
pub use feed::{BodyKind, FeedCursor, FeedEntry};
pub use form::Wire;
pub use pack::{MAX_PACK_BYTES, decode_pack, encode_pack};
pub use reason::{ERROR_DOMAIN, reason_from_text, reason_text};
pub use release::{MAX_PARTS, decode_manifest, encode_manifest};
pub use revision::{decode_revision, encode_revision};
pub use secret::{AccessToken, AccessTokenError, EnrolmentCode, EnrolmentCodeError};
pub use standard::{InForce, Standard, StandardState, TakenBack};
pub use trust::{
    MAX_CHECKPOINT_BYTES, MAX_ROOT_BYTES, decode_checkpoint, decode_root, encode_checkpoint,
    encode_root,
};
pub use withdrawal::{decode_withdrawal, encode_withdrawal};
