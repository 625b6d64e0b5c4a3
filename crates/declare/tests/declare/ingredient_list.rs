//! Lists of ingredients: order, water, compounds, allergens, percentages.

use std::collections::BTreeSet;

use chablon_book::AuthoredBook;
use chablon_declare::DeclareOptions;
use chablon_declare::allergens::views::Law;
use chablon_declare::ingredient_list::{IngredientList, ListFinding, ListOptions};
use chablon_model::{Book, Constituent, LabelRegime, Language};
use chablon_quantity::Exact;

use crate::fixture::{boiled, book, exact, id, ingredient, recipe, with};
use crate::sr28::food_of;

fn language(code: &str) -> Language {
    code.parse().expect("a language")
}

fn list_in(book: &AuthoredBook, code: &str, emphasised: &[&str]) -> IngredientList {
    list_of(book, "r", code, Law::Eu, emphasised)
}

fn list_of(
    book: &AuthoredBook,
    recipe: &str,
    code: &str,
    law: Law,
    emphasised: &[&str],
) -> IngredientList {
    let emphasised: BTreeSet<_> = emphasised.iter().map(|id| id.parse().expect("an id")).collect();
    let options =
        ListOptions { language: language(code), fallback: language("en"), law, emphasised };
    with(book, |declarer| declarer.ingredient_list(&id(recipe), &options).expect("a list"))
}

fn text(book: &AuthoredBook, emphasised: &[&str]) -> String {
    list_in(book, "en", emphasised).to_string()
}

const FREE: &str = "other_allergens = 'free'";

fn free(id: &str) -> String {
    ingredient(id, FREE)
}

fn water() -> String {
    ingredient("water", "other_allergens = 'free'\n[ingredient.content]\nwater = '100 g'")
}

#[test]
fn masses_at_the_mixing_bowl_put_a_list_in_order() {
    let foods = [("egg", "01123"), ("sugar", "19335"), ("flour", "20081"), ("butter", "01145")];
    let pantry: String = foods.iter().map(|(id, ndb)| food_of(ndb).ingredient(id)).collect();
    let lines = [("butter", "20 g"), ("sugar", "120 g"), ("flour", "120 g"), ("egg", "200 g")];
    let book = book(&pantry, &[recipe("r", &lines, &boiled("bake", "10 %"))]);
    // Flour and sugar weigh the same: in the order of their ids.
    assert_eq!(text(&book, &[]), "Ingredients: egg, flour, sugar, butter.");
    // Regulation (EU) No 1169/2011, Annex VIII, point 3: of what is used in what is finished.
    assert_eq!(
        text(&book, &["butter", "egg"]),
        "Ingredients: egg 48.3 %, flour, sugar, butter 4.8 %."
    );
}

/// 50 g of butter in 200 g of dough, baked to 170 g: 29.4 %.
#[test]
fn from_memory_the_butter_of_a_biscuit() {
    let pantry: String = ["flour", "sugar", "butter", "egg"].map(free).concat();
    let lines = [("flour", "100 g"), ("sugar", "40 g"), ("butter", "50 g"), ("egg", "10 g")];
    let book = book(&pantry, &[recipe("r", &lines, &boiled("bake", "15 %"))]);
    assert_eq!(text(&book, &["butter"]), "Ingredients: flour, butter 29.4 %, sugar, egg.");
}

#[test]
fn from_memory_more_than_a_hundred_per_cent_is_said_in_grams() {
    let pantry: String = ["tomato", "salt"].map(free).concat();
    let lines = [("tomato", "100 g"), ("salt", "1 g")];
    let book = book(&pantry, &[recipe("r", &lines, &boiled("dry", "50 %"))]);
    assert_eq!(text(&book, &["tomato"]), "Ingredients: tomato 198.0 g/100 g, salt.");
    assert_eq!(text(&book, &["salt"]), "Ingredients: tomato, salt 2.0 %.");
    // Their sum decides, not each alone.
    assert!(text(&book, &["tomato", "salt"]).ends_with("salt 2.0 g/100 g."));
}

/// Regulation (EU) No 1169/2011, Annex VII, part A, point 1: what is finished less all else; up to
/// 5 % needn't be listed.
#[test]
fn added_water_is_what_is_left_of_it() {
    let pantry = free("flour") + &water();
    let listed = |flour: &str, water: &str, loss: &str| {
        let lines = [("flour", flour), ("water", water)];
        let book = book(&pantry, &[recipe("r", &lines, &boiled("bake", loss))]);
        let list = list_in(&book, "en", &[]);
        (list.to_string(), list.water_left_out)
    };
    let flour = "Ingredients: flour.".to_owned();
    assert_eq!(listed("96 g", "4 g", "0 %"), (flour.clone(), Some(exact("4"))));
    assert_eq!(listed("95 g", "5 g", "0 %"), (flour.clone(), Some(exact("5"))));
    assert_eq!(listed("94 g", "6 g", "0 %"), ("Ingredients: flour, water.".to_owned(), None));
    // 200 g of dough, 170 g of bread, 180 g of flour: no water is left of what was added.
    assert_eq!(listed("180 g", "20 g", "15 %"), (flour, None));
    // More water than flour goes in, less is left of it.
    assert_eq!(listed("60 g", "100 g", "40 %"), ("Ingredients: flour, water.".to_owned(), None));
}

#[test]
fn what_is_mostly_water_is_no_added_water() {
    let coffee =
        ingredient("coffee", "other_allergens = 'free'\n[ingredient.content]\nwater = '99.39 g'");
    let spring =
        ingredient("spring", "other_allergens = 'free'\n[ingredient.content]\nwater = '99.9 g'");
    let pantry = free("flour") + &water() + &coffee + &spring;
    let lines = [("flour", "50 g"), ("coffee", "50 g"), ("water", "30 g"), ("spring", "20 g")];
    let book = book(&pantry, &[recipe("r", &lines, &boiled("bake", "20 %"))]);
    // Of 120 g, 100 g are flour and coffee; the 20 g that are left were water and spring, 3 to 2.
    let list = list_in(&book, "en", &[]);
    let grams: Vec<(String, Exact)> =
        list.entries.iter().map(|one| (one.listed_as.clone(), one.grams.clone())).collect();
    assert_eq!(
        grams,
        [
            ("coffee".to_owned(), exact("125/3")),
            ("flour".to_owned(), exact("125/3")),
            ("water".to_owned(), exact("10")),
            ("spring".to_owned(), exact("20/3")),
        ]
    );
}

#[test]
fn a_components_ingredients_count_as_they_went_into_it() {
    let pantry = free("pear") + &free("sugar") + &free("cream");
    let recipes = [
        recipe("compote", &[("pear", "90 g"), ("sugar", "10 g")], &boiled("cook", "50 %")),
        recipe("r", &[("component:compote", "50 g"), ("cream", "50 g"), ("sugar", "5 g")], ""),
    ];
    let book = book(&pantry, &recipes);
    let list = list_in(&book, "en", &[]);
    let grams: Vec<(&str, Exact)> =
        list.entries.iter().map(|one| (one.listed_as.as_str(), one.grams.clone())).collect();
    // 50 g of compote took 90 g of pear and 10 g of sugar; 105 g are made in all.
    let of = |grams: &str| exact(grams) * Exact::from(100) / Exact::from(105);
    assert_eq!(grams, [("pear", of("90")), ("cream", of("50")), ("sugar", of("15"))]);
}

#[test]
fn what_is_to_taste_comes_last() {
    let pantry = free("salt") + &free("flour") + &free("pepper") + &water();
    let recipes = [
        recipe("spice", &[("pepper", "1 g")], ""),
        recipe(
            "r",
            &[
                ("salt", "to taste"),
                ("flour", "1 g"),
                ("component:spice", "to taste"),
                ("water", "to taste"),
            ],
            "",
        ),
    ];
    let book = book(&pantry, &recipes);
    let list = list_in(&book, "en", &["salt"]);
    assert_eq!(list.to_string(), "Ingredients: flour, pepper, salt.");
    assert!(list.entries[2].quantity.is_none());
}

fn chocolate() -> String {
    let soya = "allergens = { soya = 'contains' }\nother_allergens = 'free'";
    ingredient(
        "lecithin",
        &format!(
            "label_name = {{ en = 'emulsifier: soya lecithin', fr = 'émulsifiant : lécithine de soja' }}\n{soya}"
        ),
    ) + &ingredient(
        "milk-powder",
        "allergens = { milk = 'contains' }\nother_allergens = 'free'\nlabel_name = { en = 'whole milk powder', fr = 'lait entier en poudre' }",
    ) + &free("sugar")
        + &ingredient(
            "cover",
            "allergens = { soya = 'contains', milk = 'contains', 'nuts.hazelnut' = 'may-contain', 'nuts.almond' = 'may-contain' }\nother_allergens = 'free'\nlabel_name = { en = 'white chocolate' }\nmade_of = [{ ingredient = 'sugar', amount = '60 %' }, { ingredient = 'milk-powder', amount = '39.5 %' }, { ingredient = 'lecithin' }]",
        )
}

#[test]
fn compounds_are_expanded_and_allergens_marked_where_they_stand() {
    let pantry = chocolate()
        + &ingredient("butter", "allergens = { milk = 'contains' }\nother_allergens = 'free'")
        + &ingredient(
            "flour",
            "allergens = { 'gluten.wheat' = 'contains' }\nother_allergens = 'free'\nlabel_name = { en = 'wheat flour' }",
        );
    let lines = [("flour", "100 g"), ("cover", "50 g"), ("butter", "20 g"), ("sugar", "1 g")];
    let book = book(&pantry, &[recipe("r", &lines, "")]);
    let list = list_in(&book, "en", &["cover"]);
    assert_eq!(
        list.to_string(),
        "Ingredients: WHEAT flour, white chocolate 29.2 % (sugar, whole MILK powder, emulsifier: SOYA \
         lecithin), butter (MILK), sugar. May contain: almonds, hazelnuts."
    );
    assert!(list.findings.is_empty());
    let marked: Vec<String> =
        list.spans().into_iter().filter(|span| span.allergen).map(|span| span.text).collect();
    assert_eq!(marked, ["wheat", "milk", "soya", "milk"]);
    assert_eq!(list.entries[1].made_of[1].share, Some(exact("0.395")));
    let french = list_in(&book, "fr", &[]);
    assert_eq!(
        french.to_string(),
        "Ingrédients : wheat flour (BLÉ), white chocolate (sugar, LAIT entier en poudre, émulsifiant : \
         lécithine de SOJA), butter (LAIT), sugar. Peut contenir : amandes, noisettes."
    );
    let untranslated = french.findings.iter();
    let untranslated =
        untranslated.filter(|one| matches!(one, ListFinding::NotTranslated { .. })).count();
    assert_eq!(untranslated, 4, "flour, cover, sugar and butter, each once: {:?}", french.findings);
}

#[test]
fn a_compound_names_what_its_constituents_do_not() {
    let pantry = chocolate()
        + &ingredient(
            "bar",
            "allergens = { soya = 'contains', milk = 'contains', egg = 'contains' }\nother_allergens = 'free'\nmade_of = [{ ingredient = 'cover' }]",
        );
    let book = book(&pantry, &[recipe("r", &[("bar", "1 g")], "")]);
    assert_eq!(
        text(&book, &[]),
        "Ingredients: bar (EGG) (white chocolate (sugar, whole MILK powder, emulsifier: SOYA lecithin))."
    );
}

#[test]
fn equal_names_are_one_entry_if_they_are_made_of_the_same() {
    let strong = "label_name = { en = 'wheat flour' }\nallergens = { 'gluten.wheat' = 'contains' }\nother_allergens = 'free'";
    let rye = "label_name = { en = 'wheat flour' }\nallergens = { 'gluten.wheat' = 'contains', 'gluten.rye' = 'contains' }\nother_allergens = 'free'";
    let made = "label_name = { en = 'wheat flour' }\nallergens = { 'gluten.wheat' = 'contains' }\nother_allergens = 'free'\nmade_of = [{ ingredient = 'strong' }]";
    let pantry = ingredient("strong", strong)
        + &ingredient("soft", rye)
        + &ingredient("made", made)
        + &free("sugar");
    let lines = [("strong", "30 g"), ("sugar", "40 g"), ("soft", "20 g"), ("made", "10 g")];
    let book = book(&pantry, &[recipe("r", &lines, "")]);
    assert_eq!(
        text(&book, &["soft"]),
        "Ingredients: WHEAT flour (RYE) 20.0 %, sugar, wheat flour (WHEAT flour)."
    );
}

#[test]
fn what_keeps_a_list_from_being_printed_is_found() {
    let pantry = ingredient("honey", "")
        + &ingredient("paste", "allergens = { nuts = 'contains' }\nother_allergens = 'free'");
    let book = book(&pantry, &[recipe("r", &[("honey", "1 g"), ("paste", "1 g")], "")]);
    let list = list_in(&book, "de", &["sugar"]);
    let codes: Vec<&str> = list.findings.iter().map(ListFinding::code).collect();
    assert_eq!(
        codes,
        [
            "no-words",
            "allergens-unknown",
            "not-listed",
            "not-translated",
            "kind-not-named",
            "not-translated"
        ]
    );
    assert_eq!(list.to_string(), "Ingredients: honey, paste (NUTS).");
    let texts: Vec<String> = list.findings.iter().map(ToString::to_string).collect();
    assert!(
        texts[1].starts_with("not known, so don't print this list: gluten, crustaceans,"),
        "{}",
        texts[1]
    );
    // Nuts are contained for certain, but honey could hold any kind of them.
    assert!(!texts[1].contains(" nuts,") && texts[1].contains("nuts.almond"), "{}", texts[1]);
    assert!(texts.iter().all(|text| !text.is_empty()));
}

#[test]
fn another_law_marks_other_allergens() {
    let pantry = ingredient(
        "mix",
        "label_name = { en = 'rye and wheat with pine nuts' }\nallergens = { 'gluten.wheat' = 'contains', 'gluten.rye' = 'contains', 'nuts.pine-nut' = 'contains' }\nother_allergens = 'free'",
    );
    let book = book(&pantry, &[recipe("r", &[("mix", "1 g")], "")]);
    let of = |law| list_of(&book, "r", "en", law, &[]).to_string();
    assert_eq!(of(Law::Eu), "Ingredients: RYE and WHEAT with pine nuts.");
    assert_eq!(of(Law::Us), "Ingredients: rye and WHEAT with PINE NUTS.");
}

fn made_of(book: &mut AuthoredBook, compound: &str, constituents: &[&str]) {
    let found = book.ingredients.iter_mut().find(|one| one.id.as_str() == compound);
    found.expect("an ingredient").made_of = constituents
        .iter()
        .map(|id| Constituent { ingredient: id.parse().expect("an id"), amount: None })
        .collect();
}

#[test]
fn constituents_that_use_each_other_end() {
    let pantry = free("a") + &free("b") + &free("c");
    let mut book = book(&pantry, &[recipe("r", &[("a", "1 g")], "")]);
    made_of(&mut book, "a", &["b", "c"]);
    made_of(&mut book, "b", &["a", "nowhere"]);
    let list = list_in(&book, "en", &[]);
    assert_eq!(list.to_string(), "Ingredients: a (b (a, nowhere), c).");
    let codes: Vec<&str> = list.findings.iter().map(ListFinding::code).collect();
    assert_eq!(codes, ["made-of-itself", "constituent-not-there"]);
}

#[test]
fn constituents_without_end_are_cut_off() {
    let names: Vec<String> = (0..12).map(|at| format!("i{at}")).collect();
    let pantry: String = names.iter().map(|id| free(id)).collect();
    let mut book = book(&pantry, &[recipe("r", &[("i0", "1 g")], "")]);
    for pair in names.windows(2) {
        made_of(&mut book, &pair[0], &[&pair[1], &pair[1]]);
    }
    let list = list_in(&book, "en", &[]);
    assert_eq!(list.entries[0].made_of.len(), 500);
    assert!(list.findings.iter().any(|one| one.code() == "too-many-parts"));
}

#[test]
fn a_very_deep_compound_does_not_overflow() {
    let names: Vec<String> = (0..450).map(|at| format!("i{at}")).collect();
    let pantry: String = names.iter().map(|id| free(id)).collect();
    let mut book = book(&pantry, &[recipe("r", &[("i0", "1 g")], "")]);
    for pair in names.windows(2) {
        made_of(&mut book, &pair[0], &[&pair[1]]);
    }
    let list = list_in(&book, "en", &[]);
    assert_eq!(list.entries[0].made_of.last().expect("a part").depth, 449);
    assert!(list.to_string().ends_with(&format!("{}.", ")".repeat(449))));
}

/// Regulation (EU) No 1169/2011, Article 22(1)(a): what the name of the food names.
#[test]
fn a_title_calls_for_the_share_of_what_it_names() {
    let pantry = free("pear") + &free("sugar") + &ingredient("flour", FREE);
    let lines = [("flour", "100 g"), ("pear", "60 g"), ("sugar", "40 g")];
    let mut book = book(&pantry, &[recipe("r", &lines, "")]);
    let title = [("en", "Pears in a crust"), ("fr", "Croûte au sucre")];
    book.recipes[0].title.0 =
        title.iter().map(|(code, text)| (language(code), (*text).to_owned())).collect();
    let declared = |labels: &[LabelRegime], asked: &[&str]| {
        let settings = Book { labels: labels.to_vec(), ..book.settings.clone() };
        let emphasised = asked.iter().map(|id| id.parse().expect("an id")).collect();
        let options = DeclareOptions { settings: &settings, emphasised, serving: None };
        with(&book, |declarer| declarer.declare(&id("r"), &options).expect("declared"))
    };
    let texts = |labels: &[LabelRegime], asked: &[&str]| -> Vec<String> {
        declared(labels, asked).lists.iter().map(ToString::to_string).collect()
    };
    // The French title names sugar, but no French name of an ingredient is known.
    let named = "Ingredients: flour, pear 30.0 %, sugar.";
    assert_eq!(texts(&[LabelRegime::Eu], &[])[0], named);
    assert_eq!(texts(&[LabelRegime::Eu], &[])[1], "Ingrédients : flour, pear 30,0 %, sugar.");
    let both = "Ingredients: flour, pear 30.0 %, sugar 20.0 %.";
    assert_eq!(texts(&[LabelRegime::Eu], &["sugar"])[0], both);
    let why = declared(&[LabelRegime::Eu], &["sugar"]).named_by_title;
    assert_eq!(why.iter().map(ToString::to_string).collect::<Vec<_>>(), ["pear"]);
    // The United States ask for no share.
    assert_eq!(texts(&[LabelRegime::Us], &[])[0], "Ingredients: flour, pear, sugar.");
}

/// Regulation (EU) No 1169/2011, Annex VII, part C: the function, then the name.
#[test]
fn an_additive_stands_by_function_and_name_in_each_language() {
    let label = "label_name = { en = 'gelling agent: pectin', fr = 'gélifiant : pectine' }\n";
    let pantry = free("pear") + &ingredient("pectin", &format!("{label}{FREE}"));
    let lines = [("pear", "99 g"), ("pectin", "1 g")];
    let book = book(&pantry, &[recipe("r", &lines, "")]);
    let listed = |code: &str| list_in(&book, code, &[]).to_string();
    assert_eq!(listed("en"), "Ingredients: pear, gelling agent: pectin.");
    assert_eq!(listed("fr"), "Ingrédients : pear, gélifiant : pectine.");
}
