//! Test fixtures: an in-process hub, a fixed clock, sample documents.
