//! The protobuf schema chablon.v1 in Rust, and checked conversions to and from the model.
