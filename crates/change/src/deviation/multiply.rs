//! Multiplying an amount as it is written.

use chablon_model::{Amount, ShapeAmount};
use chablon_quantity::{Authored, CountUnit, Exact, Number, Unit};

/// The amount times a number, in the unit in which it is written; nothing for what is to taste,
/// or where the product has more digits than a written number may have.
pub(super) fn multiplied(amount: &Amount, times: &Number) -> Option<Amount> {
    match amount {
        Amount::Mass(mass) => of(mass, times).map(Amount::Mass),
        Amount::Volume(volume) => of(volume, times).map(Amount::Volume),
        Amount::Count(count) => of(count, times).map(Amount::Count),
        Amount::Share(share) => of(share, times).map(Amount::Share),
        Amount::Shape(shape) => {
            let one = Authored::new(Number::whole(1), CountUnit);
            let count = of(&shape.count.unwrap_or(one), times)?;
            Some(Amount::Shape(Box::new(ShapeAmount { count: Some(count), ..**shape })))
        }
        Amount::ToTaste => None,
    }
}

fn of<U: Unit>(one: &Authored<U>, times: &Number) -> Option<Authored<U>> {
    Some(Authored::new(written(&(one.number.exact() * times.exact()))?, one.unit))
}

/// A number as an author would write it: as a decimal where it is one, else as a fraction.
fn written(value: &Exact) -> Option<Number> {
    let decimal = (0..=18_i8).find_map(|decimals| {
        let shifted = value * Exact::power_of_ten(decimals.into());
        let whole = shifted.is_integer().then(|| shifted.parts())??;
        Number::decimal(i64::try_from(whole.0).ok()?, -decimals)
    });
    let fraction = || {
        let (numerator, denominator) = value.parts()?;
        Number::fraction(0, i64::try_from(numerator).ok()?, u64::try_from(denominator).ok()?)
    };
    decimal.or_else(fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_are_exact_and_written_short() {
        let product = |one: &str, times: &str| {
            let (one, times): (Number, Number) = (one.parse().unwrap(), times.parse().unwrap());
            written(&(one.exact() * times.exact())).map(|number| number.to_string())
        };
        assert_eq!(product("170", "0.9").as_deref(), Some("153"));
        assert_eq!(product("1 1/2", "1.5").as_deref(), Some("2.25"));
        assert_eq!(product("1/3", "0.5").as_deref(), Some("1/6"));
        assert_eq!(product("0", "0.5").as_deref(), Some("0"));
        assert_eq!(product("999999999999999999", "999999999999999999"), None);
    }
}
