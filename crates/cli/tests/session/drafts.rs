//! Drafts: proposed, looked at, released, and who did what.

use crate::bench::Session;

const HONEY: [&str; 2] = [
    "ingredient = \"honey-acacia\"\namount = \"170 g\"",
    "ingredient = \"honey-acacia\"\namount = \"150 g\"",
];

/// A session with a hub that has the book.
fn released() -> Session {
    let mut session = Session::with_book();
    session.start_hub();
    let done = session.run_unnoted("release --book book --note \"First standards\" --yes");
    assert_eq!(done.code, 0, "{}", done.stderr);
    session
}

#[test]
fn a_draft_is_looked_at_before_it_is_released() {
    let mut session = released();
    let ada = "--as \"Ada Quill\"";
    let ben = "--as \"Ben Harlow\"";
    session.run("drafts");
    session.edit("recipes/honey-bavarois.toml", HONEY[0], HONEY[1]);
    session.run("compare --book book");
    session.run(&format!("propose less-honey --book book --note \"Less honey\" --dry-run {ada}"));
    session.run(&format!("propose less-honey --book book --note \"Less honey\" {ada}"));
    session.run("drafts");
    session.run(&format!("release --draft less-honey --yes {ada}"));
    session.run(&format!("review less-honey --approve {ada}"));
    session.run(&format!("review less-honey --return \"Say since when\" {ben}"));
    session.run(&format!("propose less-honey --book book --note \"Less honey now\" {ada}"));
    session.run(&format!("review less-honey --approve --note \"Tasted it\" {ben}"));
    session.run("drafts less-honey");
    session.run(&format!("release --draft less-honey --yes {ada}"));
    session.run("drafts");
    session.run("drafts --all");
    session.run("audit");
    session.compare("drafts-review");
}

#[test]
fn who_writes_second_sees_both_sides() {
    let mut session = released();
    session.edit("recipes/honey-bavarois.toml", HONEY[0], HONEY[1]);
    session.run_unnoted("propose less-honey --book book --note \"Less\" --as \"Ada Quill\"");
    session.edit(
        "recipes/honey-bavarois.toml",
        HONEY[1],
        "ingredient = \"honey-acacia\"\namount = \"140 g\"",
    );
    let propose = "propose less-honey --book book --note \"Less still\"";
    let done = session.run(&format!("{propose} --as \"Ben Harlow\""));
    let etag = done.stderr.split_once("--over ").expect("an etag").1;
    let etag = etag.split_whitespace().next().expect("an etag").to_owned();
    session.run(&format!("{propose} --as \"Ben Harlow\" --over {etag}"));
    session.run(&format!("{propose} --as \"Ada Quill\" --over {etag}"));
    session.run("review less-honey --approve --as \"Ada Quill\"");
    session.compare("drafts-apart");
}

#[test]
fn the_book_may_ask_for_more() {
    let mut session = Session::with_book();
    session.start_hub();
    session.edit("book.toml", "labels = [\"eu\"]", "labels = [\"eu\"]\n[review]\nsafety = 2");
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    session.edit("ingredients/chocolate.toml", "milk = \"may-contain\"", "milk = \"contains\"");
    session.run("release --book book --note \"Milk in it\" --yes");
    session.run("propose milk --book book --note \"Milk in it\" --as \"Ada Quill\"");
    session.run("compare --draft milk --format json");
    session.run("review milk --approve --as \"Ben Harlow\"");
    session.run("release --draft milk --yes --as \"Ada Quill\"");
    session.run("review milk --approve --as \"Cleo Marsh\"");
    session.run("release --draft milk --yes --as \"Ada Quill\"");
    session.compare("drafts-rule");
}

#[test]
fn what_must_be_mended_is_said_before_others_look() {
    let mut session = released();
    let state = "other_allergens = \"free\"";
    session.edit("ingredients/dairy.toml", state, "");
    session.run("propose unstated --book book --note \"A slip\" --as \"Ada Quill\"");
    session.run("review unstated --approve --as \"Ben Harlow\"");
    session.run("review unstated --drop \"A slip\" --as \"Ada Quill\"");
    session.run("propose unstated --book book --note \"A slip\" --as \"Ada Quill\"");
    session.compare("drafts-unsound");
}
