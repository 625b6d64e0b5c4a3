//! Trays and oven loads.

use chablon_arith::geometry::{Outline, OvenPlan, Sheet, Spacing};
use proptest::prelude::*;
use test_case::test_case;

use crate::mm;

#[test_case(120, 24, 5 => (5, 24, 1, 5); "full trays in a full oven")]
#[test_case(121, 24, 5 => (6, 1, 2, 1); "one piece more")]
#[test_case(1, 24, 5 => (1, 1, 1, 1); "one piece")]
#[test_case(0, 24, 5 => (0, 0, 0, 0); "nothing")]
#[test_case(u64::MAX, 1, 1 => (u64::MAX, 1, u64::MAX, 1); "the largest count")]
fn trays_last_tray_loads_last_load(pieces: u64, tray: u64, load: u64) -> (u64, u64, u64, u64) {
    let plan = OvenPlan::new(pieces, tray, load).unwrap();
    (plan.trays, plan.last_tray, plan.loads, plan.last_load)
}

#[test]
fn choux_for_a_day() {
    let tray = Sheet::new(mm("600"), mm("400")).unwrap();
    let choux = Outline::disc(mm("45")).unwrap();
    let spacing = Spacing::gap(mm("30")).unwrap().with_edge(mm("15")).unwrap();
    let fit = tray.fit(&choux, &spacing).unwrap();
    // Computed: 5 rows of 8 in a grid; 6 staggered rows of 8 and 7.
    assert_eq!((fit.best_in_rows().pieces, fit.best().pieces), (40, 45));
    let plan = OvenPlan::new(300, fit.best_in_rows().pieces, 4).unwrap();
    assert_eq!((plan.trays, plan.last_tray, plan.loads, plan.last_load), (8, 20, 2, 4));
}

#[test]
fn nothing_is_baked_on_no_tray() {
    let error = OvenPlan::new(1, 0, 1).unwrap_err();
    let message = "pieces to a tray is 0, so nothing can be baked; it must be at least 1";
    assert_eq!(error.to_string(), message);
    assert!(OvenPlan::new(1, 1, 0).is_err());
}

proptest! {
    #[test]
    fn the_plan_holds_every_piece(pieces in 1u64..1_000_000, tray in 1u64..200,
                                  load in 1u64..40) {
        let plan = OvenPlan::new(pieces, tray, load).unwrap();
        prop_assert_eq!((plan.trays - 1) * tray + plan.last_tray, pieces);
        prop_assert_eq!((plan.loads - 1) * load + plan.last_load, plan.trays);
        prop_assert!((1..=tray).contains(&plan.last_tray));
        prop_assert!((1..=load).contains(&plan.last_load));
    }
}
