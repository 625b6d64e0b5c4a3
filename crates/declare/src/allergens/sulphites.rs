//! From which figure sulphites count.
//!
//! A book states sulphites as it states any allergen, and the stated state decides. What follows
//! is the sum with which an author arrives at it.
//!
//! Source: Regulation (EU) No 1169/2011, Annex II, point 12 (more than 10 mg/kg or 10 mg/L as total
//! SO2, in the product as ready for consumption); Codex CXS 1-1985, 4.2.1.4 (10 mg/kg or more).

use chablon_quantity::Exact;

use super::views::Law;

/// Milligrams of sulphur dioxide in a kilogram of a product, from its parts: each a part of the
/// whole and its own milligrams per kilogram.
pub fn in_product(parts: &[(Exact, Exact)]) -> Exact {
    parts.iter().map(|(share, mg_per_kg)| share * mg_per_kg).sum()
}

/// Whether so many milligrams in a kilogram must be declared.
///
/// In the United States sulphites aren't among the major allergens; they are declared from the
/// same figure as under Codex, by 21 CFR 101.100(a)(4).
pub fn must_be_declared(mg_per_kg: &Exact, law: Law) -> bool {
    let limit = Exact::from(10);
    match law {
        Law::Eu => *mg_per_kg > limit,
        Law::Us | Law::CodexBefore2024 | Law::Codex2024 => *mg_per_kg >= limit,
    }
}
