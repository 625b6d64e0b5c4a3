//! What a sum says of its range is the range that it keeps.

use chablon_arith::about::{
    About, GELATINE_PROPORTIONAL, GELATINE_SQUARE_ROOT, SUGAR_STAGES, SYRUP_BOILING,
    SYRUP_SATURATION,
};
use chablon_arith::dough::{
    Bloom, BloomRule, Brix, boiling_point, boiling_strength, exchange_gelatine, saturation,
    saturation_temperature, stage_at,
};
use chablon_quantity::{Exact, Length, Millimetres};
use test_case::test_case;

use crate::{c, exact, g};

/// A hair beyond a bound.
fn hair() -> Exact {
    exact("0.000001")
}

/// Whether figures are given from the low bound to the high one and no further, and whether the
/// words say so.
fn kept(about: &About, words: &str, low: &str, high: &str, gives: impl Fn(Exact) -> bool) {
    assert!(about.range.contains(words), "{words}: {}", about.range);
    let (low, high) = (exact(low), exact(high));
    assert!(gives(low.clone()) && gives(high.clone()), "{words}");
    assert!(!gives(low - hair()) && !gives(high + hair()), "{words}");
}

#[test]
fn a_table_of_syrup_ends_where_its_range_does() {
    let boils = |brix: Exact| boiling_point(&Brix::new(brix).unwrap()).is_ok();
    kept(&SYRUP_BOILING, "50 to 90 Brix", "50", "90", boils);
    let strong =
        |degrees: Exact| boiling_strength(&chablon_quantity::Temperature::of_celsius(degrees));
    kept(&SYRUP_BOILING, "102 to 127.8 °C", "102", "127.8", |at| strong(at).is_ok());
    let saturated = |at: Exact| saturation(&chablon_quantity::Temperature::of_celsius(at)).is_ok();
    kept(&SYRUP_SATURATION, "0 to 100 °C", "0", "100", saturated);
    let of = |brix: Exact| saturation_temperature(&Brix::new(brix).unwrap()).is_ok();
    kept(&SYRUP_SATURATION, "64.18 to 82.87 Brix", "64.18", "82.87", of);
}

#[test]
fn the_stages_of_sugar_end_where_their_range_does() {
    let metres = |metres: Exact| Length::of_millimetres(metres * Exact::from(1000));
    let staged = |at: Exact| {
        stage_at(&chablon_quantity::Temperature::of_celsius(at), &metres(exact("0"))).is_ok()
    };
    kept(&SUGAR_STAGES, "102 to 190 °C at sea level", "102", "190", staged);
    let high = |altitude: Exact| stage_at(&c("115"), &metres(altitude)).is_ok();
    kept(&SUGAR_STAGES, "0 to 3048 m", "0", "3048", high);
}

#[test_case(BloomRule::Proportional, &GELATINE_PROPORTIONAL; "in proportion")]
#[test_case(BloomRule::SquareRoot, &GELATINE_SQUARE_ROOT; "by the root")]
fn a_rule_for_gelatine_ends_where_its_range_does(rule: BloomRule, about: &About) {
    let (low, high) = rule.range();
    let exchanged = |bloom: Exact| {
        exchange_gelatine(&g("10"), &Bloom(exact("200")), &Bloom(bloom), rule).is_ok()
    };
    let words = format!("{low} to {high} Bloom");
    kept(about, &words, &low.to_string(), &high.to_string(), exchanged);
    assert_eq!(about.source, rule.source());
}
