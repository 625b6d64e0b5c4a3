//! The balance of a formula, sweetness and water activity.

use std::collections::BTreeMap;

use chablon_book::AuthoredBook;
use chablon_declare::balance::{
    Balance, NotEstimated, Solute, WaterActivity, WaterActivityEstimate, norrish, ross,
    sodium_chloride,
};
use chablon_model::Detail;
use chablon_quantity::Exact;
use test_case::test_case;

use crate::fixture::{book, exact, id, ingredient, recipe, with};

fn activity(solutes: &[(Solute, &str)], water: &str) -> String {
    let solutes = solutes.iter().map(|(one, grams)| (*one, exact(grams))).collect();
    norrish(&solutes, &exact(water)).round(4).to_string()
}

/// Sucrose at 25 °C after the osmotic coefficients of Robinson and Stokes, with the figure that
/// Norrish's equation gives with K 6.47. Both are from memory, and K was fitted to such data.
#[test_case("3.42", "0.9982", "0.9982")]
#[test_case("6.85", "0.9963", "0.9963")]
#[test_case("17.11", "0.9907", "0.9906")]
#[test_case("34.23", "0.9806", "0.9803")]
#[test_case("41.08", "0.9763", "0.976")]
#[test_case("47.92", "0.9719", "0.9716")]
#[test_case("54.77", "0.9674", "0.9671")]
#[test_case("61.61", "0.9628", "0.9624")]
#[test_case("68.46", "0.9581", "0.9577")]
#[test_case("85.57", "0.9457", "0.9455")]
#[test_case("102.69", "0.9328", "0.9327")]
#[test_case("119.8", "0.9193", "0.9195")]
#[test_case("136.92", "0.9057", "0.9059")]
#[test_case("154.03", "0.8917", "0.892")]
#[test_case("171.15", "0.8776", "0.8777")]
#[test_case("188.26", "0.8634", "0.8632")]
#[test_case("205.38", "0.8493", "0.8486")]
fn from_memory_sucrose_in_water(grams: &str, osmotic: &str, equation: &str) {
    let found = activity(&[(Solute::Sucrose, grams)], "100");
    let off = |other: &str| (exact(&found) - exact(other)).abs();
    assert!(off(equation) <= exact("0.0001"), "{found} against {equation}");
    assert!(off(osmotic) <= exact("0.001"), "{found} against {osmotic}");
}

/// Sodium chloride at 25 °C. The row of 6 mol/kg is printed in the manual of a water activity meter
/// (0.760); the others rest on osmotic coefficients from memory.
#[test_case("0.1", "0.9966")]
#[test_case("0.2", "0.9934")]
#[test_case("0.5", "0.9835")]
#[test_case("1", "0.9669")]
#[test_case("1.4", "0.9531")]
#[test_case("1.8", "0.9389")]
#[test_case("2", "0.9316")]
#[test_case("2.5", "0.9127")]
#[test_case("3", "0.8932")]
#[test_case("3.5", "0.8727")]
#[test_case("4", "0.8515")]
#[test_case("5", "0.8068")]
#[test_case("6", "0.7598")]
fn from_memory_salt_in_water(molality: &str, expected: &str) {
    let found = sodium_chloride(&exact(molality)).expect("within the table");
    assert_eq!(found.round(4).to_string(), expected);
}

/// 0.9 g in 99.1 g of water are 0.996 in a manufacturer's list, which is rough.
#[test]
fn physiological_saline_comes_near_its_published_activity() {
    let molality = exact("0.9") / exact("58.443") * Exact::from(1000) / exact("99.1");
    let found = sodium_chloride(&molality).expect("within the table");
    assert!((found - exact("0.996")).abs() <= exact("0.002"));
    assert!(sodium_chloride(&exact("6.1")).is_none());
    assert_eq!(sodium_chloride(&exact("0")), Some(Exact::from(1)));
}

/// Worked: 100 g of water, 100 g of sucrose, 20 g of glucose, 2 g of salt, each alone in the water.
#[test]
fn activities_multiply_after_ross() {
    let sucrose = norrish(&BTreeMap::from([(Solute::Sucrose, exact("100"))]), &exact("100"));
    let glucose = norrish(&BTreeMap::from([(Solute::Glucose, exact("20"))]), &exact("100"));
    let molality = exact("2") / exact("58.443") * Exact::from(10);
    let salt = sodium_chloride(&molality).expect("within the table");
    let rounded: Vec<String> =
        [&sucrose, &glucose, &salt].map(|one| one.round(4).to_string()).into();
    assert_eq!(rounded, ["0.9348", "0.9795", "0.9887"]);
    assert_eq!(ross(&[sucrose, glucose, salt]).round(4).to_string(), "0.9053");
    assert_eq!(ross(&[]), Exact::from(1));
}

/// Alditols at 25 °C, constant K of aw = x1 exp(-K x2²), table 3 of PMC2836749; worked at 30 g in
/// 100 g of water with molar masses from memory.
#[test_case(Solute::Glycerol, "0.9412")]
#[test_case(Solute::Sorbitol, "0.9699")]
#[test_case(Solute::Xylitol, "0.9638")]
#[test_case(Solute::Erythritol, "0.9553")]
#[test_case(Solute::Mannitol, "0.9705")]
fn alditols_in_water(solute: Solute, expected: &str) {
    assert_eq!(activity(&[(solute, "30")], "100"), expected);
}

#[test]
fn water_alone_is_one_and_no_water_is_nothing() {
    assert_eq!(activity(&[], "100"), "1.0000");
    assert_eq!(activity(&[(Solute::Sucrose, "0")], "100"), "1.0000");
    assert_eq!(activity(&[(Solute::Sucrose, "1")], "0"), "0.0000");
    assert_eq!(activity(&[], "0"), "0.0000");
}

#[test]
fn a_mix_of_one_sugar_in_two_parts_is_that_sugar() {
    // Invert sugar has the molar mass and the constant of glucose and of fructose.
    let split = activity(&[(Solute::Glucose, "30"), (Solute::Fructose, "30")], "100");
    assert_eq!(split, activity(&[(Solute::InvertSugar, "60")], "100"));
}

const EMPTY: &str = "saturates = '0 g'\npolyols = '0 g'\nfibre = '0 g'\nprotein = '0 g'";

fn stated(name: &str, allergens: &str, figures: &str) -> String {
    ingredient(
        name,
        &format!("{allergens}\nother_allergens = 'free'\n[ingredient.content]\n{figures}\n{EMPTY}"),
    )
}

fn pantry() -> String {
    stated(
        "cream",
        "allergens = { milk = 'contains' }",
        "water = '60 g'\nfat = '35 g'\ncarbohydrate = '3 g'\nsugars = '3 g'\nsalt = '0.1 g'\nalcohol = '0 g'",
    ) + &stated(
        "sugar",
        "",
        "water = '0 g'\nfat = '0 g'\ncarbohydrate = '100 g'\nsugars = '100 g'\nsalt = '0 g'\nalcohol = '0 g'",
    ) + &stated(
        "couverture",
        "",
        "water = '0 g'\nfat = '40 g'\ncarbohydrate = '40 g'\nsugars = '35 g'\nsalt = '0 g'\nalcohol = '0 g'",
    ) + &stated(
        "rum",
        "",
        "water = '60 g'\nfat = '0 g'\ncarbohydrate = '0 g'\nsugars = '0 g'\nsalt = '0 g'\nalcohol = '40 g'",
    ) + &stated(
        "water",
        "",
        "water = '100 g'\nfat = '0 g'\ncarbohydrate = '0 g'\nsugars = '0 g'\nsalt = '0 g'\nalcohol = '0 g'",
    ) + &ingredient("honey", "other_allergens = 'free'")
}

fn balance(lines: &[(&str, &str)]) -> Balance {
    asked(&book(&pantry(), &[recipe("r", lines, "")]))
}

fn detailed(lines: &[(&str, &str)]) -> Balance {
    asked(&book(&detailed_pantry(), &[recipe("r", lines, "")]))
}

fn asked(book: &AuthoredBook) -> Balance {
    with(book, |declarer| declarer.balance(&id("r")).expect("a balance"))
}

fn part(of: &Balance, key: &str) -> (String, Vec<String>) {
    let part = of.parts.iter().find(|part| part.key == key).expect("a part");
    (part.amount.grams.to_string(), part.amount.missing.iter().map(ToString::to_string).collect())
}

fn ratio(of: &Balance, key: &str) -> Option<String> {
    let ratio = of.ratios.iter().find(|ratio| ratio.key == key).expect("a ratio");
    ratio.value.as_ref().map(ToString::to_string)
}

const GANACHE: [(&str, &str); 4] =
    [("cream", "100 g"), ("couverture", "100 g"), ("sugar", "40 g"), ("rum", "10 g")];

#[test]
fn a_ganache_in_parts_and_ratios() {
    let balance = balance(&GANACHE);
    // Of 250 g: 66 g of water, 75 g of fat, 78 g of sugars, 4 g of alcohol.
    let known = |key| part(&balance, key).0;
    assert_eq!(known("water"), exact("26.4").to_string());
    assert_eq!(known("fat"), "30");
    assert_eq!(known("sugars"), exact("31.2").to_string());
    assert_eq!(known("alcohol"), exact("1.6").to_string());
    assert_eq!(known("other_solids"), exact("10.8").to_string());
    assert_eq!(ratio(&balance, "solids"), Some(exact("0.72").to_string()));
    assert_eq!(ratio(&balance, "fat_in_solids"), Some("5/12".to_owned()));
    assert_eq!(ratio(&balance, "sugars_in_solids"), Some(exact("312/720").to_string()));
    assert_eq!(ratio(&balance, "sugars_in_syrup"), Some(exact("312/576").to_string()));
    assert_eq!(ratio(&balance, "fat_to_water"), Some(exact("300/264").to_string()));
    assert_eq!(ratio(&balance, "alcohol_in_liquid"), Some(exact("16/280").to_string()));
    // What a book doesn't state isn't known; what can't be isn't missing.
    assert_eq!(part(&balance, "milk_fat"), ("0".to_owned(), vec!["cream".to_owned()]));
    assert_eq!(part(&balance, "cocoa_butter").1, ["couverture", "cream"]);
    assert_eq!(part(&balance, "dry_cocoa").1, ["couverture", "cream"]);
}

/// The same pantry, saying which sugars and whose fat.
fn detailed_pantry() -> String {
    let details = [
        ("sugars = '3 g'", "lactose = '3 g'\nmilk_fat = '35 g'"),
        ("sugars = '100 g'", "sucrose = '100 g'\nmilk_fat = '0 g'"),
        ("sugars = '35 g'", "sucrose = '35 g'\ncocoa_butter = '40 g'\ndry_cocoa = '64 g'"),
        ("water = '60 g'\nfat = '0 g'", "dry_cocoa = '0 g'"),
    ];
    details.iter().fold(pantry(), |pantry, (stated, more)| {
        assert!(pantry.contains(stated), "{stated}");
        pantry.replacen(stated, &format!("{stated}\n{more}"), 1)
    })
}

#[test]
fn details_say_whose_fat_and_which_sugars() {
    let balance = detailed(&GANACHE);
    assert_eq!(part(&balance, "milk_fat"), ("14".to_owned(), vec![]));
    assert_eq!(part(&balance, "cocoa_butter"), ("16".to_owned(), vec![]));
    assert_eq!(part(&balance, "dry_cocoa"), (exact("25.6").to_string(), vec![]));
    // 75 g of sucrose at 1 and 3 g of lactose at 0.39, of 250 g.
    assert_eq!(balance.sweetness.lowest, exact("30.468"));
    assert_eq!(balance.sweetness.highest, balance.sweetness.lowest);
    assert!(balance.sweetness.unknown_in.is_empty());
}

/// Sweetness of 10 % solutions after Belitz, Grosch and Schieberle, Food Chemistry.
#[test_case(Solute::Sucrose, "100")]
#[test_case(Solute::Glucose, "69")]
#[test_case(Solute::Fructose, "114")]
#[test_case(Solute::InvertSugar, "95")]
#[test_case(Solute::Maltose, "46")]
#[test_case(Solute::Lactose, "39")]
#[test_case(Solute::Sorbitol, "51")]
#[test_case(Solute::Xylitol, "102")]
#[test_case(Solute::Mannitol, "69")]
fn from_memory_sweetness_of_a_solute(solute: Solute, percent: &str) {
    let of = |detail: &&Detail| Solute::of(**detail) == Some(solute);
    let detail = Detail::ALL.iter().find(of).expect("a book can state it");
    let whole = detail.part_of().expect("a part of sugars or polyols").as_str();
    let figures = format!(
        "other_allergens = 'free'\n[ingredient.content]\nwater = '0 g'\nsalt = '0 g'\n\
         carbohydrate = '100 g'\n{whole} = '100 g'\n{} = '100 g'",
        detail.as_str()
    );
    let figures = if whole == "sugars" { figures } else { figures + "\nsugars = '0 g'" };
    let book = book(&ingredient("sweet", &figures), &[recipe("r", &[("sweet", "1 g")], "")]);
    let sweetness = asked(&book).sweetness;
    assert_eq!(sweetness.highest, exact(percent));
    assert_eq!(sweetness.lowest, exact(percent));
    assert!(sweetness.missing.is_empty() && sweetness.not_counted.is_empty());
}

#[test]
fn sugars_that_the_stated_kinds_leave_are_of_unknown_kind() {
    let figures = "other_allergens = 'free'\n[ingredient.content]\nwater = '0 g'\nsalt = '0 g'\n\
        carbohydrate = '100 g'\nsugars = '90 g'\nsucrose = '60 g'\npolyols = '10 g'\nglycerol = '4 g'";
    let book = book(&ingredient("syrup", figures), &[recipe("r", &[("syrup", "1 g")], "")]);
    let sweetness = asked(&book).sweetness;
    // 60 g of sucrose, and 30 g from lactose to fructose; glycerol and 6 g of polyols not counted.
    assert_eq!((sweetness.lowest, sweetness.highest), (exact("71.7"), exact("94.2")));
    assert_eq!(sweetness.unknown_in.len(), 1);
    assert_eq!(sweetness.not_counted, ["glycerol", "polyols of unknown kind"]);
}

#[test]
fn sugars_of_unknown_kind_give_a_range() {
    let balance = balance(&[("sugar", "50 g"), ("water", "50 g")]);
    assert_eq!((balance.sweetness.lowest, balance.sweetness.highest), (exact("19.5"), exact("57")));
    let WaterActivityEstimate::Estimated(estimate) = balance.water_activity else {
        panic!("an estimate");
    };
    let WaterActivity { lowest, highest, plus_minus, unknown_in, molality, .. } = estimate;
    // As if all were glucose, and as if all were maltose.
    assert_eq!(lowest.round(4).to_string(), activity(&[(Solute::Glucose, "50")], "50"));
    assert_eq!(highest.round(4).to_string(), activity(&[(Solute::Maltose, "50")], "50"));
    assert_eq!(plus_minus, exact("0.02"));
    assert_eq!(unknown_in.len(), 1);
    assert_eq!(molality.round(3).to_string(), "5.551");
}

#[test]
fn an_estimate_says_what_it_leaves_out() {
    let balance = detailed(&GANACHE);
    let WaterActivityEstimate::Estimated(estimate) = balance.water_activity else {
        panic!("an estimate");
    };
    assert_eq!(estimate.lowest, estimate.highest);
    assert_eq!(estimate.not_counted.len(), 2, "solids and alcohol");
    assert!(estimate.method.contains("Norrish") && estimate.method.contains("6 mol"));
    assert!(balance.cautions.iter().any(|one| one.contains("measurement")));
}

#[test]
fn what_cannot_be_estimated_says_why() {
    let missing = balance(&[("cream", "50 g"), ("honey", "50 g")]);
    let WaterActivityEstimate::Not(NotEstimated::Missing(ids)) = &missing.water_activity else {
        panic!("honey states nothing");
    };
    assert_eq!(ids.len(), 1);
    assert_eq!(ratio(&missing, "solids"), None);
    let dry = balance(&[("sugar", "50 g")]);
    assert_eq!(dry.water_activity, WaterActivityEstimate::Not(NotEstimated::Dry));
    assert_eq!(ratio(&dry, "fat_to_water"), None);
    let thick = balance(&[("sugar", "80 g"), ("water", "20 g")]);
    let WaterActivityEstimate::Not(NotEstimated::OutOfRange { sugars, limit, .. }) =
        thick.water_activity
    else {
        panic!("more than 6 mol in a kilogram of water");
    };
    assert!(sugars > limit && limit == exact("6"));
}
