//! Every unit of a book against its published definition.
//!
//! Source of every value: Unified Code for Units of Measure (UCUM), essence version 2.2 of
//! 2024-06-17, whose code stands beside each; NIST Handbook 44, Appendix C, defines the same.

use chablon_quantity::{
    Authored, DensityUnit, Exact, Grams, GramsPerMillilitre, LengthUnit, MassUnit, Millilitres,
    Millimetres, Number, Seconds, TemperatureUnit, TimeUnit, Unit, VolumeUnit,
};
use test_case::test_case;

fn exact(text: &str) -> Exact {
    text.parse::<Number>().unwrap().exact()
}

fn one<U: Unit>(symbol: &str) -> U::Quantity {
    U::from_symbol(symbol).unwrap().quantity(&Number::whole(1))
}

#[test_case("mg", "0.001"; "ucum mg")]
#[test_case("g", "1"; "ucum g")]
#[test_case("kg", "1000"; "ucum kg")]
#[test_case("oz", "28.349523125"; "ucum oz_av")]
#[test_case("lb", "453.59237"; "ucum lb_av")]
fn a_mass_unit_is_so_many_grams(symbol: &str, grams: &str) {
    assert_eq!(one::<MassUnit>(symbol).grams(), exact(grams));
}

#[test_case("mL", "1"; "ucum mL")]
#[test_case("cL", "10"; "ucum cL")]
#[test_case("dL", "100"; "ucum dL")]
#[test_case("L", "1000"; "ucum L")]
#[test_case("tsp", "4.92892159375"; "ucum tsp_us")]
#[test_case("tbsp", "14.78676478125"; "ucum tbs_us")]
#[test_case("floz", "29.5735295625"; "ucum foz_us")]
#[test_case("cup", "236.5882365"; "ucum cup_us")]
#[test_case("pt", "473.176473"; "ucum pt_us")]
#[test_case("qt", "946.352946"; "ucum qt_us")]
#[test_case("gal", "3785.411784"; "ucum gal_us")]
#[test_case("imp-floz", "28.4130625"; "ucum foz_br")]
#[test_case("imp-pt", "568.26125"; "ucum pt_br")]
#[test_case("imp-gal", "4546.09"; "ucum gal_br")]
fn a_volume_unit_is_so_many_millilitres(symbol: &str, millilitres: &str) {
    assert_eq!(one::<VolumeUnit>(symbol).millilitres(), exact(millilitres));
}

#[test_case("mm", "1"; "ucum mm")]
#[test_case("cm", "10"; "ucum cm")]
#[test_case("m", "1000"; "ucum m")]
#[test_case("in", "25.4"; "ucum in_i")]
fn a_length_unit_is_so_many_millimetres(symbol: &str, millimetres: &str) {
    assert_eq!(one::<LengthUnit>(symbol).millimetres(), exact(millimetres));
}

#[test_case("s", "1"; "ucum s")]
#[test_case("min", "60"; "ucum min")]
#[test_case("h", "3600"; "ucum h")]
#[test_case("d", "86400"; "ucum d")]
fn a_time_unit_is_so_many_seconds(symbol: &str, seconds: &str) {
    assert_eq!(one::<TimeUnit>(symbol).seconds(), exact(seconds));
}

#[test]
fn every_unit_of_a_book_is_checked_above() {
    let source = include_str!("units.rs");
    let symbols = [
        MassUnit::all().iter().map(Unit::symbol).collect::<Vec<_>>(),
        VolumeUnit::all().iter().map(Unit::symbol).collect(),
        LengthUnit::all().iter().map(Unit::symbol).collect(),
        TimeUnit::all().iter().map(Unit::symbol).collect(),
    ];
    for symbol in symbols.concat() {
        assert!(source.contains(&format!("test_case(\"{symbol}\"")), "{symbol} is unchecked");
    }
}

/// UCUM: a gallon is 4 quarts, 8 pints, 16 cups, 128 fluid ounces, 256 tablespoons, 768 teaspoons.
#[test_case("qt", 4)]
#[test_case("pt", 8)]
#[test_case("cup", 16)]
#[test_case("floz", 128)]
#[test_case("tbsp", 256)]
#[test_case("tsp", 768)]
fn a_us_gallon_holds_so_many(symbol: &str, count: i64) {
    let unit = VolumeUnit::from_symbol(symbol).unwrap();
    let all = unit.quantity(&Number::whole(count)).millilitres();
    assert_eq!(all, one::<VolumeUnit>("gal").millilitres());
}

/// The published table of °F against exact °C (from the definition °C = (°F - 32) x 5/9).
#[test_case("-40", "-40")]
#[test_case("0", "-160/9")]
#[test_case("32", "0")]
#[test_case("41", "5")]
#[test_case("165", "665/9")]
#[test_case("212", "100")]
#[test_case("350", "530/3")]
#[test_case("500", "260")]
fn fahrenheit_is_celsius_by_definition(fahrenheit: &str, celsius: &str) {
    let number: Number = fahrenheit.parse().unwrap();
    let temperature = TemperatureUnit::Fahrenheit.quantity(&number);
    assert_eq!(temperature.celsius(), celsius.parse::<Exact>().unwrap());
    assert_eq!(temperature.fahrenheit(), number.exact());
}

#[test]
fn a_density_is_its_mass_over_its_volume() {
    let pound_per_gallon: Authored<DensityUnit> = "1 lb/gal".parse().unwrap();
    assert_eq!(
        pound_per_gallon.quantity().grams_per_millilitre(),
        exact("453.59237") / exact("3785.411784")
    );
}
