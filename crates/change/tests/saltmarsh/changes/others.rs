//! Sites, settings, and what is said beside a comparison.

use std::collections::BTreeSet;

use chablon_change::{Class, Group, Reaction};
use chablon_model::ReviewRule;
use insta::assert_snapshot;

use super::shows;
use crate::book::comparison;

#[test]
fn a_site_weighs_and_makes_with_other_things() {
    let file = "sites/harbour.toml";
    shows!(
        [
            (file, "groups = [\"coast\", \"pilot\"]", "groups = [\"coast\"]"),
            (file, "labour_rate = \"24.50 EUR/h\"", "labour_rate = \"25.10 EUR/h\""),
            (file, "increment = \"0.01 g\"", "increment = \"0.1 g\""),
            (file, "class = \"blender\"\ncapacity = \"4 kg\"", "class = \"blender\"\ncapacity = \"5 kg\""),
            (file, "language = \"en\"", "language = \"fr\""),
        ],
        @"
    recipe
      recipe site/harbour: belongs to coast instead of coast, pilot
      recipe site/harbour: scale changed: `fine` to 200 g in steps of 0.1 g instead of `fine` to 200 g in steps of 0.01 g
      recipe site/harbour: equipment changed: `blender` of 5 kg instead of `blender` of 4 kg
      cost   site/harbour: labour rate 25.10 EUR/h instead of 24.50 EUR/h
      text   site/harbour: reads fr instead of en
    "
    );
}

#[test]
fn the_group_declares_under_other_rules() {
    shows!([("book.toml", "labels = [\"eu\"]", "labels = [\"eu\", \"us\"]")], @"
    recipe
      recipe book/group: label rules eu, us instead of eu
    ");
}

#[test]
fn cautions_stand_beside_what_they_are_about() {
    let kept = ("recipes/honey-bavarois.toml", "keeps = \"30 d\"", "keeps = \"45 d\"");
    assert_snapshot!(comparison(&[kept]).cautions().join("\n"), @"A limit here is the one that the recipe states. The kitchen's approved food-safety plan, local law and licensed practice decide.");
    let title = ("recipes/honey-bavarois.toml", "\"Honey bavarois\"", "\"Bavarois of honey\"");
    assert!(comparison(&[title]).cautions().is_empty());
    let stated = ("ingredients/chocolate.toml", "milk = \"may-contain\"", "milk = \"contains\"");
    assert_eq!(comparison(&[stated]).cautions().len(), 2);
}

#[test]
fn classes_ask_for_more_the_more_they_weigh() {
    let rule = ReviewRule { safety: 3, recipe: 2, cost: 1, text: 0, ..ReviewRule::default() };
    assert_eq!(Class::ALL.map(|class| class.reviewers(&rule)), [3, 2, 1, 0]);
    let reactions = Class::ALL.map(Class::reaction);
    assert!(reactions.is_sorted_by(|one, other| one >= other));
    assert_eq!(Class::Safety.reaction(), Reaction::BeforeNextBatch);
    for class in Class::ALL {
        assert_eq!(Class::parse(class.as_str()), Some(class));
    }
}

#[test]
fn the_rule_by_which_others_look_weighs_the_most() {
    let edit = ("book.toml", "labels = [\"eu\"]", "labels = [\"eu\"]\n[review]\nsafety = 2");
    let comparison = comparison(&[edit]);
    assert_eq!(comparison.class(), Some(Class::Safety));
    assert_snapshot!(comparison.changes()[0].what, @"changes are looked at by 2 (safety), 1 (recipe), 1 (cost), 1 (text) of chef, deputy, with drafts alone instead of by 1 (safety), 1 (recipe), 1 (cost), 1 (text) of chef, deputy, with drafts or without");
}

#[test]
fn every_heading_has_one_class() {
    let edits = [
        ("recipes/honey-bavarois.toml", "keeps = \"30 d\"", "keeps = \"45 d\""),
        ("recipes/creme-anglaise.toml", "min = \"82 °C\"", "min = \"78 °C\""),
        ("recipes/honey-biscuit.toml", "passive = \"9 min\"", "passive = \"11 min\""),
        ("recipes/honey-loaf.toml", "amount = \"12 %\"", "amount = \"10 %\""),
        ("prices/harbour.toml", "price = \"1.18 EUR\"", "price = \"1.20 EUR\""),
        ("ingredients/chocolate.toml", "milk = \"may-contain\"", "milk = \"contains\""),
    ];
    let comparison = comparison(&edits);
    let headings: BTreeSet<(Group, Class)> =
        comparison.changes().iter().map(|one| (one.what.group(), one.class())).collect();
    let groups: BTreeSet<Group> = headings.iter().map(|(group, _)| *group).collect();
    assert_eq!(headings.len(), groups.len());
    assert!(groups.len() > 6, "{groups:?}");
}
