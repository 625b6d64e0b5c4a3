//! Yields from sheets that are cut.

use insta::assert_snapshot;

use crate::after_a_line;

/// What is shown for a yield with these keys.
fn as_yield(keys: &str) -> String {
    after_a_line(&format!("[yield]\n{keys}"))
}

const SHEET: &str = r#"sheet = { length = "60 cm", width = "40 cm" }"#;

#[test]
fn piece_without_a_sheet() {
    assert_snapshot!(as_yield(r#"disc = "7.5 cm""#), @r#"
    missing-key

      × the yield needs `sheet`
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [yield]
       · ───┬───
       ·    ╰── has no `sheet`
     7 │ disc = "7.5 cm"
       ╰────
      hint: add `sheet = { length = "60 cm", width = "40 cm" }`
    "#);
}

#[test]
fn sheet_without_a_piece() {
    assert_snapshot!(as_yield(SHEET), @r#"
    no-piece

      × the yield doesn't say what is cut
       ╭─[recipes/glaze.toml:7:9]
     6 │ [yield]
     7 │ sheet = { length = "60 cm", width = "40 cm" }
       ·         ──────────────────┬──────────────────
       ·                           ╰── into what?
       ╰────
      hint: add one of `disc`, `ring`, `rectangle` or `strip_around`, such as `disc = "7.5 cm"`
    "#);
}

#[test]
fn sheet_beside_a_number_of_pieces() {
    assert_snapshot!(as_yield(&format!("{SHEET}\ndisc = \"7.5 cm\"\npieces = 35")), @r#"
    two-yields

      × the sizes of sheet and piece say how many there are
       ╭─[recipes/glaze.toml:9:1]
     6 │ [yield]
     7 │ sheet = { length = "60 cm", width = "40 cm" }
       ·         ──────────────────┬──────────────────
       ·                           ╰── cut from this
     8 │ disc = "7.5 cm"
     9 │ pieces = 35
       · ───┬──
       ·    ╰── so this says it again
       ╰────
      hint: take `pieces` out; what a piece weighs is its `piece_mass`
    "#);
}

#[test]
fn disc_larger_than_the_sheet() {
    assert_snapshot!(as_yield(&format!("{SHEET}\ndisc = \"75 cm\"")), @r#"
    impossible-shape

      × not even one piece fits on the sheet
       ╭─[recipes/glaze.toml:8:8]
     6 │ [yield]
     7 │ sheet = { length = "60 cm", width = "40 cm" }
       ·         ──────────────────┬──────────────────
       ·                           ╰── the sheet, its edges free
     8 │ disc = "75 cm"
       ·        ───┬───
       ·           ╰── one piece
       ╰────
      hint: take a larger sheet, a smaller edge or a smaller piece; check the units
    "#);
}

#[test]
fn edges_as_wide_as_the_sheet() {
    let text = as_yield(
        r#"sheet = { length = "60 cm", width = "40 cm", edge = "20 cm" }
disc = "7.5 cm""#,
    );
    assert_snapshot!(text, @r#"
    impossible-shape

      × the edges leave nothing of the sheet
       ╭─[recipes/glaze.toml:7:53]
     6 │ [yield]
     7 │ sheet = { length = "60 cm", width = "40 cm", edge = "20 cm" }
       ·         ──────────────────────────┬──────────────────────────┬
       ·                                   │                          ╰── on all four sides
       ·                                   ╰── the sheet
     8 │ disc = "7.5 cm"
       ╰────
      hint: an edge is kept free twice in each direction; give the width of one
    "#);
}

#[test]
fn gap_below_nothing() {
    let text = as_yield(
        r#"sheet = { length = "60 cm", width = "40 cm", gap = "-5 mm" }
disc = "7.5 cm""#,
    );
    assert_snapshot!(text, @r#"
    below-zero

      × `gap` can't be below 0
       ╭─[recipes/glaze.toml:7:53]
     6 │ [yield]
     7 │ sheet = { length = "60 cm", width = "40 cm", gap = "-5 mm" }
       ·                                                     ─┬
       ·                                                      ╰── below 0
     8 │ disc = "7.5 cm"
       ╰────
      hint: take the `-` out
    "#);
}

#[test]
fn rectangles_staggered() {
    let text =
        as_yield(&format!("{SHEET}\nrectangle = [\"12 cm\", \"4 cm\"]\nlayout = \"staggered\""));
    assert_snapshot!(text, @r#"
    impossible-shape

      × only discs and rings can lie staggered
       ╭─[recipes/glaze.toml:9:10]
     7 │ sheet = { length = "60 cm", width = "40 cm" }
     8 │ rectangle = ["12 cm", "4 cm"]
       ·             ────────┬────────
       ·                     ╰── has corners
     9 │ layout = "staggered"
       ·          ─────┬─────
       ·               ╰── staggered
       ╰────
      hint: write `layout = "rows"`, or take it out
    "#);
}

#[test]
fn unknown_layout_and_no_sheets() {
    let text = as_yield(&format!("{SHEET}\ndisc = \"7.5 cm\"\nlayout = \"row\"\nsheets = 0"));
    assert_snapshot!(text, @r#"
    unknown-value

      × `layout` can't be `row`
        ╭─[recipes/glaze.toml:9:10]
      8 │ disc = "7.5 cm"
      9 │ layout = "row"
        ·          ──┬──
        ·            ╰── not known
     10 │ sheets = 0
        ╰────
      hint: did you mean `rows`? `layout` is `best`, `rows` or `staggered`

    out-of-range

      × `sheets` must be from 1 to 4294967295
        ╭─[recipes/glaze.toml:10:10]
      9 │ layout = "row"
     10 │ sheets = 0
        ·          ┬
        ·          ╰── out of range
        ╰────
    "#);
}

#[test]
fn piece_weighed_twice() {
    let text = as_yield(&format!(
        "{SHEET}\ndisc = \"7.5 cm\"\npiece_mass = \"14 g\"\nthickness = \"3 mm\""
    ));
    assert_snapshot!(text, @r#"
    two-piece-masses

      × what a piece weighs is given twice
        ╭─[recipes/glaze.toml:9:14]
      8 │ disc = "7.5 cm"
      9 │ piece_mass = "14 g"
        ·              ───┬──
        ·                 ╰── by its mass
     10 │ thickness = "3 mm"
        ·             ───┬──
        ·                ╰── and by its thickness
        ╰────
      hint: keep the mass; the thickness follows from it
    "#);
}

#[test]
fn misspelt_key_of_a_sheet_yield() {
    assert_snapshot!(as_yield(&format!("{SHEET}\ndisk = \"7.5 cm\"")), @r#"
    unknown-key

      × `disk` is not a key of the yield
       ╭─[recipes/glaze.toml:8:1]
     7 │ sheet = { length = "60 cm", width = "40 cm" }
     8 │ disk = "7.5 cm"
       · ──┬─
       ·   ╰── not known
       ╰────
      hint: did you mean `disc`?
    "#);
    assert_snapshot!(as_yield("sheat = \"60 cm\""), @r#"
    empty-yield

      × the yield says nothing
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [yield]
       · ───┬───
       ·    ╰── empty
     7 │ sheat = "60 cm"
       ╰────
      hint: add `mass = "6 kg"` or `pieces = 48`, or take it out: losses decide then

    unknown-key

      × `sheat` is not a key of the yield
       ╭─[recipes/glaze.toml:7:1]
     6 │ [yield]
     7 │ sheat = "60 cm"
       · ──┬──
       ·   ╰── not known
       ╰────
      hint: did you mean `sheet`?
    "#);
}
