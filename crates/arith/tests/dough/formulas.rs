//! Baker's percentages and blends.

use chablon_arith::dough::{
    DoughError, FormulaLine, WetLine, blend, hydration, percentages, weights_for_base,
    weights_for_total,
};
use chablon_quantity::{Exact, Grams, Mass, MassUnit, Number, Share, Unit};
use proptest::prelude::*;

use crate::{exact, g, percent};

/// A formula whose first line is the base.
fn formula(grams: &[&str]) -> Vec<FormulaLine> {
    grams
        .iter()
        .enumerate()
        .map(|(at, mass)| FormulaLine { mass: g(mass), base: at == 0 })
        .collect()
}

fn two(share: &Share) -> String {
    (&share.0 * exact("100")).round(2).to_string()
}

fn all(lines: &[Share]) -> Vec<String> {
    lines.iter().map(two).collect()
}

#[test]
fn math_baking_and_entrepreneurship_lesson_6_bread() {
    let lines = formula(&["350", "180", "10", "10", "25", "30", "1.25"]);
    let result = percentages(&lines).unwrap();
    let printed = ["100.00", "51.43", "2.86", "2.86", "7.14", "8.57", "0.36"];
    assert_eq!(all(&result.lines), printed);
    // The same sheet: 606.25 g and 173.21 % in all, 12 pieces of 50 g.
    assert_eq!(two(&result.total), "173.21");
    let total = result.base.grams() * &result.total.0;
    assert_eq!(total, exact("606.25"));
    assert_eq!((total / exact("50")).floor(), exact("12"));
}

#[test]
fn math_baking_and_entrepreneurship_lesson_6_rich_bread() {
    let lines = formula(&["350", "110", "10", "6", "150", "100", "125", "100"]);
    let result = percentages(&lines).unwrap();
    let shown = all(&result.lines);
    let printed = [(1, "31.43"), (3, "1.71"), (4, "42.86"), (5, "28.57"), (6, "35.71")];
    assert!(printed.iter().all(|(line, share)| shown[*line] == *share), "{shown:?}");
    assert_eq!(two(&result.total), "271.71");
    let total = result.base.grams() * &result.total.0;
    assert_eq!(total, exact("951"));
    assert_eq!((total / exact("50")).floor(), exact("19"));
}

#[test]
fn how_to_work_with_a_formula_expressed_in_bakers_percent() {
    // Ounces of flour, salt, sugar, compressed yeast, olive oil, water.
    let ounces = ["640", "11.2", "12.8", "9.6", "19.2", "371.2"];
    let line = |(at, ounces): (usize, &&str)| FormulaLine {
        mass: MassUnit::Ounce.quantity(&ounces.parse::<Number>().unwrap()),
        base: at == 0,
    };
    let lines: Vec<FormulaLine> = ounces.iter().enumerate().map(line).collect();
    let expected = ["100", "1.75", "2", "1.5", "3", "58"].map(percent);
    assert_eq!(percentages(&lines).unwrap().lines, expected);
}

#[test]
fn bakeshop_math_lesson_20_percent_sugar_of_5000_g_flour() {
    let weights = weights_for_base(&[percent("100"), percent("20")], &g("5000")).unwrap();
    assert_eq!(weights.lines[1], g("1000"));
}

#[test]
fn procedure_for_converting_a_formula_to_a_new_yield() {
    // 3000 g, or 96 oz, of batter at 377.5 % in all: 794.7 g, or 25.43 oz, of flour.
    let shares = [percent("100"), percent("277.5")];
    let weights = weights_for_total(&shares, &g("3000")).unwrap();
    assert_eq!(weights.base.grams().round(1).to_string(), "794.7");
    let ounces = weights_for_total(&shares, &MassUnit::Ounce.quantity(&Number::whole(96))).unwrap();
    assert_eq!((ounces.base.grams() / MassUnit::Ounce.factor()).round(2).to_string(), "25.43");
}

#[test]
fn bakers_percentage_worksheet_73_baguettes() {
    // 73 pieces of 390 g at 100, 67, 2 and 1 %: 28,470 g by a factor of 1.7. The sheet cuts its
    // figures after three decimals and goes on from the cut flour, so that they fall short of the
    // exact ones by less than 0.002 g.
    let shares = ["100", "67", "2", "1"].map(percent);
    let weights = weights_for_total(&shares, &g("28470")).unwrap();
    for (line, printed) in weights.lines.iter().zip(["16747.058", "11220.528", "334.941", "167.47"])
    {
        let short = line.grams() - exact(printed);
        assert!(short >= exact("0") && short < exact("0.002"), "{printed} short by {short}");
    }
    assert_eq!(weights.total, g("28470"));
    let sum: Exact = weights.lines.iter().map(Grams::grams).sum();
    assert_eq!(sum, exact("28470"), "nothing is lost on the way");
}

#[test]
fn the_base_may_be_several_lines() {
    let line = |grams: &str, base| FormulaLine { mass: g(grams), base };
    let lines = [line("800", true), line("200", true), line("650", false)];
    let result = percentages(&lines).unwrap();
    assert_eq!(result.lines, ["80", "20", "65"].map(percent));
    assert_eq!((result.base, result.total), (g("1000"), percent("165")));
}

#[test]
fn a_formula_without_a_base_is_refused() {
    let message = "the formula has no base line with a mass; mark the flour, or whatever is 100 %";
    let water = FormulaLine { mass: g("650"), base: false };
    assert_eq!(percentages(&[water]).unwrap_err().to_string(), message);
    assert_eq!(percentages(&formula(&["0", "5"])).unwrap_err(), DoughError::NoBase);
    assert_eq!(percentages(&[]).unwrap_err(), DoughError::NoBase);
    assert!(percentages(&formula(&["5", "-1"])).is_err());
    assert_eq!(weights_for_total(&[], &g("100")).unwrap_err(), DoughError::NoShares);
    assert!(weights_for_total(&[percent("100"), percent("-1")], &g("100")).is_err());
    assert!(weights_for_base(&[percent("100")], &g("-1")).is_err());
}

#[test]
fn hydration_counts_the_water_of_every_line() {
    let line =
        |grams: &str, base, water: &str| WetLine { mass: g(grams), base, water: percent(water) };
    // The worksheet's baguettes are of 67 % hydration.
    let lean = [line("100", true, "0"), line("67", false, "100"), line("2", false, "0")];
    assert_eq!(hydration(&lean).unwrap(), percent("67"));
    // Computed: 300 g of water and 200 g of milk counted at 88 % to 1000 g of flour.
    let rich = [line("1000", true, "0"), line("300", false, "100"), line("200", false, "88")];
    assert_eq!(hydration(&rich).unwrap(), percent("47.6"));
    assert!(hydration(&[line("1000", true, "101")]).is_err());
    assert_eq!(hydration(&[line("10", false, "100")]).unwrap_err(), DoughError::NoBase);
}

#[test]
fn usda_standard_reference_28_half_and_half_by_the_pearson_square() {
    // Fat: heavy cream 36.08 %, milk 3.25 %, half and half 10.39 %; the cream's part is 0.2175.
    let parts = blend(&percent("36.08"), &percent("3.25"), &percent("10.39")).unwrap();
    assert_eq!(parts.first.0.round(4).to_string(), "0.2175");
    assert_eq!(parts.second.0.round(4).to_string(), "0.7825");
}

#[test]
fn a_blend_is_weighed_by_its_total_or_beside_a_part() {
    let parts = blend(&percent("36"), &percent("4"), &percent("12")).unwrap();
    assert_eq!(parts.of_total(&g("1000")).unwrap(), (g("250"), g("750")));
    assert_eq!(parts.second_beside(&g("100")).unwrap(), g("300"));
    let second_alone = blend(&percent("36"), &percent("4"), &percent("4")).unwrap();
    assert!(second_alone.second_beside(&g("100")).is_err());
    assert!(parts.of_total(&g("-1")).is_err());
}

#[test]
fn no_blend_goes_beyond_its_parts() {
    let error = blend(&percent("36"), &percent("4"), &percent("3.9")).unwrap_err();
    let message = "3.9 % can't be blended of 36 % and 4 %; it must lie between them";
    assert_eq!(error.to_string(), message);
    assert!(blend(&percent("4"), &percent("36"), &percent("36.1")).is_err());
    assert!(blend(&percent("4"), &percent("4"), &percent("5")).is_err());
    assert_eq!(blend(&percent("4"), &percent("4"), &percent("4")).unwrap().first, percent("100"));
    assert!(blend(&percent("101"), &percent("4"), &percent("50")).is_err());
}

proptest! {
    #[test]
    fn weights_undo_percentages(masses in prop::collection::vec((0u32..100_000, any::<bool>()),
                                                                 1..12)) {
        let line = |(grams, base): &(u32, bool)| FormulaLine {
            mass: Mass::of_grams(*grams),
            base: *base,
        };
        let lines: Vec<FormulaLine> = masses.iter().map(line).collect();
        let Ok(result) = percentages(&lines) else {
            let base: u32 = masses.iter().filter(|line| line.1).map(|line| line.0).sum();
            prop_assert_eq!(base, 0);
            return Ok(());
        };
        let masses: Vec<Mass> = lines.iter().map(|line| line.mass.clone()).collect();
        let total = Mass::of_grams(masses.iter().map(Grams::grams).sum::<Exact>());
        let by_total = weights_for_total(&result.lines, &total).unwrap();
        prop_assert_eq!(&by_total.lines, &masses);
        prop_assert_eq!(&by_total.base, &result.base);
        let by_base = weights_for_base(&result.lines, &result.base).unwrap();
        prop_assert_eq!(by_base, by_total);
    }

    #[test]
    fn a_blend_has_its_strength(a in 0u32..=1_000, b in 0u32..=1_000, t in 0u32..=1_000) {
        let [first, second, target] =
            [a, b, t].map(|v| Share(Exact::ratio(v.into(), 1000).unwrap()));
        let between = a.min(b) <= t && t <= a.max(b);
        match blend(&first, &second, &target) {
            Ok(parts) => {
                prop_assert!(between);
                prop_assert_eq!(&parts.first.0 + &parts.second.0, Exact::from(1));
                let strength = parts.first.0 * first.0 + parts.second.0 * second.0;
                prop_assert_eq!(strength, target.0);
            }
            Err(_) => prop_assert!(!between),
        }
    }
}
