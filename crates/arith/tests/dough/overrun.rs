//! Air.

use chablon_arith::dough::{aerated_density, aerated_mass, mix_density, overrun};
use chablon_quantity::{Density, Exact, Grams, GramsPerMillilitre, Mass, Share};
use proptest::prelude::*;

use crate::{exact, g, percent};

#[test]
fn guelph_ice_cream_pages_overrun_by_weight() {
    // A litre of mix weighs 1090 g, of ice cream 560 g: 94.6 % overrun.
    let share = overrun(&g("1090"), &g("560")).unwrap();
    assert_eq!((share.0 * exact("100")).round(1).to_string(), "94.6");
}

#[test]
fn overrun_calculations_guelph_text_reproduced() {
    // 100 mL of mix weigh 110 g: 104.8 g at 5 % overrun, 100 g at 10 %. A litre of 1100 g: 550 g
    // at 100 %.
    let at = |share: &str| aerated_mass(&g("110"), &percent(share)).unwrap().grams();
    assert_eq!(at("5").round(1).to_string(), "104.8");
    assert_eq!(at("10"), exact("100"));
    assert_eq!(aerated_mass(&g("1100"), &percent("100")).unwrap(), g("550"));
}

#[test]
fn what_is_no_overrun_is_refused() {
    let error = overrun(&g("100"), &g("101")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the product weighs 101 g and the mix 100 g in the same volume; air only makes it \
         lighter, so check that both fill the same measure"
    );
    assert!(overrun(&g("100"), &g("0")).is_err());
    assert!(overrun(&g("0"), &g("0")).is_err());
    let error = aerated_mass(&g("100"), &percent("-5")).unwrap_err();
    assert_eq!(error.to_string(), "the overrun is -5 %; it can be 0 but not below");
    let nothing = Density::of_grams_per_millilitre(0);
    assert!(aerated_density(&nothing, &percent("5")).is_err());
    assert!(mix_density(&nothing, &percent("5")).is_err());
}

proptest! {
    #[test]
    fn there_and_back(mix in 1u32..2_000_000, per_mille in 0u32..5_000) {
        let share = Share(Exact::ratio(per_mille.into(), 1000).unwrap());
        let mix_mass = Mass::of_grams(mix);
        let product = aerated_mass(&mix_mass, &share).unwrap();
        prop_assert_eq!(&overrun(&mix_mass, &product).unwrap(), &share);
        let density = Density::of_grams_per_millilitre(Exact::ratio(mix.into(), 1000).unwrap());
        let aerated = aerated_density(&density, &share).unwrap();
        prop_assert_eq!(mix_density(&aerated, &share).unwrap(), density);
    }

    #[test]
    fn more_air_is_lighter(mix in 1u32..10_000, share in 0u32..1_000, more in 1u32..1_000) {
        let mass = |share| aerated_mass(&Mass::of_grams(mix), &percent(&u32::to_string(&share)));
        prop_assert!(mass(share + more).unwrap() < mass(share).unwrap());
    }
}
