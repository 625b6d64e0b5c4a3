//! Exact sums of products, over a common denominator for as long as that is short.

use chablon_quantity::Exact;
use num_integer::Integer;

use crate::size;

/// The sum of these products, or nothing where it grows too long.
///
/// Reducing a fraction is what costs. The terms of a recipe nearly always share their
/// denominators, tens and fives, so they are added as whole numbers over a common one, and reduced
/// once at the end. Where that outgrows `i128` the rest is added as fractions.
pub(crate) fn sum<'a>(terms: impl IntoIterator<Item = (&'a Exact, &'a Exact)>) -> Option<Exact> {
    let mut short = Common { numerator: 0, denominator: 1 };
    let mut terms = terms.into_iter();
    let left_over = terms.find(|(a, b)| !short.add(a, b));
    let mut total = Exact::ratio(short.numerator, short.denominator)?;
    for (a, b) in left_over.into_iter().chain(terms) {
        total = total + a * b;
        if !size::manageable(&total) {
            return None;
        }
    }
    Some(total)
}

/// A sum over a common denominator, which is above 0 and need not be the lowest.
#[derive(Clone, Copy)]
struct Common {
    numerator: i128,
    denominator: i128,
}

impl Common {
    /// Adds a product; where that doesn't fit, the sum stays as it was.
    fn add(&mut self, a: &Exact, b: &Exact) -> bool {
        let sum = self.plus(a, b);
        *self = sum.unwrap_or(*self);
        sum.is_some()
    }

    fn plus(&self, a: &Exact, b: &Exact) -> Option<Self> {
        let ((a, below_a), (b, below_b)) = (a.parts()?, b.parts()?);
        let (term, below) = (a.checked_mul(b)?, below_a.checked_mul(below_b)?);
        if self.denominator % below == 0 {
            let term = term.checked_mul(self.denominator / below)?;
            return Some(Self { numerator: self.numerator.checked_add(term)?, ..*self });
        }
        let denominator = self.denominator.checked_mul(below / self.denominator.gcd(&below))?;
        let numerator = self.numerator.checked_mul(denominator / self.denominator)?;
        let term = term.checked_mul(denominator / below)?;
        Some(Self { numerator: numerator.checked_add(term)?, denominator })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn any_exact() -> impl Strategy<Value = Exact> {
        let part = prop_oneof![-50i128..50, any::<i64>().prop_map(i128::from), any::<i128>()];
        let below = prop_oneof![
            prop::sample::select(vec![1, 2, 5, 10, 100, 1000, 4096]),
            1i128..50,
            any::<i64>().prop_map(|one| i128::from(one).max(1)),
        ];
        (part, below).prop_map(|(n, d)| Exact::ratio(n, d).unwrap())
    }

    proptest! {
        #[test]
        fn a_sum_is_that_of_its_fractions(terms in prop::collection::vec((any_exact(), any_exact()), 0..9)) {
            let fractions: Exact = terms.iter().map(|(a, b)| a * b).sum();
            prop_assert_eq!(sum(terms.iter().map(|(a, b)| (a, b))), Some(fractions));
        }
    }
}
