//! The dough's temperature.

use chablon_arith::dough::{Mixing, friction_of, interval, interval_degrees};
use chablon_quantity::{Exact, Seconds, Temperature, TemperatureUnit, Time};
use proptest::prelude::*;

use crate::{c, exact, f, tenths};

const CELSIUS: TemperatureUnit = TemperatureUnit::Celsius;
const FAHRENHEIT: TemperatureUnit = TemperatureUnit::Fahrenheit;

fn bowl(flour: Temperature, room: Temperature) -> Mixing {
    Mixing { flour, room, preferment: None }
}

#[test]
fn pizza_today_june_2018_water_temperature_example() {
    // 80 °F x 3 = 240; less flour 65, room 75, friction 35: 65 °F.
    let water = bowl(f("65"), f("75")).water(&f("80"), &interval(35, FAHRENHEIT)).unwrap();
    assert_eq!(water, f("65"));
}

#[test]
fn course_notes_quoted_base_temperature_example() {
    // Base 75 °F x 3 = 225; less flour 65, room 65, friction 8: 87 °F.
    let bowl = bowl(f("65"), f("65"));
    assert_eq!(bowl.total(&f("75"), FAHRENHEIT), exact("225"));
    assert_eq!(bowl.water(&f("75"), &interval(8, FAHRENHEIT)).unwrap(), f("87"));
}

#[test]
fn course_notes_quoted_multiply_by_four_with_a_preferment() {
    // Same notes: with a preferment the base is 4 x the dough's temperature, and the preferment is
    // taken off too. Computed: 300 - 65 - 65 - 70 - 8 = 92 °F.
    let bowl = Mixing { preferment: Some(f("70")), ..bowl(f("65"), f("65")) };
    assert_eq!(bowl.factors(), 4);
    assert_eq!(bowl.total(&f("75"), FAHRENHEIT), exact("300"));
    assert_eq!(bowl.water(&f("75"), &interval(8, FAHRENHEIT)).unwrap(), f("92"));
}

#[test]
fn total_temperature_factor_example() {
    // 78 °F x 3 = 234; flour 60, room 70, 8 minutes at 2 degrees a minute: 146 in all; 88 °F.
    let bowl = bowl(f("60"), f("70"));
    let friction = friction_of(&interval(2, FAHRENHEIT), &Time::of_seconds(480));
    assert_eq!(interval_degrees(&friction, FAHRENHEIT), exact("16"));
    assert_eq!(bowl.total(&f("78"), FAHRENHEIT), exact("234"));
    assert_eq!(bowl.water(&f("78"), &friction).unwrap(), f("88"));
}

#[test]
fn water_is_liquid_or_refused() {
    let warm = bowl(c("30"), c("30"));
    let error = warm.water(&c("24"), &interval(14, CELSIUS)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the dough needs water at -2 °C (28.4 °F), which isn't liquid; cool the flour, the room \
         or the preferment, or mix less"
    );
    assert_eq!(warm.water(&c("24"), &interval(12, CELSIUS)).unwrap(), c("0"));
    let cold = bowl(c("0"), c("0"));
    assert_eq!(cold.water(&c("34"), &interval(2, CELSIUS)).unwrap(), c("100"));
    let error = cold.water(&c("34"), &interval(1, CELSIUS)).unwrap_err();
    assert!(error.to_string().contains("water at 101 °C (213.8 °F)"), "{error}");
}

#[test]
fn a_difference_of_nine_fahrenheit_is_five_celsius() {
    assert_eq!(interval(9, FAHRENHEIT), interval(5, CELSIUS));
    assert_eq!(interval_degrees(&interval(35, CELSIUS), CELSIUS), exact("35"));
}

/// A bowl in tenths of a degree.
fn any_bowl() -> impl Strategy<Value = [Exact; 4]> {
    [0i32..400, 0i32..400, 0i32..400, 100i32..350].prop_map(|all| all.map(tenths))
}

fn mixing(scale: fn(Exact) -> Temperature, met: &[Exact], preferment: bool) -> Mixing {
    let [flour, room, third] = [0, 1, 2].map(|at| scale(met[at].clone()));
    Mixing { flour, room, preferment: preferment.then_some(third) }
}

proptest! {
    /// The published method word for word: degrees of one scale, multiplied, added and taken off,
    /// on either scale.
    #[test]
    fn either_scale_gives_the_sum_of_the_published_method(met in any_bowl(), preferment: bool,
                                                          rub in 0i32..200) {
        let (target, rub) = (&met[3], tenths(rub));
        let factors = Exact::from(if preferment { 4 } else { 3 });
        let third = if preferment { met[2].clone() } else { Exact::from(0) };
        let sum = factors * target - &met[0] - &met[1] - third - &rub;
        for (at, scale) in [(Temperature::of_celsius as fn(Exact) -> _, CELSIUS),
                            (Temperature::of_fahrenheit, FAHRENHEIT)] {
            let friction = interval(rub.clone(), scale);
            let water =
                mixing(at, &met, preferment).water(&at(target.clone()), &friction);
            if let Ok(water) = water {
                prop_assert_eq!(water, at(sum.clone()));
            } else {
                let sum = at(sum.clone()).celsius();
                prop_assert!(sum < Exact::from(0) || sum > Exact::from(100));
            }
        }
    }

    #[test]
    fn friction_undoes_water(met in any_bowl(), preferment: bool, rub in 0i32..200) {
        let mixing = mixing(Temperature::of_celsius, &met, preferment);
        let (dough, rub) = (Temperature::of_celsius(met[3].clone()), interval(tenths(rub), CELSIUS));
        if let Ok(water) = mixing.water(&dough, &rub) {
            prop_assert_eq!(mixing.friction(&dough, &water), rub);
        }
    }

    #[test]
    fn a_warmer_target_takes_warmer_water(met in any_bowl(), more in 1i32..50) {
        let mixing = mixing(Temperature::of_celsius, &met, false);
        let water = |target: Exact| {
            mixing.water(&Temperature::of_celsius(target), &interval(10, CELSIUS))
        };
        if let (Ok(low), Ok(high)) = (water(met[3].clone()), water(&met[3] + tenths(more))) {
            prop_assert_eq!(high - low, interval(tenths(3 * more), CELSIUS));
        }
    }
}
