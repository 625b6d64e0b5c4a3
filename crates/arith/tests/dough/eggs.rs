//! Eggs.

use chablon_arith::dough::{EggClass, EggPart, EggSize};
use chablon_quantity::Pieces;
use test_case::test_case;

use crate::{exact, g};

/// Source: USDA National Nutrient Database for Standard Reference, release 28.
#[test_case(EggSize::Small, "38")]
#[test_case(EggSize::Medium, "44")]
#[test_case(EggSize::Large, "50")]
#[test_case(EggSize::ExtraLarge, "56")]
#[test_case(EggSize::Jumbo, "63")]
fn usda_standard_reference_28_egg_without_shell(size: EggSize, grams: &str) {
    assert_eq!(size.edible(), g(grams));
}

#[test]
fn usda_standard_reference_28_white_and_yolk_make_a_large_egg() {
    assert_eq!((EggPart::White.of_large(), EggPart::Yolk.of_large()), (g("33"), g("17")));
    let parts = EggPart::White.of_large() + EggPart::Yolk.of_large();
    assert_eq!(parts, EggSize::Large.edible());
}

#[test]
fn usda_standard_reference_28_a_cup_of_egg_is_4_86_large() {
    // Same release: a cup of raw egg weighs 243 g and is 4.86 large eggs.
    assert_eq!(EggSize::Large.eggs_for(&g("243")).unwrap(), Pieces(exact("4.86")));
    assert_eq!(EggPart::Yolk.large_eggs_for(&g("170")).unwrap(), Pieces(exact("10")));
    assert!(EggSize::Large.eggs_for(&g("-1")).is_err());
}

/// Source: EU egg weight bands as quoted; which class a bound belongs to is from memory.
#[test_case("52.999", EggClass::Small)]
#[test_case("53", EggClass::Medium)]
#[test_case("62.999", EggClass::Medium)]
#[test_case("63", EggClass::Large)]
#[test_case("72.999", EggClass::Large)]
#[test_case("73", EggClass::VeryLarge)]
fn eu_egg_weight_bands_bounds_from_memory(grams: &str, class: EggClass) {
    assert_eq!(EggClass::of(&g(grams)).unwrap(), class);
}

#[test]
fn an_egg_weighs_something() {
    assert!(EggClass::of(&g("0")).is_err());
}
