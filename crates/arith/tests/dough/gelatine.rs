//! Gelatine by strength.

use chablon_arith::dough::{Bloom, BloomRule, SheetGrade, exchange_gelatine};
use chablon_quantity::{Exact, Grams, Mass, Pieces};
use num_bigint::BigInt;
use proptest::prelude::*;
use test_case::test_case;

use crate::{exact, g, tenths};

fn bloom(grams: u32) -> Bloom {
    Bloom(Exact::from(grams))
}

/// Source: gelatin conversion table by Bloom (square-root rule). Its factors are loosely rounded
/// or cut, hence 0.02; the four decimals are computed.
#[test_case(240, 60, "2.0", "2.0000")]
#[test_case(200, 160, "1.11", "1.1180")]
#[test_case(160, 200, "0.89", "0.8944")]
#[test_case(240, 200, "1.09", "1.0954")]
#[test_case(200, 240, "0.91", "0.9129")]
#[test_case(100, 200, "0.7", "0.7071")]
#[test_case(200, 100, "1.41", "1.4142")]
#[test_case(160, 240, "0.81", "0.8165")]
#[test_case(220, 180, "1.1", "1.1055")]
#[test_case(260, 60, "2.08", "2.0817")]
#[test_case(120, 60, "1.41", "1.4142")]
#[test_case(180, 160, "1.06", "1.0607")]
fn square_root_table_by_bloom(recipe: u32, own: u32, published: &str, computed: &str) {
    let exchanged =
        exchange_gelatine(&g("1"), &bloom(recipe), &bloom(own), BloomRule::SquareRoot).unwrap();
    assert_eq!(exchanged.factor.round(4).to_string(), computed);
    assert!((exchanged.factor.round(6).exact() - exact(published)).abs() <= exact("0.02"));
}

#[test]
fn linear_rule_worked_example_platinum_to_silver() {
    // Source: gelatin conversion factors (linear rule), sheet weights: 21 g of platinum are 30 g
    // of silver, by a factor of 1.47. Its 30 is cut, not rounded: 21 x 1.47 = 30.87.
    let (platinum, _) = SheetGrade::Platinum.blooms();
    let (silver, _) = SheetGrade::Silver.blooms();
    let exchanged =
        exchange_gelatine(&g("21"), &platinum, &silver, BloomRule::Proportional).unwrap();
    assert_eq!(exchanged.factor.round(2).to_string(), "1.47");
    assert_eq!(exchanged.grams.exact().unwrap().floor(), exact("30"));
}

#[test_case(10, 200, 160, BloomRule::SquareRoot, "11.18", "sqrt(125)"; "200 to 160 by root")]
#[test_case(10, 250, 200, BloomRule::SquareRoot, "11.18", "sqrt(125)"; "250 to 200 by root")]
#[test_case(10, 240, 200, BloomRule::Proportional, "12.00", "12"; "240 to 200 in proportion")]
#[test_case(10, 240, 60, BloomRule::SquareRoot, "20.00", "20"; "a rational root")]
#[test_case(10, 160, 160, BloomRule::SquareRoot, "10.00", "10"; "the same strength")]
fn exchanges_computed(grams: u32, recipe: u32, own: u32, rule: BloomRule, two: &str, whole: &str) {
    let mass = Mass::of_grams(grams);
    let exchanged = exchange_gelatine(&mass, &bloom(recipe), &bloom(own), rule).unwrap();
    assert_eq!(exchanged.grams.round(2).to_string(), two);
    assert_eq!(exchanged.grams.to_string(), whole);
    assert_eq!(exchanged.to_weigh(2), g(two));
    assert_eq!(exchanged.rule, rule);
}

#[test]
fn the_two_rules_disagree() {
    let grams = |rule| {
        let exchanged = exchange_gelatine(&g("1"), &bloom(240), &bloom(160), rule).unwrap();
        exchanged.factor.round(4).to_string()
    };
    assert_eq!(grams(BloomRule::SquareRoot), "1.2247");
    assert_eq!(grams(BloomRule::Proportional), "1.5000");
}

#[test_case(59, 200, BloomRule::SquareRoot,
    "the recipe's gelatine is 59 Bloom, outside the published range of 60 to 260 Bloom (gelatin \
     conversion table by Bloom (square-root rule))"; "below")]
#[test_case(200, 261, BloomRule::SquareRoot,
    "the own gelatine is 261 Bloom, outside the published range of 60 to 260 Bloom (gelatin \
     conversion table by Bloom (square-root rule))"; "above")]
#[test_case(200, 0, BloomRule::Proportional,
    "the own gelatine is 0 Bloom, outside the published range of 125 to 265 Bloom (gelatin \
     conversion factors (linear rule) and sheet weights, tabulated)"; "none")]
fn no_rule_goes_beyond_its_range(recipe: u32, own: u32, rule: BloomRule, message: &str) {
    let error = exchange_gelatine(&g("10"), &bloom(recipe), &bloom(own), rule).unwrap_err();
    assert_eq!(error.to_string(), message);
}

/// Source: gelatin conversion factors (linear rule), sheet weights.
#[test_case(SheetGrade::Bronze, "3.3")]
#[test_case(SheetGrade::Silver, "2.5")]
#[test_case(SheetGrade::Gold, "2.0")]
#[test_case(SheetGrade::Platinum, "1.7")]
fn a_sheet_weighs(grade: SheetGrade, grams: &str) {
    assert_eq!(grade.sheet(), g(grams));
    assert_eq!(grade.sheets_for(&g(grams)).unwrap(), Pieces(Exact::from(1)));
    let mass = grade.mass_of(&Pieces(exact("7 1/2"))).unwrap();
    assert_eq!(grade.sheets_for(&mass).unwrap(), Pieces(exact("7 1/2")));
}

#[test]
fn grades_rise_in_strength_and_fall_in_weight() {
    for pair in SheetGrade::ALL.windows(2) {
        assert!(pair[0].blooms().1 < pair[1].blooms().0);
        assert!(pair[0].sheet() > pair[1].sheet());
    }
}

#[test]
fn no_gelatine_is_below_zero() {
    assert!(SheetGrade::Gold.sheets_for(&g("-1")).is_err());
    assert!(SheetGrade::Gold.mass_of(&Pieces(exact("-1"))).is_err());
    let rule = BloomRule::SquareRoot;
    assert!(exchange_gelatine(&g("-1"), &bloom(200), &bloom(200), rule).is_err());
}

proptest! {
    /// The rounded root is right: its square lies between those of half a unit less and more,
    /// with a tie going up.
    #[test]
    fn a_root_is_rounded_to_its_nearest(mass in 0u32..1_000_000, recipe in 60u32..=260,
                                        own in 60u32..=260, decimals in 0u32..8) {
        let rule = BloomRule::SquareRoot;
        let mass = Mass::of_grams(tenths(mass));
        let root = exchange_gelatine(&mass, &bloom(recipe), &bloom(own), rule).unwrap().grams;
        let units = root.round(decimals).units();
        let unit = Exact::power_of_ten(decimals.cast_signed());
        let doubled = root.square() * &unit * &unit * Exact::from(4);
        let square = |number: BigInt| Exact::from(&number * &number);
        prop_assert!(units == BigInt::ZERO || square(&units * 2u8 - 1u8) <= doubled);
        prop_assert!(doubled < square(units * 2u8 + 1u8));
    }

    #[test]
    fn there_and_back_is_the_same_amount(mass in 1u32..100_000, recipe in 125u32..=260,
                                         own in 125u32..=260) {
        for rule in [BloomRule::SquareRoot, BloomRule::Proportional] {
            let (recipe, own) = (bloom(recipe), bloom(own));
            let there = exchange_gelatine(&Mass::of_grams(mass), &recipe, &own, rule).unwrap();
            let back = exchange_gelatine(&Mass::of_grams(mass), &own, &recipe, rule).unwrap();
            let product = there.factor.square() * back.factor.square();
            prop_assert_eq!(product, Exact::from(1));
        }
    }

    #[test]
    fn a_stronger_gelatine_takes_less(recipe in 125u32..=260, own in 125u32..260) {
        for rule in [BloomRule::SquareRoot, BloomRule::Proportional] {
            let grams = |own| {
                exchange_gelatine(&g("10"), &bloom(recipe), &bloom(own), rule).unwrap().grams
            };
            prop_assert!(grams(own + 1) < grams(own));
        }
    }

    /// By proportion the figure is rational, ties included: the same digits as `Exact` rounds to.
    #[test]
    fn a_rational_figure_is_rounded_as_any_other(mass in 0u32..1_000_000, recipe in 125u32..=265,
                                                 own in 125u32..=265, decimals in 0u32..6) {
        let mass = Mass::of_grams(Exact::ratio(mass.into(), 2000).unwrap());
        let rule = BloomRule::Proportional;
        let grams = exchange_gelatine(&mass, &bloom(recipe), &bloom(own), rule).unwrap().grams;
        let plain = mass.grams() * Exact::ratio(recipe.into(), own.into()).unwrap();
        prop_assert_eq!(grams.round(decimals), plain.round(decimals));
        prop_assert_eq!(grams.exact().unwrap(), plain);
    }
}
