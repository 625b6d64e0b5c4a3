//! How long a number may grow before a figure is refused.

use chablon_quantity::Exact;

/// The most bits of a numerator or denominator: as many as a recipe's own figures may have.
///
/// Content nests: each level multiplies its masses into the denominators below. A real book
/// stays at a few hundred bits; a chain of recipes built to make numbers explode is refused.
const MAX_BITS: u64 = 16_384;

/// Whether a number is short enough to go on computing with.
pub(crate) fn manageable(value: &Exact) -> bool {
    if value.parts().is_some() {
        return true;
    }
    let (numerator, denominator) = value.big_parts();
    numerator.bits() <= MAX_BITS && denominator.bits() <= MAX_BITS
}
