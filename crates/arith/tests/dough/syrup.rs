//! Syrup.

use chablon_arith::dough::{
    Addition, Brix, HOT_SUGAR_CAUTION, boil_down, boiling_point, boiling_strength, bring_to, mix,
    saturation, saturation_temperature,
};
use chablon_quantity::{Exact, Grams, Mass, Temperature};
use proptest::prelude::*;
use test_case::test_case;

use crate::{c, exact, g, tenths};

fn brix(degrees: &str) -> Brix {
    Brix::new(exact(degrees)).unwrap()
}

/// Source: boiling point elevation of sucrose solutions (Brown 1912), tabulated; sea level.
#[test_case("50", "102.0")]
#[test_case("52", "102.1")]
#[test_case("54", "102.3")]
#[test_case("56", "102.4")]
#[test_case("58", "102.7")]
#[test_case("60", "103.0")]
#[test_case("62", "103.4")]
#[test_case("64", "104.0")]
#[test_case("66", "104.8")]
#[test_case("68", "105.6")]
#[test_case("70", "106.5")]
#[test_case("72", "107.4")]
#[test_case("74", "108.4")]
#[test_case("76", "109.4")]
#[test_case("78", "110.6")]
#[test_case("80", "112.0")]
#[test_case("82", "113.9")]
#[test_case("84", "116.3")]
#[test_case("86", "119.3")]
#[test_case("88", "123.1")]
#[test_case("90", "127.8")]
fn brown_1912_boiling_point_of_sucrose(percent: &str, celsius: &str) {
    let boiling = boiling_point(&brix(percent)).unwrap();
    assert_eq!(boiling.temperature, c(celsius));
    assert_eq!(boiling.caution, HOT_SUGAR_CAUTION);
    assert_eq!(boiling_strength(&c(celsius)).unwrap().brix, brix(percent));
}

#[test]
fn between_two_rows_lies_the_straight_line() {
    assert_eq!(boiling_point(&brix("81")).unwrap().temperature, c("112.95"));
    assert_eq!(boiling_strength(&c("105")).unwrap().brix, brix("66.5"));
}

#[test]
fn the_boiling_table_ends_where_it_ends() {
    let error = boiling_point(&brix("49.99")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the strength of the syrup is 49.99 Brix, outside the published range of 50 to 90 Brix \
         (boiling point elevation of sucrose solutions (Brown 1912), tabulated, at sea level)"
    );
    assert!(boiling_point(&brix("90.01")).is_err());
    let error = boiling_strength(&c("127.9")).unwrap_err();
    assert!(error.to_string().contains("102 °C (215.6 °F) to 127.8 °C (262.04 °F)"), "{error}");
    assert!(boiling_strength(&c("101.9")).is_err());
}

/// Source: sucrose solubility and saturated density by temperature, tabulated.
#[test_case("0", "64.18")]
#[test_case("10", "65.58")]
#[test_case("20", "67.09")]
#[test_case("25", "67.89")]
#[test_case("30", "68.7")]
#[test_case("40", "70.42")]
#[test_case("50", "72.25")]
#[test_case("60", "74.18")]
#[test_case("70", "76.22")]
#[test_case("80", "78.36")]
#[test_case("90", "80.61")]
#[test_case("100", "82.87")]
fn sucrose_solubility_table(celsius: &str, percent: &str) {
    assert_eq!(saturation(&c(celsius)).unwrap().brix, brix(percent));
    let saturated = saturation_temperature(&brix(percent)).unwrap();
    assert_eq!(saturated.temperature, c(celsius));
    assert_eq!(saturated.caution, HOT_SUGAR_CAUTION);
}

#[test]
fn the_solubility_table_ends_where_it_ends() {
    assert_eq!(saturation(&c("22")).unwrap().brix, brix("67.41"));
    assert!(saturation(&c("-0.01")).is_err());
    assert!(saturation(&c("100.01")).is_err());
    assert!(saturation_temperature(&brix("64.17")).is_err());
    let error = saturation_temperature(&brix("82.88")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the strength of the syrup is 82.88 Brix, outside the published range of 64.18 to 82.87 \
         Brix (sucrose solubility and saturated density by temperature, tabulated)"
    );
}

#[test]
fn sucrose_solubility_table_203_9_g_to_100_g_of_water_at_20_degrees() {
    let sugar = saturation(&c("20")).unwrap().brix.sugar_per_100_g_water().unwrap();
    assert_eq!(sugar.round(1).to_string(), "203.9");
    assert_eq!(brix("100").sugar_per_100_g_water(), None);
}

#[test]
fn sugar_in_water_by_definition() {
    assert_eq!(Brix::of(&g("100"), &g("100")).unwrap(), brix("50"));
    assert_eq!(Brix::of(&g("200"), &g("100")).unwrap(), brix("200/3"));
    assert_eq!(Brix::of(&g("0"), &g("5")).unwrap(), brix("0"));
    assert!(Brix::of(&g("0"), &g("0")).is_err());
}

#[test]
fn mixing_is_a_mean_by_mass() {
    let parts = [(g("300"), brix("60")), (g("100"), brix("20")), (g("100"), brix("0"))];
    assert_eq!(mix(&parts).unwrap(), brix("40"));
    let error = mix(&[]).unwrap_err();
    let message = "nothing is mixed; give at least one part with a mass above 0";
    assert_eq!(error.to_string(), message);
    assert!(mix(&[(g("-1"), brix("60")), (g("2"), brix("60"))]).is_err());
}

#[test]
fn a_syrup_is_brought_to_a_strength() {
    let bring = |from, to| bring_to(&g("1000"), &brix(from), &brix(to)).unwrap();
    assert_eq!(bring("60", "30"), Addition::Water(g("1000")));
    assert_eq!(bring("50", "60"), Addition::Sugar(g("250")));
    assert_eq!(bring("0", "50"), Addition::Sugar(g("1000")));
    assert_eq!(bring("100", "100"), Addition::Sugar(g("0")));
    let error = bring_to(&g("1000"), &brix("60"), &brix("100")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "sugar doesn't bring a syrup of 60 Brix to 100 Brix; aim below 100 Brix, or use dry sugar \
         alone"
    );
    assert!(bring_to(&g("1000"), &brix("60"), &brix("0")).is_err());
}

#[test]
fn a_syrup_is_boiled_down() {
    let boiled = boil_down(&g("1000"), &brix("60"), &brix("75")).unwrap();
    assert_eq!((boiled.left, boiled.water), (g("800"), g("200")));
    assert_eq!(boiled.caution, HOT_SUGAR_CAUTION);
    let error = boil_down(&g("1000"), &brix("60"), &brix("50")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "boiling doesn't bring a syrup of 60 Brix to 50 Brix; it only strengthens; add water to \
         thin a syrup"
    );
    let error = boil_down(&g("1000"), &brix("0"), &brix("50")).unwrap_err();
    assert!(error.to_string().ends_with("there is no sugar in it; add some"), "{error}");
}

#[test_case("-0.1", "-0.1 %")]
#[test_case("100.1", "100.1 %")]
fn no_syrup_is_so_strong(degrees: &str, shown: &str) {
    let error = Brix::new(exact(degrees)).unwrap_err();
    let message = format!("the strength of the syrup is {shown}; it must be from 0 % to 100 %");
    assert_eq!(error.to_string(), message);
}

fn strength() -> impl Strategy<Value = Brix> {
    (0u32..=1_000).prop_map(|degrees| Brix::new(tenths(degrees)).unwrap())
}

proptest! {
    #[test]
    fn boiling_there_and_back(thousandths in 50_000u32..=90_000) {
        let brix = Brix::new(Exact::ratio(thousandths.into(), 1000).unwrap()).unwrap();
        let boiling = boiling_point(&brix).unwrap();
        prop_assert_eq!(boiling_strength(&boiling.temperature).unwrap().brix, brix);
    }

    #[test]
    fn a_stronger_syrup_boils_hotter(low in 50_000u32..90_000, more in 1u32..10_000) {
        let at = |thousandths: u32| {
            let degrees = Exact::ratio(thousandths.min(90_000).into(), 1000).unwrap();
            boiling_point(&Brix::new(degrees).unwrap()).unwrap().temperature
        };
        prop_assert!(at(low) < at(low + more));
    }

    #[test]
    fn saturation_there_and_back(thousandths in 0u32..=100_000) {
        let warm = Temperature::of_celsius(Exact::ratio(thousandths.into(), 1000).unwrap());
        let saturated = saturation(&warm).unwrap();
        prop_assert_eq!(saturation_temperature(&saturated.brix).unwrap().temperature, warm);
    }

    #[test]
    fn warmer_water_holds_more(low in 0u32..100_000, more in 1u32..10_000) {
        let at = |thousandths: u32| {
            let degrees = Exact::ratio(thousandths.min(100_000).into(), 1000).unwrap();
            saturation(&Temperature::of_celsius(degrees)).unwrap().brix
        };
        prop_assert!(at(low) < at(low + more));
    }

    /// What is added is mixed in, and the mix has the strength.
    #[test]
    fn an_addition_reaches_its_strength(grams in 1u32..100_000, from in strength(),
                                        to in strength()) {
        let syrup = Mass::of_grams(grams);
        match bring_to(&syrup, &from, &to) {
            Ok(Addition::Water(water)) => {
                prop_assert!(water > g("0"));
                let mixed = mix(&[(syrup, from), (water, brix("0"))]).unwrap();
                prop_assert_eq!(mixed, to);
            }
            Ok(Addition::Sugar(sugar)) => {
                prop_assert!(sugar >= g("0"));
                prop_assert_eq!(mix(&[(syrup, from), (sugar, brix("100"))]).unwrap(), to);
            }
            Err(_) => prop_assert!(to == brix("0") || to == brix("100")),
        }
    }

    #[test]
    fn boiling_down_is_undone_by_its_water(grams in 1u32..100_000, from in 1u32..=1_000,
                                           to in 1u32..=1_000) {
        let [low, high] = [from.min(to), from.max(to)].map(|b| Brix::new(tenths(b)).unwrap());
        let boiled = boil_down(&Mass::of_grams(grams), &low, &high).unwrap();
        prop_assert_eq!(boiled.left.grams() + boiled.water.grams(), Exact::from(grams));
        prop_assert_eq!(mix(&[(boiled.left, high), (boiled.water, brix("0"))]).unwrap(), low);
    }
}
