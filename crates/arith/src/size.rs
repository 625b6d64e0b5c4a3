//! How long a number may grow before a figure is refused.

use chablon_quantity::Exact;

/// The most bits of a numerator or denominator.
///
/// A figure of a kitchen takes fewer than a hundred; one of a large book, whose yields share no
/// factors, a few thousand. At 8,192 bits (some 2,500 digits) reducing a fraction still takes a
/// fraction of a millisecond, so a chain of recipes that is built to make numbers explode is
/// refused after a second instead of never.
const MAX_BITS: u64 = 8_192;

/// Whether a number is short enough to go on computing with.
pub(crate) fn manageable(value: &Exact) -> bool {
    if value.parts().is_some() {
        return true;
    }
    let (numerator, denominator) = value.big_parts();
    numerator.bits() <= MAX_BITS && denominator.bits() <= MAX_BITS
}

/// The sum of numbers, or nothing where it grows too long.
pub(crate) fn sum<'a>(terms: impl IntoIterator<Item = &'a Exact>) -> Option<Exact> {
    partial_sum(terms).ok()
}

/// The sum of numbers; where it grows too long, what it was before.
pub(crate) fn partial_sum<'a>(terms: impl IntoIterator<Item = &'a Exact>) -> Result<Exact, Exact> {
    let mut total = Exact::from(0);
    for term in terms {
        let next = &total + term;
        if !manageable(&next) {
            return Err(total);
        }
        total = next;
    }
    Ok(total)
}
