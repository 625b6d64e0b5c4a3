//! The protobuf schema chablon.v1 in Rust, and checked conversions to and from the model.

#[expect(
    clippy::allow_attributes,
    clippy::default_trait_access,
    clippy::doc_markdown,
    clippy::too_many_lines,
    clippy::trivially_copy_pass_by_ref,
    reason = "generated code, and the schema's comments, which aren't written for rustdoc"
)]
pub mod pb;
