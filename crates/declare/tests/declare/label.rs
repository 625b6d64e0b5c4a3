//! Label figures: rounding, tolerance, order, servings.

use chablon_declare::content::Composition;
use chablon_declare::label::{
    Household, Label, LabelBasis, Measure, Serving, ServingCount, label, regime, tolerance,
};
use chablon_model::{LabelRegime, Nutrient};
use chablon_quantity::{Exact, Number};
use test_case::test_case;

use crate::fixture::{book, exact, id, ingredient, recipe, with};

/// How a row of a regime shows a figure, and its unit.
fn shown(under: LabelRegime, key: &str, figure: &str) -> String {
    let row = regime(under).rows.iter().find(|row| row.key == key).expect("a row");
    let shown = row.rounding.shown(&exact(figure));
    let below = matches!(shown, chablon_declare::label::Shown::Below(_));
    format!("{}{}", if below { regime(under).below } else { "" }, shown.figure())
}

/// Commission guidance of December 2012, section 6, as reproduced by a laboratory.
#[test_case("energy_kj", "1523.4", "1523")]
#[test_case("energy_kj", "1523.5", "1524")]
#[test_case("energy_kcal", "364.49", "364")]
#[test_case("fat", "0", "0")]
#[test_case("fat", "0.5", "<0.5")]
#[test_case("fat", "0.51", "0.5")]
#[test_case("fat", "9.94", "9.9")]
#[test_case("fat", "9.96", "10")]
#[test_case("fat", "10.4", "10")]
#[test_case("fat", "81.11", "81")]
#[test_case("saturates", "0.1", "<0.1")]
#[test_case("saturates", "0.155", "0.2")]
#[test_case("saturates", "50.489", "50")]
#[test_case("sugars", "0.27", "<0.5")]
#[test_case("polyols", "0.27", "<0.5")]
#[test_case("fibre", "2.25", "2.3")]
#[test_case("protein", "12.56", "13")]
#[test_case("protein", "8.2", "8.2")]
#[test_case("protein", "8", "8.0")]
#[test_case("salt", "0.0125", "<0.01")]
#[test_case("salt", "0.013", "0.01")]
#[test_case("salt", "0.355", "0.36")]
#[test_case("salt", "0.994", "0.99")]
#[test_case("salt", "0.996", "1.0")]
#[test_case("salt", "1.6075", "1.6")]
#[test_case("carbohydrate", "99.98", "100")]
fn the_unions_rounding(key: &str, figure: &str, expected: &str) {
    assert_eq!(shown(LabelRegime::Eu, key, figure), expected);
}

/// FDA, A Food Labeling Guide, appendix H.
#[test_case("calories", "4.9", "0")]
#[test_case("calories", "5", "5")]
#[test_case("calories", "47", "45")]
#[test_case("calories", "48", "50")]
#[test_case("calories", "50", "50")]
#[test_case("calories", "52", "50")]
#[test_case("calories", "56", "60")]
#[test_case("calories", "364", "360")]
#[test_case("calories", "366", "370")]
#[test_case("total_fat", "0.49", "0")]
#[test_case("total_fat", "0.5", "0.5")]
#[test_case("total_fat", "4.8", "5")]
#[test_case("total_fat", "4.6", "4.5")]
#[test_case("total_fat", "4.1", "4")]
#[test_case("total_fat", "5.4", "5")]
#[test_case("saturated_fat", "9.51", "10")]
#[test_case("sodium", "4.9", "0")]
#[test_case("sodium", "142", "140")]
#[test_case("sodium", "138", "140")]
#[test_case("sodium", "62", "60")]
#[test_case("sodium", "643", "640")]
#[test_case("total_carbohydrate", "0.4", "0")]
#[test_case("total_carbohydrate", "0.72", "less than 1")]
#[test_case("total_carbohydrate", "76.31", "76")]
#[test_case("dietary_fiber", "0.5", "less than 1")]
#[test_case("total_sugars", "1.5", "2")]
#[test_case("protein", "0.7", "less than 1")]
#[test_case("protein", "12.56", "13")]
fn the_united_states_rounding(key: &str, figure: &str, expected: &str) {
    assert_eq!(shown(LabelRegime::Us, key, figure), expected);
}

#[test]
fn from_memory_the_order_of_annex_xv() {
    let rows: Vec<(&str, bool)> =
        regime(LabelRegime::Eu).rows.iter().map(|row| (row.key, row.mandatory)).collect();
    assert_eq!(
        rows,
        [
            ("energy_kj", true),
            ("energy_kcal", true),
            ("fat", true),
            ("saturates", true),
            ("carbohydrate", true),
            ("sugars", true),
            ("polyols", false),
            ("fibre", false),
            ("protein", true),
            ("salt", true),
        ]
    );
}

/// Commission guidance of December 2012, table 1.
#[test_case(Nutrient::Protein, "9.9", "7.9", "11.9")]
#[test_case(Nutrient::Protein, "1", "0", "3"; "never below nothing")]
#[test_case(Nutrient::Fibre, "10", "8", "12")]
#[test_case(Nutrient::Sugars, "40", "32", "48")]
#[test_case(Nutrient::Carbohydrate, "41", "33", "49")]
#[test_case(Nutrient::Fat, "9.9", "8.4", "11.4")]
#[test_case(Nutrient::Fat, "10", "8", "12")]
#[test_case(Nutrient::Fat, "60", "52", "68")]
#[test_case(Nutrient::Saturates, "3.9", "3.1", "4.7")]
#[test_case(Nutrient::Saturates, "5", "4", "6")]
#[test_case(Nutrient::Salt, "1.24", "0.865", "1.615")]
#[test_case(Nutrient::Salt, "1.25", "1", "1.5")]
fn from_memory_the_unions_tolerances(nutrient: Nutrient, declared: &str, low: &str, high: &str) {
    let bands = tolerance::of(nutrient).expect("a tolerance");
    assert_eq!(tolerance::range(bands, &exact(declared)), (exact(low), exact(high)));
}

#[test]
fn some_figures_have_no_published_tolerance() {
    for nutrient in [Nutrient::Water, Nutrient::Polyols, Nutrient::Alcohol] {
        assert!(tolerance::of(nutrient).is_none());
    }
}

const PASTE: &str = "[ingredient.content]\nwater = '20 g'\nfat = '9.96 g'\nsaturates = '0.05 g'\ncarbohydrate = '50 g'\nsugars = '40.5 g'\npolyols = '9 g'\nfibre = '5 g'\nprotein = '8.25 g'\nsalt = '1 g'\nalcohol = '2 g'";

fn content() -> Composition {
    let pantry = ingredient("paste", PASTE);
    let book = book(&pantry, &[recipe("r", &[("paste", "1 kg")], "")]);
    with(&book, |declarer| declarer.content(&id("r")).expect("content"))
}

fn texts(label: &Label) -> Vec<String> {
    label.rows.iter().map(|row| format!("{} {row}", row.name("en"))).collect()
}

#[test]
fn a_label_of_the_union() {
    let label = label(&content(), LabelRegime::Eu, LabelBasis::Per100G);
    assert_eq!(
        texts(&label),
        [
            // 41 x 17 + 9 x 10 + 8.25 x 17 + 9.96 x 37 + 2 x 29 + 5 x 8 = 1393.77
            "energy 1394 kJ",
            "energy 332 kcal",
            "fat 10 g",
            "of which saturates <0.1 g",
            "carbohydrate 50 g",
            "of which sugars 41 g",
            "of which polyols 9.0 g",
            "fibre 5.0 g",
            "protein 8.3 g",
            "salt 1.0 g",
        ]
    );
    assert!(label.is_complete());
    assert_eq!(label.rows[0].exact, exact("1393.77"));
    assert_eq!(label.rows[2].tolerance, Some((exact("8"), exact("12"))));
    assert_eq!(label.rows[0].tolerance, None);
    assert_eq!(label.rows[2].name("fr"), "matières grasses");
    assert_eq!(label.rows[2].name("de"), "fat");
    assert!(!label.cautions.is_empty() && !label.source.is_empty());
}

#[test]
fn a_label_of_the_united_states_by_serving() {
    let serving = Serving::pieces(Number::whole(2), &exact("30"));
    let label = label(&content(), LabelRegime::Us, LabelBasis::Serving(serving));
    assert_eq!(
        texts(&label),
        [
            // (8.25 x 4 + 55 x 4 + 9.96 x 9 + 2 x 7) x 0.6 = 213.984
            "calories 210 kcal",
            "total fat 6 g",
            "saturated fat 0 g",
            "sodium 240 mg",
            "total carbohydrate 33 g",
            "dietary fiber 3 g",
            "total sugars 24 g",
            "protein 5 g",
        ]
    );
    assert!(label.not_known.contains(&"added sugars"));
}

#[test]
fn a_row_that_misses_something_is_no_label_figure() {
    let pantry = ingredient("paste", &PASTE.replace("fibre = '5 g'\n", ""));
    let book = book(&pantry, &[recipe("r", &[("paste", "1 kg")], "")]);
    let content = with(&book, |declarer| declarer.content(&id("r")).expect("content"));
    let label = label(&content, LabelRegime::Eu, LabelBasis::Per100G);
    let missing: Vec<&str> =
        label.rows.iter().filter(|row| !row.missing.is_empty()).map(|row| row.key).collect();
    assert_eq!(missing, ["energy_kj", "energy_kcal", "fibre"]);
    assert!(!label.is_complete());
}

#[test]
fn a_serving_is_told_by_a_household_measure() {
    // 21 CFR 101.9(b)(5)(viii): a cup is 240 mL, a tablespoon 15 mL, a teaspoon 5 mL, a fluid ounce
    // 30 mL.
    let half = Number::fraction(0, 1, 2).expect("a fraction");
    let cup = Serving::measure(half, Measure::Cup, &exact("0.62"));
    assert_eq!((cup.to_string(), cup.grams.clone()), ("1/2 cup (74 g)".to_owned(), exact("74.4")));
    let spoon = Serving::measure(Number::whole(1), Measure::Tablespoon, &exact("1"));
    assert_eq!(spoon.to_string(), "1 tbsp (15 g)");
    assert_eq!(Measure::Teaspoon.millilitres(), 5);
    assert_eq!(Measure::FluidOunce.millilitres(), 30);
    assert_eq!(Serving::pieces(Number::whole(1), &exact("127")).to_string(), "1 piece (127 g)");
    assert_eq!(Serving::pieces(Number::whole(3), &exact("9")).to_string(), "3 pieces (27 g)");
    assert!(matches!(cup.household, Household::Measure(_, Measure::Cup)));
}

#[test_case("5.4", "5")]
#[test_case("5", "5")]
#[test_case("4.3", "4.5")]
#[test_case("2", "2")]
#[test_case("1.97", "2")]
#[test_case("1.24", "1.2")]
fn from_memory_grams_of_a_serving(grams: &str, shown: &str) {
    let serving = Serving::pieces(Number::whole(1), &exact(grams));
    assert_eq!(serving.grams_shown().to_string(), shown);
}

/// FDA guide to NLEA requirements, attachments 6 to 8: whole numbers, halves between 2 and 5.
#[test_case("100", "1", false)]
#[test_case("140", "1", true)]
#[test_case("250", "2.5", false)]
#[test_case("230", "2.5", true)]
#[test_case("225", "2.5", true; "a half rounds up")]
#[test_case("1240", "12", true)]
#[test_case("30", "1", true; "never less than one")]
fn servings_of_a_container(net: &str, shown: &str, about: bool) {
    let serving = Serving::pieces(Number::whole(1), &exact("100"));
    let count = ServingCount::of(&exact(net), &serving).expect("a count");
    assert_eq!((count.shown.to_string().as_str(), count.about), (shown, about));
    let nothing = Serving::pieces(Number::whole(0), &exact("100"));
    assert!(ServingCount::of(&Exact::from(1), &nothing).is_none());
}
