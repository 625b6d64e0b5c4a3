//! Any number and quantity that a book may hold, written as it is read.

use chablon_quantity::{
    Authored, CountUnit, HourlyRate, MassUnit, MoneyAmount, Number, ShareUnit, Unit, VolumeUnit,
};
use proptest::prelude::*;
use proptest::sample::select;

/// A number above 0.
pub(crate) fn number() -> BoxedStrategy<Number> {
    let decimal = (1_i64..=999_999_999, -18_i8..=0)
        .prop_map(|(coefficient, exponent)| Number::decimal(coefficient, exponent).unwrap());
    let fraction = (1_i64..=99, 1_u64..=99)
        .prop_map(|(numerator, below)| Number::fraction(0, numerator, below).unwrap());
    let mixed = (1_u64..=99, 1_i64..=99, 1_u64..=99).prop_map(|(whole, numerator, more)| {
        let denominator = u64::try_from(numerator).unwrap() + more;
        Number::fraction(whole, numerator, denominator).unwrap()
    });
    prop_oneof![decimal, fraction, mixed].boxed()
}

/// Above 0, in any unit of the dimension.
pub(crate) fn any_of<U: Unit>() -> BoxedStrategy<Authored<U>> {
    (number(), select(U::all())).prop_map(|(number, unit)| Authored::new(number, unit)).boxed()
}

/// A whole number of a unit.
pub(crate) fn whole<U: Unit>(
    unit: U,
    range: std::ops::RangeInclusive<i64>,
) -> BoxedStrategy<Authored<U>> {
    range.prop_map(move |number| Authored::new(Number::whole(number), unit)).boxed()
}

/// A share up to this many per cent, with two decimals.
pub(crate) fn share(most: i64) -> BoxedStrategy<Authored<ShareUnit>> {
    (1..=most * 100)
        .prop_map(|hundredths| Authored::new(Number::decimal(hundredths, -2).unwrap(), ShareUnit))
        .boxed()
}

/// An amount of money.
pub(crate) fn money() -> BoxedStrategy<MoneyAmount> {
    (number(), "[A-Z]{3}")
        .prop_map(|(number, code)| MoneyAmount { number, currency: code.parse().unwrap() })
        .boxed()
}

/// Money by the hour.
pub(crate) fn hourly_rate() -> BoxedStrategy<HourlyRate> {
    money().prop_map(HourlyRate).boxed()
}

/// A mass, a volume or a count, made into whatever takes one.
pub(crate) fn mass_volume_or_count<T: std::fmt::Debug + 'static>(
    mass: fn(Authored<MassUnit>) -> T,
    volume: fn(Authored<VolumeUnit>) -> T,
    count: fn(Authored<CountUnit>) -> T,
) -> BoxedStrategy<T> {
    prop_oneof![
        any_of::<MassUnit>().prop_map(mass),
        any_of::<VolumeUnit>().prop_map(volume),
        any_of::<CountUnit>().prop_map(count),
    ]
    .boxed()
}
