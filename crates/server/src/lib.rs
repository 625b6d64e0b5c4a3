//! The hub as a gRPC server.
