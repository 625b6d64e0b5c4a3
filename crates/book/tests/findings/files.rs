//! Files and their syntax.

use chablon_book::{Files, RenderOptions, read, render};
use insta::assert_snapshot;

use crate::{BOOK, INGREDIENTS, SYRUP, as_amount, in_line, in_prices, shown, shown_alone};

/// A title in Latin-1, where `è` is one byte.
fn shown_bytes() -> String {
    let mut recipe = SYRUP.replace("Light syrup", "Cr?me").into_bytes();
    let at = recipe.iter().position(|byte| *byte == b'?').unwrap();
    recipe[at] = 0xe8;
    let sound = [("book.toml", BOOK), ("ingredients/dry.toml", INGREDIENTS)];
    let files = sound.into_iter().map(|(path, text)| (path, text.as_bytes().to_vec()));
    let files = Files::from_bytes(files.chain([("recipes/light-syrup.toml", recipe)]));
    render(&read(&files).findings, &files, RenderOptions::default())
}

#[test]
fn no_settings_at_all() {
    let text = shown_alone(&[]);
    assert_snapshot!(text, @r#"
    no-settings

      × the book has no book.toml
      hint: add it with `name`, `currency` and `languages`; a book is the folder that holds it
    "#);
}

#[test]
fn settings_of_another_name() {
    let text = shown_alone(&[("Book.toml", BOOK)]);
    assert_snapshot!(text, @r#"
    no-settings

      × the book has no book.toml
      hint: `Book.toml` is there; book.toml stands at the top

    stray-file

      ⚠ `Book.toml` is not read
      hint: a book has book.toml and the folders ingredients, recipes, sites, prices
    "#);
}

#[test]
fn stray_file_beside_the_folders_is_a_warning() {
    let text = shown(&[("recipies/glaze.toml", SYRUP)]);
    assert_snapshot!(text, @r#"
    stray-file

      ⚠ `recipies/glaze.toml` is not read
      hint: did you mean `recipes/glaze.toml`?
    "#);
}

#[test]
fn stray_file_too_deep_is_a_warning() {
    let text = shown(&[("recipes/old/glaze.toml", SYRUP)]);
    assert_snapshot!(text, @r#"
    stray-file

      ⚠ `recipes/old/glaze.toml` is not read
      hint: files stand directly in the folder recipes, not in one below it
    "#);
}

#[test]
fn stray_file_of_another_kind_is_a_warning() {
    let text = shown(&[("recipes/glaze.tml", SYRUP)]);
    assert_snapshot!(text, @r#"
    stray-file

      ⚠ `recipes/glaze.tml` is not read
      hint: only files that end in .toml are read
    "#);
}

#[test]
fn stray_file_at_the_top_is_a_warning() {
    let text = shown(&[("notes.toml", "")]);
    assert_snapshot!(text, @r#"
    stray-file

      ⚠ `notes.toml` is not read
      hint: a book has book.toml and the folders ingredients, recipes, sites, prices
    "#);
}

#[test]
fn value_without_quotes() {
    let text = as_amount("500 g");
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: string values must be quoted, expected literal string
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = 500 g
       ·          ──┬──
       ·            ╰── here
       ╰────
      hint: text and quantities stand in quotes: amount = "500 g"
    "#);
}

#[test]
fn quote_left_open() {
    let text = as_amount(r#""500 g"#);
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: invalid basic string, expected `"`
       ╭─[recipes/glaze.toml:5:15]
     4 │ ingredient = "milk-whole"
     5 │ amount = "500 g
       ·               ┬
       ·               ╰── here
       ╰────
      hint: a quote is left open; text begins and ends with "
    "#);
}

#[test]
fn curly_quotes() {
    let text = as_amount("“500 g”");
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: string values must be quoted, expected literal string
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = “500 g”
       ·          ───┬───
       ·             ╰── here
       ╰────
      hint: use straight quotes: "..."
    "#);
}

#[test]
fn key_twice() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
amount = "2 L""#,
    );
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: duplicate key
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "1 L"
     6 │ amount = "2 L"
       · ───┬──
       ·    ╰── here
       ╰────
      hint: a key stands once; of several tables each begins as in [[line]]
    "#);
}

#[test]
fn several_syntax_errors_and_the_rest_of_the_book() {
    let text = shown(&[
        (
            "recipes/glaze.toml",
            r#"id = "glaze"
title = Glaze
[[line]"#,
        ),
        (
            "sites/harbour.toml",
            r#"id = "harbour"
nmae = "Harbour""#,
        ),
    ]);
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: string values must be quoted, expected literal string
       ╭─[recipes/glaze.toml:2:9]
     1 │ id = "glaze"
     2 │ title = Glaze
       ·         ──┬──
       ·           ╰── here
     3 │ [[line]
       ╰────
      hint: text and quantities stand in quotes: amount = "500 g"

    syntax

      × this is not TOML: unclosed array table, expected `]`
       ╭─[recipes/glaze.toml:3:7]
     2 │ title = Glaze
     3 │ [[line]
       ·       ┬
       ·       ╰── here
       ╰────

    unknown-key

      × `nmae` is not a key of a site
       ╭─[sites/harbour.toml:2:1]
     1 │ id = "harbour"
     2 │ nmae = "Harbour"
       · ──┬─
       ·   ╰── not known
       ╰────
      hint: did you mean `name`?
    "#);
}

#[test]
fn end_of_a_file_is_pointed_at() {
    let text = in_prices("[[price]]\nfrom = [\n\n");
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: unclosed array, expected `]`
       ╭─[prices/group.toml:2:8]
     1 │ [[price]]
     2 │ from = [
       ·        ┬
       ·        ╰── here
     3 │
       ╰────
    "#);
}

#[test]
fn ids_of_a_broken_recipe_are_known() {
    let text = shown(&[
        ("recipes/light-syrup.toml", &SYRUP.replace(r#""500 g""#, "500 g")),
        (
            "recipes/glaze.toml",
            &SYRUP
                .replace(r#"ingredient = "sugar-caster""#, r#"component = "light-syrup""#)
                .replace(r#"id = "light-syrup""#, r#"id = "glaze""#),
        ),
    ]);
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: string values must be quoted, expected literal string
       ╭─[recipes/light-syrup.toml:5:10]
     4 │ ingredient = "sugar-caster"
     5 │ amount = 500 g
       ·          ──┬──
       ·            ╰── here
       ╰────
      hint: text and quantities stand in quotes: amount = "500 g"
    "#);
}

#[test]
fn what_a_broken_file_may_declare_is_not_called_unknown() {
    let text = shown(&[(
        "ingredients/dry.toml",
        "[[ingredient]]
id = milk",
    )]);
    assert_snapshot!(text, @r#"
    syntax

      × this is not TOML: string values must be quoted, expected literal string
       ╭─[ingredients/dry.toml:2:6]
     1 │ [[ingredient]]
     2 │ id = milk
       ·      ──┬─
       ·        ╰── here
       ╰────
      hint: text and quantities stand in quotes: amount = "500 g"
    "#);
}

#[test]
fn bytes_that_are_no_text() {
    let text = shown_bytes();
    assert_snapshot!(text, @r#"
    not-utf8

      × the file is not UTF-8 text
       ╭─[recipes/light-syrup.toml:2:19]
     1 │ id = "light-syrup"
     2 │ title = { en = "Cr�me" }
       ·                   ┬
       ·                   ╰── other bytes
     3 │ [[line]]
       ╰────
      hint: save it in the encoding UTF-8
    "#);
}
