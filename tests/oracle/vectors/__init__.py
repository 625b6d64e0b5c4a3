"""Conformance vectors: every rule as cases with their exact and rounded results."""
