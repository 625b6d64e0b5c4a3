//! Content per 100 g finished, per piece, and what it misses.

use chablon_declare::content::{Composition, energy};
use chablon_declare::{DeclareError, Declarer};
use chablon_model::{LabelRegime, Nutrient};
use chablon_quantity::Exact;

use crate::fixture::{boiled, book, exact, id, ingredient, recipe, with};

fn grams(of: &Composition, nutrient: Nutrient) -> Exact {
    of.amount(nutrient).grams.clone()
}

const PLAIN: &str = "[ingredient.content]\nwater = '50 g'\nfat = '0 g'\nsaturates = '0 g'\ncarbohydrate = '50 g'\nsugars = '50 g'\npolyols = '0 g'\nfibre = '0 g'\nprotein = '0 g'\nsalt = '0 g'\nalcohol = '0 g'";

#[test]
fn only_water_leaves_and_whole_losses_change_nothing() {
    // 50 g of water; 25 g leave, then 20 % of the 75 g that are left.
    let losses = boiled("cook", "25 %")
        + "[[loss]]\nstage = 'strain'\nkind = 'whole'\nfraction = '40 %'\n"
        + &boiled("bake", "20 %")
        + "[[loss]]\nstage = 'bowl'\nresidue = '1 g'\n";
    let book = book(&ingredient("syrup", PLAIN), &[recipe("r", &[("syrup", "1 kg")], &losses)]);
    let content = with(&book, |declarer| declarer.content(&id("r")).expect("content"));
    assert_eq!(grams(&content, Nutrient::Sugars), exact("250/3"));
    assert_eq!(grams(&content, Nutrient::Water), exact("50/3"));
    assert_eq!(content.ash_and_rest(), Some(Exact::from(0)));
}

#[test]
fn a_component_counts_as_it_is_finished() {
    let recipes = [
        recipe("part", &[("syrup", "1 kg")], &boiled("cook", "25 %")),
        recipe("r", &[("component:part", "300 g"), ("syrup", "100 g")], "[yield]\npieces = 8\n"),
    ];
    let book = book(&ingredient("syrup", PLAIN), &recipes);
    with(&book, |declarer| {
        let content = declarer.content(&id("r")).expect("content");
        // 300 g at 2/3 and 100 g at 1/2.
        assert_eq!(grams(&content, Nutrient::Sugars), exact("62.5"));
        let piece = declarer.content_per_piece(&id("r")).expect("content").expect("pieces");
        assert_eq!(
            (grams(&piece, Nutrient::Sugars), piece.of_grams),
            (exact("31.25"), exact("50"))
        );
        assert_eq!(declarer.content_per_piece(&id("part")), Ok(None));
    });
}

fn refusal(book: &chablon_book::AuthoredBook, recipe: &str) -> DeclareError {
    with(book, |declarer: &Declarer<'_>| declarer.content(&id(recipe)).expect_err("refused"))
}

#[test]
fn more_water_boiled_off_than_was_there_names_the_stage() {
    let of = |first: &str, second: &str| {
        let losses = boiled("cook", first) + &boiled("dry", second);
        let part = recipe("part", &[("syrup", "1 kg")], &losses);
        book(&ingredient("syrup", PLAIN), &[part, recipe("r", &[("component:part", "1 kg")], "")])
    };
    let all = with(&of("50 %", "0 %"), |declarer| declarer.content(&id("part")).expect("content"));
    assert_eq!(grams(&all, Nutrient::Water), Exact::from(0));
    let fault = refusal(&of("40 %", "20 %"), "part");
    assert_eq!(fault.code(), "water-below-zero");
    assert_eq!(
        fault.to_string(),
        "stage `dry` of `part` takes 20.000 g of water from 100 g, but only 16.667 g are there"
    );
    assert!(fault.hint().contains("`whole`"));
    // What uses it is refused with the same reason, and the rest of the book stands.
    assert_eq!(refusal(&of("40 %", "20 %"), "r"), fault);
    let first = refusal(&of("51 %", "20 %"), "part");
    assert!(first.to_string().starts_with("stage `cook` of `part` takes 51.000 g"), "{first}");
}

#[test]
fn a_loss_without_a_stage_is_named_by_its_place() {
    let losses =
        "[[loss]]\nkind = 'whole'\nfraction = '1 %'\n[[loss]]\nkind = 'water'\nfraction = '60 %'\n";
    let book = book(&ingredient("syrup", PLAIN), &[recipe("r", &[("syrup", "1 kg")], losses)]);
    assert!(refusal(&book, "r").to_string().starts_with("loss 2 of `r` takes 60.000 g"));
}

#[test]
fn what_an_ingredient_does_not_state_is_named_and_never_zero() {
    let pantry = ingredient("syrup", PLAIN)
        + &ingredient("honey", "")
        + &ingredient("fruit", "[ingredient.content]\nwater = '80 g'");
    let recipes = [
        recipe("part", &[("honey", "40 g"), ("syrup", "60 g")], ""),
        recipe("r", &[("component:part", "50 g"), ("fruit", "50 g"), ("honey", "to taste")], ""),
        recipe(
            "taste",
            &[("syrup", "50 g"), ("honey", "to taste"), ("component:part", "to taste")],
            "",
        ),
    ];
    let book = book(&pantry, &recipes);
    with(&book, |declarer| {
        let content = declarer.content(&id("r")).expect("content");
        let missing = |nutrient| -> Vec<String> {
            content.amount(nutrient).missing.iter().map(ToString::to_string).collect()
        };
        assert_eq!(
            (grams(&content, Nutrient::Water), missing(Nutrient::Water)),
            (exact("55"), vec!["honey".to_owned()])
        );
        assert_eq!(
            (grams(&content, Nutrient::Sugars), missing(Nutrient::Sugars)),
            (exact("15"), vec!["fruit".to_owned(), "honey".to_owned()])
        );
        assert!(!content.is_complete() && content.ash_and_rest().is_none());
        assert_eq!(energy(&content, LabelRegime::Eu).missing.len(), 2);
        // What weighs nothing lacks nothing, but is named as to taste.
        let taste = declarer.content(&id("taste")).expect("content");
        assert!(taste.amounts.values().all(chablon_declare::content::Amount::is_complete));
        let named: Vec<&str> = taste.to_taste.iter().map(chablon_model::Uses::id).collect();
        assert_eq!(named, ["honey", "part"]);
        assert!(!taste.is_complete());
    });
}

#[test]
fn a_lower_bound_of_water_is_never_below_nothing() {
    let pantry = ingredient("syrup", PLAIN) + &ingredient("honey", "");
    let book = book(
        &pantry,
        &[recipe("r", &[("honey", "90 g"), ("syrup", "10 g")], &boiled("cook", "10 %"))],
    );
    let content = with(&book, |declarer| declarer.content(&id("r")).expect("no refusal"));
    assert_eq!(grams(&content, Nutrient::Water), Exact::from(0));
}
