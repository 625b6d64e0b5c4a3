//! Arbitrary quantities.

use std::fmt::Debug;

use chablon_quantity::{
    Authored, Currency, DensityUnit, HourlyRate, MassUnit, MoneyAmount, Number, ShareUnit, Unit,
    VolumeUnit,
};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

/// The largest coefficient or numerator.
const MOST: i64 = 999_999_999_999_999_999;
/// The largest whole part or denominator.
const LARGEST: u64 = MOST.unsigned_abs();

fn decimal(least: i64) -> impl Strategy<Value = Number> + Clone {
    (least..=MOST, -18..=18_i8)
        .prop_map(|(coefficient, exponent)| Number::decimal(coefficient, exponent).unwrap())
}

/// A number from 0 up, or from 1/n up.
fn from(least: i64) -> BoxedStrategy<Number> {
    let short = (least..20_000, -3..=0_i8).prop_map(|(c, e)| Number::decimal(c, e).unwrap());
    let fraction = (least..=MOST, 1..=LARGEST)
        .prop_map(|(numerator, denominator)| Number::fraction(0, numerator, denominator).unwrap());
    let mixed = (1..=LARGEST, 2..=MOST).prop_flat_map(|(whole, denominator)| {
        let number = move |numerator| {
            Number::fraction(whole, numerator, denominator.unsigned_abs()).unwrap()
        };
        (1..denominator).prop_map(number)
    });
    prop_oneof![short, decimal(least), fraction, mixed].boxed()
}

/// Any number.
pub(crate) fn number() -> BoxedStrategy<Number> {
    let negative = (from(1), any::<()>()).prop_map(|(number, ())| match number {
        Number::Decimal { coefficient, exponent } => {
            Number::decimal(-coefficient, exponent).unwrap()
        }
        Number::Fraction { whole, numerator, denominator } => {
            Number::fraction(whole, -numerator, denominator).unwrap()
        }
    });
    prop_oneof![from(0), negative].boxed()
}

fn unit<U: Unit>() -> impl Strategy<Value = U> + Clone {
    select(U::all())
}

/// A quantity of 0 or more.
pub(crate) fn any_of<U: Unit>() -> impl Strategy<Value = Authored<U>> + Clone {
    (from(0), unit()).prop_map(|(number, unit)| Authored::new(number, unit))
}

/// A quantity of more than 0.
pub(crate) fn positive<U: Unit>() -> impl Strategy<Value = Authored<U>> + Clone {
    (from(1), unit()).prop_map(|(number, unit)| Authored::new(number, unit))
}

/// A reading, which may be below 0.
pub(crate) fn reading<U: Unit>() -> impl Strategy<Value = Authored<U>> + Clone {
    (number(), unit()).prop_map(|(number, unit)| Authored::new(number, unit))
}

pub(crate) fn mass() -> impl Strategy<Value = Authored<MassUnit>> + Clone {
    positive()
}

/// A share above 0, up to 100 %.
pub(crate) fn part() -> impl Strategy<Value = Authored<ShareUnit>> + Clone {
    let decimal = (1..=10_000_i64).prop_map(|c| Number::decimal(c, -2).unwrap());
    let fraction = (1..=100_i64, 1..=99_u64).prop_map(|(n, d)| Number::fraction(0, n, d).unwrap());
    prop_oneof![decimal, fraction].prop_map(|number| Authored::new(number, ShareUnit))
}

/// A share from 0 to less than 100 %.
pub(crate) fn lost() -> impl Strategy<Value = Authored<ShareUnit>> + Clone {
    (0..10_000_i64).prop_map(|c| Authored::new(Number::decimal(c, -2).unwrap(), ShareUnit))
}

/// A mass that 100 g can hold.
pub(crate) fn per_100_g() -> impl Strategy<Value = Authored<MassUnit>> + Clone {
    let grams = (0..=100_000_i64, Just(MassUnit::Gram));
    let milligrams = (0..=100_000_000_i64, Just(MassUnit::Milligram));
    prop_oneof![grams, milligrams]
        .prop_map(|(c, unit)| Authored::new(Number::decimal(c, -3).unwrap(), unit))
}

pub(crate) fn density() -> impl Strategy<Value = Authored<DensityUnit>> + Clone {
    (from(1), select(MassUnit::all()), select(VolumeUnit::all()))
        .prop_map(|(number, mass, volume)| Authored::new(number, DensityUnit { mass, volume }))
}

pub(crate) fn currency() -> impl Strategy<Value = Currency> + Clone {
    "[A-Z]{3}".prop_map(|code| code.parse().unwrap())
}

pub(crate) fn money() -> impl Strategy<Value = MoneyAmount> + Clone {
    (from(0), currency()).prop_map(|(number, currency)| MoneyAmount { number, currency })
}

pub(crate) fn hourly_rate() -> impl Strategy<Value = HourlyRate> + Clone {
    money().prop_map(HourlyRate)
}

/// Any of three values in ascending order.
pub(crate) fn ascending<U: Unit>(
    each: impl Strategy<Value = Authored<U>>,
) -> impl Strategy<Value = [Option<Authored<U>>; 3]>
where
    U::Quantity: PartialOrd + Debug,
{
    let three = proptest::array::uniform3(each).prop_map(|mut three| {
        three.sort_by(|a, b| a.quantity().partial_cmp(&b.quantity()).unwrap());
        three
    });
    let kept = proptest::array::uniform3(option::of(Just(())));
    (three, kept).prop_map(|(three, kept)| {
        let mut kept = kept.into_iter();
        three.map(|value| kept.next().flatten().map(|()| value))
    })
}
