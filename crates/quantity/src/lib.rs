//! Exact numbers, units by legal definition, dimension types and the one rounding.
