//! What is declared elsewhere beside what is computed.

use chablon_book::AuthoredBook;
use chablon_declare::content::{Difference, Verdict};
use chablon_quantity::Exact;
use test_case::test_case;

use crate::fixture::{book, exact, id, ingredient, recipe, with};

/// Of 100 g: 50 g of water, 20 g of fat, 8 g of saturates, 25.04 g of carbohydrate, 5 g of protein.
const CREAM: &str = "[ingredient.content]\nwater = '49.96 g'\nfat = '20 g'\nsaturates = '8 g'\n\
    carbohydrate = '25.04 g'\nsugars = '0.3 g'\npolyols = '0 g'\nfibre = '0 g'\nprotein = '5 g'\n\
    salt = '0 g'\nalcohol = '0 g'";

fn cream(declared: &str) -> AuthoredBook {
    let declared = format!("[declared]\n{declared}\n");
    book(&ingredient("cream", CREAM), &[recipe("r", &[("cream", "1 kg")], &declared)])
}

fn only(declared: &str) -> Difference {
    let found = with(&cream(declared), |declarer| declarer.declared(&id("r")).expect("content"));
    let [one] = &found[..] else { panic!("{found:?}") };
    one.clone()
}

#[test_case("fat = '20 g'", Verdict::Agrees; "the same")]
#[test_case("carbohydrate = '25.0 g'", Verdict::Agrees; "the same to a decimal")]
#[test_case("carbohydrate = '25.1 g'", Verdict::Within; "a decimal off")]
#[test_case("carbohydrate = '25 1/25 g'", Verdict::Agrees; "a fraction is exact")]
#[test_case("carbohydrate = '25 1/20 g'", Verdict::Within; "another fraction")]
#[test_case("protein = '5000 mg'", Verdict::Agrees; "in another unit")]
#[test_case("protein = '4999 mg'", Verdict::Within; "a milligram off")]
#[test_case("sugars = '0.5 g'", Verdict::Agrees; "as a label says below a half")]
#[test_case("sugars = '0 g'", Verdict::Agrees; "as a label may say nothing")]
#[test_case("sugars = '0.4 g'", Verdict::Within; "as no label says it")]
#[test_case("water = '50 g'", Verdict::Agrees; "water rounded")]
#[test_case("water = '49 g'", Verdict::Differs; "water has no tolerance")]
// 37 x 20 + 17 x 25.04 + 17 x 5 = 1250.68; 9 x 20 + 4 x 25.04 + 4 x 5 = 300.16 (Annex XIV).
#[test_case("energy_kj = '1251'", Verdict::Agrees; "energy as a label rounds it")]
#[test_case("energy_kj = '1250'", Verdict::Differs; "energy cut off")]
#[test_case("energy_kj = '1250.7'", Verdict::Agrees; "energy to a decimal")]
#[test_case("energy_kcal = '300'", Verdict::Agrees; "kilocalories")]
#[test_case("energy_kcal = '299'", Verdict::Differs; "a kilocalorie off")]
fn what_comes_of_a_declared_figure(declared: &str, verdict: Verdict) {
    assert_eq!(only(declared).verdict, verdict);
}

/// European Commission guidance of December 2012, table 1: up to 20 % of a declared 10 to 40 g, 2 g
/// below, 8 g above; of fat, 1.5 g below 10 g; of saturates, 0.8 g below 4 g.
#[test_case("fat = '17 g'", Verdict::Within; "20 per cent of 17 g are 3.4 g")]
#[test_case("fat = '16.6 g'", Verdict::Outside; "20 per cent of 16.6 g are 3.32 g")]
#[test_case("fat = '25 g'", Verdict::Within; "just")]
#[test_case("fat = '25.1 g'", Verdict::Outside; "just not")]
#[test_case("protein = '7 g'", Verdict::Within; "2 g above")]
#[test_case("protein = '7.1 g'", Verdict::Outside; "more")]
#[test_case("protein = '3 g'", Verdict::Within; "2 g below")]
#[test_case("protein = '2.9 g'", Verdict::Outside; "less")]
fn from_memory_the_tolerance_of_a_declared_figure(declared: &str, verdict: Verdict) {
    assert_eq!(only(declared).verdict, verdict);
}

#[test]
fn both_figures_and_their_difference_are_told() {
    let fat = only("fat = '24 g'");
    assert_eq!((fat.key, fat.unit), ("fat", "g"));
    assert_eq!((fat.declared.clone(), fat.computed.clone()), (exact("24"), exact("20")));
    assert_eq!(
        (fat.difference.clone(), fat.tolerance.clone()),
        (exact("4"), Some((exact("19.2"), exact("28.8"))))
    );
    assert_eq!(fat.to_string(), "fat 24.000 g declared, 20.000 g computed");
    assert!(!fat.is_to_be_looked_at() && only("fat = '40 g'").is_to_be_looked_at());
    let all = cream("fat = '20 g'\nwater = '50 g'\nenergy_kcal = '300'\nenergy_kj = '1251'");
    let found = with(&all, |declarer| declarer.declared(&id("r")).expect("content"));
    let keys: Vec<&str> = found.iter().map(|one| one.key).collect();
    assert_eq!(keys, ["energy_kj", "energy_kcal", "water", "fat"]);
    let none = with(&cream(""), |declarer| declarer.declared(&id("r")).expect("content"));
    assert!(none.is_empty());
}

#[test]
fn a_figure_that_misses_something_decides_nothing() {
    let pantry = ingredient("cream", CREAM) + &ingredient("honey", "");
    let declared = "[declared]\nfat = '99 g'\nenergy_kj = '1'\n";
    let book = book(&pantry, &[recipe("r", &[("cream", "1 kg"), ("honey", "1 kg")], declared)]);
    let found = with(&book, |declarer| declarer.declared(&id("r")).expect("content"));
    assert!(found.iter().all(|one| one.verdict == Verdict::Open), "{found:?}");
    let missing: Vec<String> = found[1].missing.iter().map(ToString::to_string).collect();
    assert_eq!(missing, ["honey"]);
    assert_eq!(found[1].computed, exact("10"));
}

fn compound(made_of: &str, content: &str) -> Vec<chablon_declare::CompoundContent> {
    let pantry = ingredient("cream", CREAM)
        + &ingredient("sugar", "[ingredient.content]\nfat = '0 g'\ncarbohydrate = '100 g'")
        + &ingredient(
            "filling",
            &format!("made_of = [{made_of}]\n[ingredient.content]\n{content}"),
        );
    let recipes = [
        recipe("r", &[("filling", "1 kg"), ("cream", "1 kg")], ""),
        recipe("plain", &[("cream", "1 kg")], ""),
    ];
    with(&book(&pantry, &recipes), |declarer| {
        assert_eq!(declarer.compounds(&id("plain")), Ok(Vec::new()));
        assert_eq!(declarer.compounds(&id("r")), Ok(declarer.all_compounds()));
        declarer.all_compounds()
    })
}

const PARTS: &str =
    "{ ingredient = 'cream', amount = '60 %' }, { ingredient = 'sugar', amount = '40 %' }";

#[test]
fn a_compound_is_held_to_what_it_is_made_of() {
    // 60 % of 20 g; 60 % of 25.04 g and 40 g; water isn't stated of the sugar.
    let found = compound(PARTS, "fat = '12 g'\ncarbohydrate = '40 g'\nwater = '1 g'");
    let [filling] = &found[..] else { panic!("{found:?}") };
    assert_eq!(filling.ingredient.as_str(), "filling");
    let told: Vec<(&str, Exact, Verdict)> = filling
        .differences
        .iter()
        .map(|one| (one.key, one.computed.clone(), one.verdict))
        .collect();
    assert_eq!(
        told,
        [
            ("water", exact("29.976"), Verdict::Open),
            ("fat", exact("12"), Verdict::Agrees),
            ("carbohydrate", exact("55.024"), Verdict::Outside),
        ]
    );
}

#[test]
fn a_compound_of_unknown_shares_is_held_to_nothing() {
    let order_alone = "{ ingredient = 'cream' }, { ingredient = 'sugar' }";
    let not_all =
        "{ ingredient = 'cream', amount = '60 %' }, { ingredient = 'sugar', amount = '39 %' }";
    let one_unknown = "{ ingredient = 'cream', amount = '60 %' }, { ingredient = 'sugar' }";
    for made_of in [order_alone, not_all, one_unknown] {
        assert!(compound(made_of, "fat = '1 g'").is_empty(), "{made_of}");
    }
    assert!(compound(PARTS, "").is_empty(), "nothing is stated");
}
