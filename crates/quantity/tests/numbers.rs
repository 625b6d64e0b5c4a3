//! Exact numbers, their written forms, and the one rounding.

use chablon_quantity::{Authored, Exact, HourlyRate, MassUnit, MoneyAmount, Number, ShareUnit};
use proptest::prelude::*;
use test_case::test_case;

#[test_case("250", "250")]
#[test_case("0.5", "1/2")]
#[test_case("1/2", "1/2")]
#[test_case("1 1/2", "3/2")]
#[test_case("-18", "-18")]
#[test_case("-1 1/2", "-3/2")]
#[test_case("007.50", "15/2")]
#[test_case("999999999999999999", "999999999999999999")]
#[test_case("0.000000000000000001", "1/1000000000000000000")]
fn a_written_number_is_worth(text: &str, exact: &str) {
    assert_eq!(text.parse::<Number>().unwrap().exact().to_string(), exact);
}

#[test_case("250")]
#[test_case("1.50")]
#[test_case("0.05")]
#[test_case("-0.5")]
#[test_case("1/2")]
#[test_case("2/4"; "a fraction is not reduced")]
#[test_case("1 1/2")]
fn a_written_number_is_shown_as_written(text: &str) {
    assert_eq!(text.parse::<Number>().unwrap().to_string(), text);
}

#[test_case(""; "an empty text")]
#[test_case(".5")]
#[test_case("5.")]
#[test_case("1e3")]
#[test_case("1,5")]
#[test_case("1/0"; "over zero")]
#[test_case("1 3/2"; "an improper mixed number")]
#[test_case("1 1 1/2")]
#[test_case("+1")]
#[test_case("½"; "a vulgar fraction")]
#[test_case("1234567890123456789"; "nineteen digits")]
#[test_case("99999999999999999999999999999999999999999999")]
fn no_number_is_written_so(text: &str) {
    assert!(text.parse::<Number>().is_err());
}

#[test_case("250", "`250` has no unit; a mass is needed, such as `250 g`")]
#[test_case("2 L", "`L` is a volume, where a mass is needed")]
#[test_case("80 °C", "`°C` is a temperature, where a mass is needed")]
#[test_case("2 gr", "`gr` is not a unit; a mass is needed, in `mg`, `g`, `kg`, `oz`, `lb`")]
#[test_case("-2 g", "`-2 g` is below zero, which a mass can't be")]
#[test_case("two g", "`` is not a number; write `250`, `0.5`, `1/2` or `1 1/2`")]
fn a_mass_is_refused_with_a_reason(text: &str, message: &str) {
    let error = text.parse::<Authored<MassUnit>>().unwrap_err();
    assert_eq!(error.to_string(), message);
}

#[test]
fn money_and_rates_keep_their_wording() {
    let price: MoneyAmount = "78.40 EUR".parse().unwrap();
    assert_eq!(price.to_string(), "78.40 EUR");
    assert_eq!(price.exact().to_string(), "392/5");
    assert_eq!("24.50 EUR/h".parse::<HourlyRate>().unwrap().to_string(), "24.50 EUR/h");
    assert!("24.50 EUR".parse::<HourlyRate>().is_err());
    assert!("12.50 eur".parse::<MoneyAmount>().is_err());
    assert!("12.50".parse::<MoneyAmount>().is_err());
}

#[test]
fn a_share_of_five_percent_is_a_twentieth() {
    let share: Authored<ShareUnit> = "5 %".parse().unwrap();
    assert_eq!(share.quantity().0.to_string(), "1/20");
}

#[test_case("1/2000", "0.001"; "a tie goes up")]
#[test_case("-1/2000", "-0.001"; "a tie goes away from zero")]
#[test_case("4999/10000000", "0.000"; "just below a tie")]
#[test_case("-4999/10000000", "0.000"; "no minus before nothing")]
#[test_case("5001/10000000", "0.001"; "just above a tie")]
#[test_case("2500", "2500.000")]
#[test_case("5/2", "2.500")]
fn a_figure_is_rounded_half_away_from_zero(exact: &str, shown: &str) {
    assert_eq!(exact.parse::<Exact>().unwrap().round(3).to_string(), shown);
}

/// Whole ranges of `i128`, small numbers, and powers of two around the ends of the range.
fn any_ratio() -> impl Strategy<Value = Exact> {
    let power = |shift: u32| 1i128.checked_shl(shift).unwrap_or(i128::MAX);
    let numerator = prop_oneof![
        any::<i128>(),
        -1000i128..1000,
        (100u32..128).prop_map(power),
        (100u32..128).prop_map(move |shift| power(shift).wrapping_neg()),
    ];
    let denominator = prop_oneof![1..=i128::MAX, 1..1000i128, (0u32..127).prop_map(power)];
    (numerator, denominator).prop_map(|(n, d)| Exact::ratio(n, d).unwrap())
}

proptest! {
    #[test]
    fn a_decimal_is_its_coefficient_times_a_power(coefficient: i64, exponent: i8) {
        let worth = Exact::from(coefficient) * Exact::power_of_ten(exponent.into());
        prop_assert_eq!(Number::Decimal { coefficient, exponent }.exact(), worth);
    }

    #[test]
    fn arithmetic_is_exact_where_i128_overflows(a in any_ratio(), b in any_ratio(), c in any_ratio()) {
        prop_assert_eq!((&a + &b) - &b, a.clone());
        prop_assert_eq!(&a * &(&b + &c), &a * &b + &a * &c);
        if let Some(quotient) = a.checked_div(&b) {
            prop_assert_eq!(quotient * &b, a.clone());
        }
        prop_assert_eq!(a.cmp(&b), (&a - &b).cmp(&Exact::from(0)));
    }

    #[test]
    fn a_value_is_held_in_one_way_only(a in any_ratio(), b in any_ratio()) {
        // Through big integers and back: equality and hashing rely on it.
        let there_and_back = (&a * &b).checked_div(&b).unwrap_or_else(|| a.clone());
        prop_assert_eq!(there_and_back.parts(), a.parts());
    }

    #[test]
    fn its_text_is_the_number(a in any_ratio()) {
        prop_assert_eq!(a.to_string().parse::<Exact>().unwrap(), a);
    }

    #[test]
    fn floor_and_ceil_enclose(a in any_ratio()) {
        let (low, high) = (a.floor(), a.ceil());
        prop_assert!(low <= a && a <= high && low.is_integer() && high.is_integer());
        prop_assert!(&high - &low <= Exact::from(1));
    }

    #[test]
    fn rounding_moves_a_figure_by_half_a_unit_at_most(a in any_ratio(), decimals in 0u32..9) {
        let off = (a.round(decimals).exact() - &a).abs();
        prop_assert!(off * Exact::from(2) <= Exact::power_of_ten(-i32::try_from(decimals).unwrap()));
    }

    #[test]
    fn an_exact_half_goes_away_from_zero(units in any::<i64>(), decimals in 0u32..9) {
        let step = Exact::power_of_ten(-i32::try_from(decimals).unwrap());
        let half = (Exact::from(units) + Exact::ratio(1, 2).unwrap()) * &step;
        let away = if half.is_negative() { Exact::from(units) } else { Exact::from(units) + Exact::from(1) };
        prop_assert_eq!(half.round(decimals).exact(), away * step);
    }

    #[test]
    fn a_number_survives_its_text(coefficient in -999_999_999_999_999_999i64..=999_999_999_999_999_999, exponent in -18i8..=0) {
        let number = Number::decimal(coefficient, exponent).unwrap();
        prop_assert_eq!(number.to_string().parse::<Number>().unwrap().exact(), number.exact());
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,40}") {
        let _ = text.parse::<Authored<MassUnit>>();
        let _ = text.parse::<MoneyAmount>();
        let _ = text.parse::<HourlyRate>();
    }
}
