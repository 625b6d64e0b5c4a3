//! The messages, clients and servers of `chablon.v1`, generated from `proto/`.
//!
//! Nothing is promised of this module: a new field of the schema breaks whoever builds or matches
//! one of its types. Only the services and the SDK's transport name them.

include!("pb/chablon.v1.rs");

/// The compiled schema, as gRPC reflection serves it.
pub const DESCRIPTORS: &[u8] = include_bytes!("pb/descriptors.bin");
