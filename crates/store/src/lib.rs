//! Storage of a hub and of a kitchen: traits, the in-memory stores and the conformance suite.
