//! A food-safety plan, and content that is stated more closely.

use crate::{BOOK, in_ingredient, in_settings};

fn in_plan(text: &str) -> String {
    in_settings(&format!("{BOOK}{text}"))
}

/// A limit that is right with these keys.
fn limit(keys: &str) -> String {
    format!("[[control.limit]]\n{keys}\nreason = \"a study\"\n")
}

const COLD: &str = "what = \"cold-holding\"\nat_most = \"4 °C\"";

#[test]
fn a_plan_that_is_right_has_no_finding() {
    let exempt = "[[control.exempt]]\nrecipe = \"light-syrup\"\nreason = \"acid\"\n";
    let plan = format!("[control]\npublished = \"uk\"\n{}{exempt}", limit(COLD));
    assert_eq!(in_plan(&plan), "");
}

#[test]
fn limits() {
    let cases = [
        ("what = \"cold\"\nat_most = \"4 °C\"", "unknown-value", "cold-holding"),
        ("what = \"cold-holding\"\nwithin = \"4 h\"", "unknown-key", "is not a key of a limit"),
        ("what = \"cold-holding\"", "missing-key", "add `at_most = \"4 °C\"`"),
        ("what = \"cold-holding\"\nat_most = \"4 h\"", "wrong-dimension", "`at_most`"),
        ("what = \"chilled-life\"\nwithin = \"0 h\"", "not-above-zero", "`within` must be above 0"),
        (
            "what = \"cool-total\"\nfrom = \"4 °C\"\nto = \"4 °C\"\nwithin = \"2 h\"",
            "limit-order",
            "`from` is the higher temperature",
        ),
    ];
    for (keys, code, says) in cases {
        let shown = in_plan(&limit(keys));
        assert!(shown.lines().any(|line| line == code) && shown.contains(says), "{shown}");
    }
}

#[test]
fn a_limit_without_a_reason() {
    let shown = in_plan(&format!("[[control.limit]]\n{COLD}\n"));
    assert!(shown.starts_with("missing-key") && shown.contains("`reason`"), "{shown}");
    let shown = in_plan(&format!("[[control.limit]]\n{COLD}\nreason = \" \"\n"));
    assert!(shown.contains("says nothing"), "{shown}");
}

#[test]
fn the_same_limit_and_the_same_exemption_twice() {
    let shown = in_plan(&(limit(COLD) + &limit(COLD)));
    assert!(shown.starts_with("duplicate-limit"), "{shown}");
    assert!(shown.contains("the limit for cold-holding is there twice"), "{shown}");
    let exempt = "[[control.exempt]]\nrecipe = \"light-syrup\"\nreason = \"acid\"\n";
    let shown = in_plan(&format!("{exempt}{exempt}"));
    assert!(shown.contains("the exemption of `light-syrup` is there twice"), "{shown}");
}

#[test]
fn an_exemption_of_a_recipe_that_is_not_there() {
    let shown = in_plan("[[control.exempt]]\nrecipe = \"lihgt-syrup\"\nreason = \"acid\"\n");
    assert!(shown.contains("did you mean `light-syrup`?"), "{shown}");
}

#[test]
fn details_that_do_not_fit() {
    let cases = [
        ("sugars = \"5 g\"\nlactose = \"5.1 g\"", "come to more than the sugars"),
        ("lactose = \"5 g\"", "need `sugars`, which isn't stated"),
        ("fat = \"9 g\"\nmilk_fat = \"6 g\"\ncocoa_butter = \"5 g\"", "come to more than the fat"),
        (
            "fat = \"50 g\"\ncocoa_butter = \"50 g\"\ndry_cocoa = \"40 g\"",
            "more cocoa butter than dry cocoa",
        ),
    ];
    for (content, says) in cases {
        let shown = in_ingredient(&format!("[ingredient.content]\n{content}"));
        assert!(shown.starts_with("content-part") && shown.contains(says), "{shown}");
    }
}

#[test]
fn details_that_fit_have_no_finding() {
    let content = "fat = \"40 g\"\ncarbohydrate = \"40 g\"\nsugars = \"35 g\"\nsucrose = \"35 g\"\n\
        cocoa_butter = \"40 g\"\ndry_cocoa = \"64 g\"";
    assert_eq!(in_ingredient(&format!("[ingredient.content]\n{content}")), "");
}
