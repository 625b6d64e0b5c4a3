//! Other ways to show findings.

use chablon_book::{Files, RenderOptions, Style, read, render};
use insta::assert_snapshot;

use crate::{BOOK, INGREDIENTS, SYRUP};

fn shown_as(options: RenderOptions) -> String {
    let glaze = SYRUP.replace("500 g", "500 gr").replace("sugar-caster", "sugar-castor");
    let files = Files::new([
        ("book.toml", BOOK),
        ("ingredients/dry.toml", INGREDIENTS),
        ("recipes/glaze.toml", &glaze),
        ("recipes/light-syrup.toml", SYRUP),
        ("recipes/notes.txt", ""),
    ]);
    render(&read(&files).findings, &files, options)
}

#[test]
fn narrow_is_a_line_each() {
    let text = shown_as(RenderOptions { style: Style::Narrow, ..RenderOptions::default() });
    assert_snapshot!(text, @r#"
    recipes/glaze.toml:4:14: error: the book has no ingredient `sugar-castor` [unknown-ingredient]
      hint: did you mean `sugar-caster`?
    recipes/glaze.toml:5:15: error: `gr` is not a unit; `amount` takes a mass, a volume, a count or a share [unknown-unit]
      hint: did you mean `500 g`?
    recipes/light-syrup.toml:1:6: error: two recipes have the id `light-syrup` [duplicate-id]
      recipes/glaze.toml:1:6: the first
      hint: give one of them another id
    recipes/notes.txt: warning: `recipes/notes.txt` is not read [stray-file]
      hint: only files that end in .toml are read
    "#);
}

#[test]
fn ascii_has_no_other_characters() {
    let text = shown_as(RenderOptions { unicode: false, ..RenderOptions::default() });
    assert_snapshot!(text, @r#"
    unknown-ingredient

      x the book has no ingredient `sugar-castor`
       ,-[recipes/glaze.toml:4:14]
     3 | [[line]]
     4 | ingredient = "sugar-castor"
       :              ^^^^^^^|^^^^^^
       :                     `-- not known
     5 | amount = "500 gr"
       `----
      hint: did you mean `sugar-caster`?

    unknown-unit

      x `gr` is not a unit; `amount` takes a mass, a volume, a count or a share
       ,-[recipes/glaze.toml:5:15]
     4 | ingredient = "sugar-castor"
     5 | amount = "500 gr"
       :               ^|
       :                `-- not known
       `----
      hint: did you mean `500 g`?

    duplicate-id

      x two recipes have the id `light-syrup`
       ,-[recipes/light-syrup.toml:1:6]
     1 | id = "light-syrup"
       :      ^^^^^^|^^^^^^
       :            `-- again
     2 | title = { en = "Light syrup" }
       `----
       ,-[recipes/glaze.toml:1:6]
     1 | id = "light-syrup"
       :      ^^^^^^|^^^^^^
       :            `-- the first
     2 | title = { en = "Light syrup" }
       `----
      hint: give one of them another id

    stray-file

      ! `recipes/notes.txt` is not read
      hint: only files that end in .toml are read
    "#);
}

#[test]
fn little_width_wraps() {
    let text = shown_as(RenderOptions { width: 50, ..RenderOptions::default() });
    assert_snapshot!(text, @r#"
    unknown-ingredient

      × the book has no ingredient `sugar-castor`
       ╭─[recipes/glaze.toml:4:14]
     3 │ [[line]]
     4 │ ingredient = "sugar-castor"
       ·              ───────┬──────
       ·                     ╰── not known
     5 │ amount = "500 gr"
       ╰────
      hint: did you mean `sugar-caster`?

    unknown-unit

      × `gr` is not a unit; `amount` takes a mass, a
      │ volume, a count or a share
       ╭─[recipes/glaze.toml:5:15]
     4 │ ingredient = "sugar-castor"
     5 │ amount = "500 gr"
       ·               ─┬
       ·                ╰── not known
       ╰────
      hint: did you mean `500 g`?

    duplicate-id

      × two recipes have the id `light-syrup`
       ╭─[recipes/light-syrup.toml:1:6]
     1 │ id = "light-syrup"
       ·      ──────┬──────
       ·            ╰── again
     2 │ title = { en = "Light syrup" }
       ╰────
       ╭─[recipes/glaze.toml:1:6]
     1 │ id = "light-syrup"
       ·      ──────┬──────
       ·            ╰── the first
     2 │ title = { en = "Light syrup" }
       ╰────
      hint: give one of them another id

    stray-file

      ⚠ `recipes/notes.txt` is not read
      hint: only files that end in .toml are read
    "#);
}
