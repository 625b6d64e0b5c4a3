//! Content and energy of published foods and recipes.

use chablon_declare::content::{Composition, EU_FACTORS, Energy, US_FACTORS, WHOLE, energy};
use chablon_declare::label::{LabelBasis, label};
use chablon_model::{LabelRegime, Nutrient};
use chablon_quantity::Exact;
use test_case::test_case;

use crate::fixture::{boiled, book, exact, id, recipe, with};
use crate::sr28::{FOODS, food_of};

/// A book of these foods, by id and NDB number, with one recipe `r`.
fn content_of(foods: &[(&str, &str)], lines: &[(&str, &str)], more: &str) -> Composition {
    let pantry: String = foods.iter().map(|(id, ndb)| food_of(ndb).ingredient(id)).collect();
    let book = book(&pantry, &[recipe("r", lines, more)]);
    with(&book, |declarer| declarer.content(&id("r")).expect("content"))
}

fn grams(of: &Composition, nutrient: Nutrient) -> Exact {
    of.amount(nutrient).grams.clone()
}

fn hold(found: &Exact, published: &str, tolerance_percent: &str, what: &str) {
    let published = exact(published);
    let off = (found - &published).abs();
    let allowed = published.abs() * exact(tolerance_percent) / Exact::from(100);
    assert!(
        off <= allowed,
        "{what}: {} is published, {} is found",
        published.round(3),
        found.round(3)
    );
}

/// Worked in exact fractions from SR28 figures: eggs, sugar and flour 200, 120 and 120 g with 20 g
/// of butter, baked to 90 %.
#[test]
fn a_genoise_baked_to_nine_tenths() {
    let foods = [("egg", "01123"), ("sugar", "19335"), ("flour", "20081"), ("butter", "01145")];
    let lines = [("egg", "200 g"), ("sugar", "120 g"), ("flour", "120 g"), ("butter", "20 g")];
    let content = content_of(&foods, &lines, &boiled("bake", "10 %"));
    let expected = [
        (Nutrient::Water, "30.004"),
        (Nutrient::Protein, "9.103"),
        (Nutrient::Fat, "8.797"),
        (Nutrient::Saturates, "3.994"),
        (Nutrient::Carbohydrate, "50.667"),
        (Nutrient::Fibre, "0.783"),
        (Nutrient::Sugars, "29.187"),
        (Nutrient::Salt, "0.175"),
    ];
    for (nutrient, rounded) in expected {
        assert_eq!(
            grams(&content, nutrient).round(3).to_string(),
            rounded,
            "{}",
            nutrient.as_str()
        );
    }
    let Energy { kj, kcal, missing } = energy(&content, LabelRegime::Eu);
    assert_eq!(kj.expect("kilojoules").round(2).to_string(), "1347.82");
    assert_eq!(kcal.round(2).to_string(), "319.81");
    assert!(missing.is_empty());
}

/// 33 g of white and 17 g of yolk (SR28 01124, 01125) against the whole egg (01123). The tolerances
/// describe the data; nobody publishes them.
#[test]
fn white_and_yolk_come_near_the_published_egg() {
    let content = content_of(
        &[("white", "01124"), ("yolk", "01125")],
        &[("white", "33 g"), ("yolk", "17 g")],
        "",
    );
    let expected = [
        (Nutrient::Water, "76.15", "1", "75.582"),
        (Nutrient::Protein, "12.56", "1", "12.586"),
        (Nutrient::Fat, "9.51", "5", "9.136"),
        (Nutrient::Saturates, "3.126", "6", "3.247"),
        (Nutrient::Salt, "0.355", "12", "0.315"),
    ];
    for (nutrient, published, tolerance, computed) in expected {
        let found = grams(&content, nutrient);
        hold(&found, published, tolerance, nutrient.as_str());
        assert_eq!(found.round(3).to_string(), computed);
    }
}

/// Heavy cream and milk (SR28 01053, 01077) blended to 10.39 % fat against half and half (01049).
#[test]
fn cream_and_milk_come_near_the_published_half_and_half() {
    let cream = (exact("10.39") - exact("3.25")) / (exact("36.08") - exact("3.25"));
    let milk = Exact::from(1) - &cream;
    let (cream, milk) = (format!("{cream} kg"), format!("{milk} kg"));
    let content = content_of(
        &[("cream", "01053"), ("milk", "01077")],
        &[("cream", cream.as_str()), ("milk", milk.as_str())],
        "",
    );
    hold(&grams(&content, Nutrient::Water), "81.24", "1", "water");
    hold(&grams(&content, Nutrient::Protein), "3.13", "3", "protein");
    assert_eq!(grams(&content, Nutrient::Fat), exact("10.39"));
    assert_eq!(grams(&content, Nutrient::Saturates).round(2).to_string(), "6.47");
}

/// A master cake and cookie mix with published nutrients for each of 300 portions: 109 kcal, 0.87 g
/// of protein, 17.28 g of carbohydrate, 4.18 g of fat, 1.04 g of saturates, 99 mg of sodium.
/// Household measures after SR28: a teaspoon of baking powder is 4.6 g, of salt 6 g.
#[test]
fn a_standard_mix_comes_near_its_published_portion() {
    let foods = [
        ("flour", "20081"),
        ("powder", "18369"),
        ("salt", "02047"),
        ("sugar", "19335"),
        ("shortening", "04031"),
    ];
    let lines = [
        ("flour", "5.75 lb"),
        ("powder", "147.2 g"),
        ("salt", "36 g"),
        ("sugar", "7 lb"),
        ("shortening", "2.5 lb"),
    ];
    let pantry: String = foods.iter().map(|(id, ndb)| food_of(ndb).ingredient(id)).collect();
    let book = book(&pantry, &[recipe("mix", &lines, "[yield]\npieces = 300\n")]);
    let portion = with(&book, |declarer| declarer.content_per_piece(&id("mix")));
    let portion = portion.expect("content").expect("it yields pieces");
    let total_carbohydrate =
        grams(&portion, Nutrient::Carbohydrate) + grams(&portion, Nutrient::Fibre);
    hold(&energy(&portion, LabelRegime::Us).kcal, "109", "3", "energy");
    hold(&grams(&portion, Nutrient::Protein), "0.87", "4", "protein");
    hold(&total_carbohydrate, "17.28", "1", "carbohydrate");
    hold(&grams(&portion, Nutrient::Fat), "4.18", "9", "fat");
    hold(&grams(&portion, Nutrient::Saturates), "1.04", "9", "saturates");
    hold(&(grams(&portion, Nutrient::Salt) * Exact::from(400)), "99", "1", "sodium");
    assert_eq!(portion.of_grams.round(2).to_string(), "23.67");
}

/// Every food of the table closes: its parts, ash among them, come to 100 g within half a gram.
/// Baking soda loses its gas, compressed yeast and coconut oil are published short of it.
#[test]
fn the_parts_of_every_published_food_come_to_a_hundred_grams() {
    let mut closed = 0;
    for food in FOODS.iter().filter(|food| food.is_complete()) {
        if ["18372", "18374", "04047"].contains(&food.ndb) {
            continue;
        }
        let content = content_of(&[("food", food.ndb)], &[("food", "1 kg")], "");
        let rest = content.ash_and_rest().expect("every part is stated");
        let ash = food.ash() - grams(&content, Nutrient::Salt);
        let off = (rest - ash).abs();
        assert!(off <= exact("0.5"), "{} {} is off by {}", food.ndb, food.name, off.round(2));
        let whole: Exact = WHOLE.iter().map(|one| grams(&content, *one)).sum();
        assert_eq!(whole + content.ash_and_rest().expect("stated"), Exact::from(100));
        closed += 1;
    }
    assert!(closed > 60, "only {closed} foods are complete");
}

/// Regulation (EU) No 1169/2011, Annex XIV.
#[test]
fn the_factors_of_annex_xiv() {
    let rows: Vec<String> = EU_FACTORS
        .iter()
        .map(|one| format!("{} {} {}", one.name, one.kj.expect("kilojoules"), one.kcal))
        .collect();
    assert_eq!(
        rows,
        [
            "carbohydrate except polyols 17 4",
            "polyols 10 2.4",
            "protein 17 4",
            "fat 37 9",
            "salatrims 25 6",
            "alcohol (ethanol) 29 7",
            "organic acid 13 3",
            "fibre 8 2",
            "erythritol 0 0",
        ]
    );
}

#[test]
fn from_memory_the_general_factors_of_the_united_states() {
    let rows: Vec<String> =
        US_FACTORS.iter().map(|one| format!("{} {}", one.name, one.kcal)).collect();
    assert_eq!(rows, ["protein 4", "total carbohydrate 4", "total fat 9", "alcohol 7"]);
    assert!(US_FACTORS.iter().all(|one| one.kj.is_none()));
}

/// Salt is sodium x 2.5 (Regulation (EU) No 1169/2011, Annex I), wherever the sodium comes from: of the
/// salt of a kitchen that isn't 100 g, and a leavening has it without any salt. Sodium by SR28.
#[test_case("01001", "643", "1.6075"; "salted butter")]
#[test_case("02047", "38758", "96.895"; "table salt")]
#[test_case("18369", "10600", "26.5"; "baking powder")]
#[test_case("18372", "27360", "68.4"; "baking soda")]
fn salt_and_sodium_are_one_figure(ndb: &str, sodium: &str, salt: &str) {
    let content = content_of(&[("food", ndb)], &[("food", "1 kg")], "");
    let exact_row = |under, key| {
        let label = label(&content, under, LabelBasis::Per100G);
        label.rows.into_iter().find(|row| row.key == key).expect("a row").exact
    };
    assert_eq!(exact_row(LabelRegime::Eu, "salt"), exact(salt));
    assert_eq!(exact_row(LabelRegime::Us, "sodium"), exact(sodium));
}

/// Worked from SR28 figures: kJ and kcal of the union, kcal of the United States without alcohol.
const ENERGY: &[(&str, &str, &str, &str)] = &[
    ("19335", "1699.66", "399.92", "399.92"),
    ("01145", "3016.54", "733.63", "733.63"),
    ("20081", "1484.84", "349.98", "355.38"),
    ("01123", "577.63", "138.71", "138.71"),
    ("01053", "1429.82", "347.04", "347.04"),
    ("12061", "2460.81", "595.17", "620.17"),
    ("19165", "1491.4", "359.3", "433.3"),
    ("19904", "2391.94", "576.63", "598.43"),
    ("02050", "1215.89", "292.18", "51.38"),
    ("19296", "1404.1", "330.4", "330.8"),
    ("01077", "255.4", "61.05", "61.05"),
    ("12120", "2698.5", "653.95", "673.35"),
];

#[test]
fn energy_is_summed_by_the_factors_of_each_regime() {
    for (ndb, kj, kcal, us) in ENERGY {
        let content = content_of(&[("food", ndb)], &[("food", "1 kg")], "");
        let eu = energy(&content, LabelRegime::Eu);
        assert_eq!(eu.kj.expect("kilojoules"), exact(kj), "{ndb}");
        assert_eq!(eu.kcal, exact(kcal), "{ndb}");
        let alcohol = grams(&content, Nutrient::Alcohol) * Exact::from(7);
        assert_eq!(energy(&content, LabelRegime::Us).kcal, exact(us) + alcohol, "{ndb}");
    }
}
