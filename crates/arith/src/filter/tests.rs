//! The bounds against exact arithmetic, at ties and as near to them as numbers get.

use chablon_quantity::Exact;
use proptest::prelude::*;

use super::{Bounded, nearest, round_row};
use crate::number::Number;

fn exact(value: f64) -> Exact {
    // Every finite double is a whole number over a power of two.
    let bits = value.to_bits();
    let exponent = i32::try_from(bits >> 52 & 0x7ff).unwrap();
    let fraction = i64::try_from(bits & ((1 << 52) - 1)).unwrap();
    let (mantissa, power) =
        if exponent == 0 { (fraction, -1074) } else { (fraction | 1 << 52, exponent - 1075) };
    let mut two = Exact::from(1);
    for _ in 0..power.abs() {
        two = two * Exact::from(2);
    }
    let size = if power < 0 { Exact::from(mantissa) / two } else { Exact::from(mantissa) * two };
    if bits >> 63 == 1 { -size } else { size }
}

fn holds(bounded: &Bounded, value: &Exact) -> bool {
    !bounded.error.is_finite() || (exact(bounded.value) - value).abs() <= exact(bounded.error)
}

/// Ratios of every size, whole numbers and decimals among them.
fn any_exact() -> impl Strategy<Value = Exact> {
    let part = prop_oneof![-9i128..9, -1_000_000i128..1_000_000, any::<i64>().prop_map(i128::from)];
    let below =
        prop_oneof![Just(1i128), Just(1000), 1i128..5000, (1i64..i64::MAX).prop_map(i128::from)];
    (part, below).prop_map(|(n, d)| Exact::ratio(n, d).unwrap())
}

/// An exact half of the last decimal, moved by next to nothing or by nothing.
fn near_a_tie() -> impl Strategy<Value = Exact> {
    let nudge = prop_oneof![Just(0i64), -3i64..4, any::<i32>().prop_map(i64::from)];
    (-1_000_000_000i64..1_000_000_000, nudge, 15u32..40).prop_map(|(units, nudge, below)| {
        let half = Exact::ratio(i128::from(units) * 2 + 1, 2000).unwrap();
        half + Exact::from(nudge) * Exact::power_of_ten(-i32::try_from(below).unwrap())
    })
}

proptest! {
    // The exact sums are long, so fewer of them.
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn a_bound_holds_for_a_long_sum(terms in prop::collection::vec((any_exact(), any_exact()), 0..60)) {
        let mut sum = Bounded::nothing();
        let mut exact_sum = Exact::from(0);
        for (value, constant) in &terms {
            let (value, constant) = (value.abs(), constant.abs());
            Bounded::of(&value).add_product(&nearest(&constant), &mut sum);
            exact_sum = exact_sum + value * constant;
        }
        let total = Bounded::total(&sum, u32::try_from(terms.len()).unwrap());
        prop_assert!(holds(&total, &exact_sum));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn a_bound_holds_through_every_operation(a in any_exact(), b in any_exact(), c in any_exact()) {
        let (x, y, z) = (Bounded::of(&a), Bounded::of(&b), Bounded::constant(&c));
        prop_assert!(holds(&x, &a));
        let sum = x.plus(&y);
        prop_assert!(holds(&sum, &(&a + &b)));
        let cancelled = sum.plus(&Bounded::of(&-&a));
        prop_assert!(holds(&cancelled, &b));
        let product = cancelled.times(&z);
        prop_assert!(holds(&product, &(&b * &c)));
        prop_assert!(holds(&product.plus(&x).times(&z), &((&b * &c + &a) * &c)));
    }

    #[test]
    fn what_is_decided_is_right(a in prop_oneof![any_exact(), near_a_tie()], decimals in 0u32..5) {
        if let Ok(units) = Bounded::of(&a).round(decimals) {
            prop_assert_eq!(num_bigint::BigInt::from(units), a.round(decimals).units());
        }
    }

    #[test]
    fn a_row_is_rounded_as_its_figures_are(row in prop::collection::vec(any_exact(), 0..9)) {
        let row: Vec<Exact> = row.iter().map(Exact::abs).collect();
        let bounded: Vec<Bounded> = row.iter().map(Bounded::of).collect();
        let (units, undecided) = round_row(&bounded, 3);
        for (at, one) in bounded.iter().enumerate() {
            prop_assert_eq!(one.round(3).ok(), (!undecided.contains(&at)).then_some(units[at]));
        }
    }

    #[test]
    fn batches_that_are_decided_are_right(a in prop_oneof![any_exact(), near_a_tie()]) {
        if let Ok(batches) = Bounded::of(&a).whole_from_one() {
            prop_assert_eq!(exact(batches.value), a.whole_from_one().unwrap());
        }
        if let Ok(above) = Bounded::of(&a).above_zero() {
            prop_assert_eq!(above, a.is_positive());
        }
    }

    #[test]
    fn an_exact_half_is_never_decided(units in -1_000_000i64..1_000_000, by in any_exact()) {
        let half = Exact::ratio(i128::from(units) * 2 + 1, 2000).unwrap();
        let there_and_back = Bounded::of(&half).plus(&Bounded::of(&by)).plus(&Bounded::of(&-by));
        prop_assert!(there_and_back.round(3).is_err());
    }
}

#[test]
fn most_figures_are_decided() {
    let decided = (1..10_000i128).filter(|n| {
        let figure = Exact::ratio(*n * 7919, 104_729).unwrap();
        Bounded::of(&figure).round(3).is_ok()
    });
    assert_eq!(decided.count(), 9_999);
}

#[test]
fn what_no_double_holds_is_undecided() {
    let huge = Exact::power_of_ten(400);
    assert!(Bounded::of(&huge).round(3).is_err());
    assert!(Bounded::of(&huge).whole_from_one().is_err());
    assert!(Bounded::of(&(Exact::from(1) / &huge)).times(&nearest(&huge)).round(3).is_err());
    assert!(Bounded::of(&Exact::power_of_ten(30)).round(3).is_err());
    let long = Exact::power_of_ten(120) / (Exact::power_of_ten(119) + Exact::from(1));
    assert!((nearest(&long) - 10.0).abs() < 1e-12);
    assert!((nearest(&-long) + 10.0).abs() < 1e-12);
}
