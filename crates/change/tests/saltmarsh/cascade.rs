//! What stands above a change.

use chablon_change::{Cascade, Edition};
use chablon_model::DocumentKey;

use crate::book::edited;

fn keys(texts: &[&str]) -> Vec<DocumentKey> {
    texts.iter().map(|text| text.parse().unwrap()).collect()
}

fn routes(cascade: &Cascade, changed: &str) -> Vec<String> {
    let routes = cascade.pieces_of(&changed.parse().unwrap());
    routes.iter().map(ToString::to_string).collect()
}

#[test]
fn an_ingredient_deep_in_a_compound_reaches_every_piece() {
    let documents = edited(&[]);
    let cascade = Cascade::above(&Edition::new(&documents), keys(&["ingredient/soya-lecithin"]));
    let expected = [
        "hazelnut-choux -> chocolate-dark-64 -> soya-lecithin",
        "pear-buckwheat-entremet -> buckwheat-crunch -> chocolate-white-30 -> soya-lecithin",
    ];
    assert_eq!(routes(&cascade, "ingredient/soya-lecithin"), expected);
    let affected: Vec<String> = cascade.affected().keys().map(ToString::to_string).collect();
    assert_eq!(
        affected,
        [
            "ingredient/chocolate-dark-64",
            "ingredient/chocolate-white-30",
            "recipe/buckwheat-crunch",
            "recipe/hazelnut-choux",
            "recipe/honey-mirror-glaze",
            "recipe/pear-buckwheat-entremet",
        ]
    );
}

#[test]
fn a_piece_that_changes_is_its_own_way() {
    let documents = edited(&[]);
    let cascade = Cascade::above(&Edition::new(&documents), keys(&["recipe/honey-loaf"]));
    assert_eq!(routes(&cascade, "recipe/honey-loaf"), ["honey-loaf"]);
    assert!(cascade.affected().is_empty());
}

#[test]
fn changes_that_meet_in_a_piece_are_released_together() {
    let documents = edited(&[]);
    let changed = keys(&["recipe/choux-shell", "recipe/croissant", "recipe/praline-cream"]);
    let cascade = Cascade::above(&Edition::new(&documents), changed);
    let sets: Vec<Vec<String>> = cascade
        .together()
        .iter()
        .map(|set| set.iter().map(ToString::to_string).collect())
        .collect();
    let choux = ["recipe/choux-shell", "recipe/hazelnut-choux", "recipe/praline-cream"];
    assert_eq!(sets, [&choux[..], &["recipe/croissant"]]);
}

#[test]
fn what_is_released_together_is_closed_upwards() {
    let documents = edited(&[]);
    let edition = Edition::new(&documents);
    let all: Vec<DocumentKey> = documents.iter().map(chablon_model::DocumentContent::key).collect();
    for pair in all.windows(2) {
        let cascade = Cascade::above(&edition, pair.to_vec());
        for set in cascade.together() {
            for document in &documents {
                let uses_one = document.uses().iter().any(|used| set.contains(used));
                assert!(!uses_one || set.contains(&document.key()), "{}", document.key());
            }
        }
    }
}

#[test]
fn a_component_that_a_piece_no_longer_takes_reaches_it_still() {
    let old = edited(&[]);
    let new = edited(&[
        (
            "recipes/honey-bavarois.toml",
            "component = \"creme-anglaise\"",
            "component = \"pastry-cream\"",
        ),
        ("recipes/creme-anglaise.toml", "amount = \"280 g\"", "amount = \"300 g\""),
    ]);
    let cascade = Cascade::between(&Edition::new(&old), &Edition::new(&new));
    assert_eq!(
        routes(&cascade, "recipe/creme-anglaise"),
        ["pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise", "creme-anglaise"]
    );
}
