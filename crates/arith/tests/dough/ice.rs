//! Ice for the dough's water.

use chablon_arith::dough::{MeltingHeat, ice_in_place, ice_on_top};
use chablon_quantity::{Exact, Grams, MassUnit, Number, Temperature, Unit};
use proptest::prelude::*;

use crate::{c, exact, f, g, tenths};

#[test]
fn a_simple_calculation_ice_worked_example_on_top() {
    // 40 kg of water at 20 °C to 10 °C, 334.6 kJ/kg, 4.186 kJ/(kg K); printed: 4.4 kg of ice. The
    // article divides by melting heat and target, which is the balance for ice on top: 4.448.
    let iced = ice_on_top(&g("40000"), &c("20"), &c("10"), MeltingHeat::Measured).unwrap();
    let kilograms = iced.ice.grams() / exact("1000");
    assert_eq!(kilograms.round(1).to_string(), "4.4");
    assert_eq!(kilograms.round(3).to_string(), "4.448");
    assert_eq!(iced.water, g("40000"));
}

#[test]
fn the_same_example_with_ice_in_place_of_water_computed() {
    // Computed from the example's inputs: 4.003 kg of ice and the rest water, 40 kg together.
    let iced = ice_in_place(&g("40000"), &c("20"), &c("10"), MeltingHeat::Measured).unwrap();
    assert_eq!((iced.ice.grams() / exact("1000")).round(3).to_string(), "4.003");
    assert_eq!(iced.ice + iced.water, g("40000"));
}

#[test]
fn professional_baking_texts_formula_from_memory() {
    // From memory: ice = water x (tap - wanted) / (tap + 112) in °F; 10 lb from 65 to 45 °F: 1.13.
    let water = MassUnit::Pound.quantity(&Number::whole(10));
    let iced = ice_in_place(&water, &f("65"), &f("45"), MeltingHeat::Bakers).unwrap();
    let pounds = iced.ice.grams() / MassUnit::Pound.factor();
    assert_eq!(pounds, exact("200/177"));
    assert_eq!(pounds.round(2).to_string(), "1.13");
}

#[test]
fn no_ice_where_nothing_is_cooled() {
    let iced = ice_in_place(&g("1000"), &c("15"), &c("15"), MeltingHeat::Bakers).unwrap();
    assert_eq!((iced.ice, iced.water), (g("0"), g("1000")));
}

#[test]
fn what_ice_can_not_do_is_refused() {
    let ice = |tap: &str, wanted: &str| {
        ice_in_place(&g("1000"), &c(tap), &c(wanted), MeltingHeat::Bakers).unwrap_err().to_string()
    };
    assert_eq!(
        ice("10", "20"),
        "water at 10 °C (50 °F) isn't cooled to 20 °C (68 °F); ice only makes it colder"
    );
    assert_eq!(
        ice("20", "-1"),
        "the wanted water is -1 °C (30.2 °F); it must be from 0 °C (32 °F) to 100 °C (212 °F)"
    );
    assert!(ice("101", "20").starts_with("the tap water is 101 °C"));
    let error = ice_on_top(&g("-1"), &c("20"), &c("10"), MeltingHeat::Bakers).unwrap_err();
    assert_eq!(error.to_string(), "the water is -1 g; it can be 0 but not below");
}

proptest! {
    /// What the ice takes up, melting and warming, the tap water gives off.
    #[test]
    fn heat_balances(grams in 1u32..1_000_000, tap in 0i32..1_000, wanted in 0i32..1_000,
                     bakers: bool) {
        let (tap, wanted) = (tenths(tap.max(wanted)), tenths(wanted.min(tap)));
        let heat = if bakers { MeltingHeat::Bakers } else { MeltingHeat::Measured };
        let (from, to) =
            (Temperature::of_celsius(tap.clone()), Temperature::of_celsius(wanted.clone()));
        for ice in [ice_in_place, ice_on_top] {
            let iced = ice(&g(&grams.to_string()), &from, &to, heat).unwrap();
            let taken = iced.ice.grams() * (heat.degrees() + &wanted);
            prop_assert_eq!(taken, iced.water.grams() * (&tap - &wanted));
        }
        let in_place = ice_in_place(&g(&grams.to_string()), &from, &to, heat).unwrap();
        prop_assert_eq!(in_place.ice.grams() + in_place.water.grams(), Exact::from(grams));
    }
}
