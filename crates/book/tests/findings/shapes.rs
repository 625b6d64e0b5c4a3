//! Amounts by shape, and yields from sheets.

use insta::assert_snapshot;

use crate::{after_a_line, as_amount};

#[test]
fn sound_shapes_have_no_findings() {
    for amount in [
        r#"{ disc = "16 cm", thickness = "4 mm" }"#,
        r#"{ disc = "16 cm", thickness = "4 mm", count = "48 pieces" }"#,
        r#"{ ring = ["18 cm", "14 cm"], thickness = "4 mm" }"#,
        r#"{ rectangle = ["60 cm", "40 cm"], thickness = "5 mm" }"#,
        r#"{ strip_around = "16 cm", height = "4.5 cm", thickness = "3 mm" }"#,
        r#"{ fill = { cylinder = "16 cm", height = "4.5 cm" }, share = "90 %" }"#,
        r#"{ fill = { ring = ["24 cm", "18 cm"], height = "4 cm" } }"#,
        r#"{ fill = { frame = ["60 cm", "40 cm"], height = "4 cm" } }"#,
        r#"{ fill = { half_sphere = "70 mm" }, count = "1/2 pieces" }"#,
        r#"{ fill = { cone_frustum = ["70 mm", "50 mm"], height = "35 mm" } }"#,
        r#"{ fill = { loaf = ["22 cm", "11 cm"], bottom = ["20 cm", "8 cm"], height = "7 cm" } }"#,
        r#"{ fill = { half_cylinder = "8 cm", length = "50 cm" } }"#,
        r#"{ fill = { savarin = "18 cm", tube = "5 cm" } }"#,
    ] {
        assert_eq!(as_amount(amount), "", "{amount}");
    }
}

#[test]
fn sound_sheets_have_no_findings() {
    let sheet = r#"sheet = { length = "60 cm", width = "40 cm", gap = "0 mm", edge = "1 cm" }"#;
    for rest in [
        "disc = \"7.5 cm\"\npiece_mass = \"14 g\"",
        "disc = \"7.5 cm\"\nlayout = \"staggered\"\nsheets = 3",
        "ring = [\"8 cm\", \"3 cm\"]\nthickness = \"3 mm\"",
        "rectangle = [\"37 cm\", \"4 cm\"]\nlayout = \"rows\"",
        "strip_around = \"16 cm\"\nheight = \"4.5 cm\"\nlayout = \"best\"",
    ] {
        assert_eq!(after_a_line(&format!("[yield]\n{sheet}\n{rest}")), "", "{rest}");
    }
}

#[test]
fn misspelt_shape() {
    assert_snapshot!(as_amount(r#"{ disk = "16 cm", thickness = "4 mm" }"#), @r#"
    unknown-key

      × `disk` is not a key of a shape
       ╭─[recipes/glaze.toml:5:12]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disk = "16 cm", thickness = "4 mm" }
       ·            ──┬─
       ·              ╰── not known
       ╰────
      hint: did you mean `disc`?
    "#);
}

#[test]
fn length_without_a_shape() {
    assert_snapshot!(as_amount(r#""16 cm""#), @r#"
    wrong-dimension

      × `16 cm` is a length; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:14]
     4 │ ingredient = "milk-whole"
     5 │ amount = "16 cm"
       ·              ─┬
       ·               ╰── a length
       ╰────
      hint: give a shape by its sizes, as in `amount = { disc = "16 cm", thickness = "4 mm" }`
    "#);
}

#[test]
fn sizes_of_no_shape() {
    assert_snapshot!(as_amount(r#"{ thickness = "4 mm" }"#), @r#"
    no-shape

      × the sizes don't say of which shape they are
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = { thickness = "4 mm" }
       ·          ───────────┬──────────
       ·                     ╰── of what?
       ╰────
      hint: add one of `disc`, `ring`, `rectangle`, `strip_around` or `fill`
    "#);
}

#[test]
fn sizes_of_two_shapes() {
    let text = as_amount(r#"{ disc = "16 cm", ring = ["18 cm", "14 cm"], thickness = "4 mm" }"#);
    assert_snapshot!(text, @r#"
    two-shapes

      × one shape at a time
       ╭─[recipes/glaze.toml:5:12]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 cm", ring = ["18 cm", "14 cm"], thickness = "4 mm" }
       ·            ──┬─            ──┬─
       ·              │               ╰── a ring
       ·              ╰── a disc
       ╰────
      hint: keep one of `disc` or `ring`
    "#);
}

#[test]
fn size_that_a_shape_does_not_have() {
    let text = as_amount(r#"{ disc = "16 cm", thickness = "4 mm", height = "2 cm" }"#);
    assert_snapshot!(text, @r#"
    unknown-key

      × `height` is not a key of a disc
       ╭─[recipes/glaze.toml:5:48]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 cm", thickness = "4 mm", height = "2 cm" }
       ·                                                ───┬──
       ·                                                   ╰── not known
       ╰────
      hint: a disc has `disc`, `thickness` and `count`
    "#);
}

#[test]
fn flat_shape_without_a_thickness() {
    assert_snapshot!(as_amount(r#"{ disc = "16 cm", thicknes = "4 mm" }"#), @r#"
    unknown-key

      × `thicknes` is not a key of a disc
       ╭─[recipes/glaze.toml:5:28]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 cm", thicknes = "4 mm" }
       ·                            ────┬───
       ·                                ╰── not known
       ╰────
      hint: did you mean `thickness`?
    "#);
    assert_snapshot!(as_amount(r#"{ disc = "16 cm" }"#), @r#"
    missing-key

      × a disc needs `thickness`
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 cm" }
       ·          ─────────┬────────
       ·                   ╰── has no `thickness`
       ╰────
      hint: add `thickness = "4 mm"`
    "#);
}

#[test]
fn size_of_another_dimension_and_of_nothing() {
    let text = as_amount(r#"{ disc = "16 g", thickness = "0 mm" }"#);
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `16 g` is a mass; `disc` takes a length
       ╭─[recipes/glaze.toml:5:23]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 g", thickness = "0 mm" }
       ·                       ┬
       ·                       ╰── a mass
       ╰────
      hint: write it like `4 mm`

    not-above-zero

      × `thickness` must be above 0
       ╭─[recipes/glaze.toml:5:39]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 g", thickness = "0 mm" }
       ·                                       ───┬──
       ·                                          ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn no_pieces_of_a_shape() {
    let text = as_amount(r#"{ disc = "16 cm", thickness = "4 mm", count = "0 pieces" }"#);
    assert_snapshot!(text, @r#"
    not-above-zero

      × `count` must be above 0
       ╭─[recipes/glaze.toml:5:56]
     4 │ ingredient = "milk-whole"
     5 │ amount = { disc = "16 cm", thickness = "4 mm", count = "0 pieces" }
       ·                                                        ─────┬────
       ·                                                             ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn hole_as_large_as_its_ring() {
    let text = as_amount(r#"{ ring = ["14 cm", "18 cm"], thickness = "4 mm" }"#);
    assert_snapshot!(text, @r#"
    impossible-shape

      × a hole must be smaller than the ring around it
       ╭─[recipes/glaze.toml:5:19]
     4 │ ingredient = "milk-whole"
     5 │ amount = { ring = ["14 cm", "18 cm"], thickness = "4 mm" }
       ·                   ─────────┬────────
       ·                            ╰── these sizes
       ╰────
      hint: the outer diameter comes first; perhaps the two are exchanged
    "#);
}

#[test]
fn ring_of_one_size() {
    assert_snapshot!(as_amount(r#"{ ring = "14 cm", thickness = "4 mm" }"#), @r#"
    wrong-type

      × `ring` takes two lengths in a list, not text
       ╭─[recipes/glaze.toml:5:19]
     4 │ ingredient = "milk-whole"
     5 │ amount = { ring = "14 cm", thickness = "4 mm" }
       ·                   ───┬───
       ·                      ╰── text
       ╰────
      hint: write it as in `ring = ["18 cm", "14 cm"]`
    "#);
    assert_snapshot!(as_amount(r#"{ ring = ["14 cm"], thickness = "4 mm" }"#), @r#"
    wrong-count

      × `ring` takes two lengths
       ╭─[recipes/glaze.toml:5:19]
     4 │ ingredient = "milk-whole"
     5 │ amount = { ring = ["14 cm"], thickness = "4 mm" }
       ·                   ────┬────
       ·                       ╰── not two
       ╰────
      hint: write it as in `ring = ["18 cm", "14 cm"]`
    "#);
}

#[test]
fn mould_above_its_rim() {
    let text = as_amount(r#"{ fill = { half_sphere = "7 cm" }, share = "110 %" }"#);
    assert_snapshot!(text, @r#"
    out-of-range

      × `share` can't be above 100 %
       ╭─[recipes/glaze.toml:5:53]
     4 │ ingredient = "milk-whole"
     5 │ amount = { fill = { half_sphere = "7 cm" }, share = "110 %" }
       ·                                                     ───┬───
       ·                                                        ╰── more than the whole
       ╰────
      hint: at 100 % the mould is full
    "#);
}

#[test]
fn mould_without_a_size() {
    let text = as_amount(r#"{ fill = { loaf = ["22 cm", "11 cm"], height = "7 cm" } }"#);
    assert_snapshot!(text, @r#"
    missing-key

      × a loaf tin needs `bottom`
       ╭─[recipes/glaze.toml:5:19]
     4 │ ingredient = "milk-whole"
     5 │ amount = { fill = { loaf = ["22 cm", "11 cm"], height = "7 cm" } }
       ·                   ───────────────────────┬──────────────────────
       ·                                          ╰── has no `bottom`
       ╰────
      hint: add `bottom = ["20 cm", "8 cm"]`
    "#);
}

#[test]
fn tube_too_wide_for_its_ring() {
    let text = as_amount(r#"{ fill = { savarin = "18 cm", tube = "10 cm" } }"#);
    assert_snapshot!(text, @r#"
    impossible-shape

      × the tube of a ring can be half as wide as the ring at the most
       ╭─[recipes/glaze.toml:5:31]
     4 │ ingredient = "milk-whole"
     5 │ amount = { fill = { savarin = "18 cm", tube = "10 cm" } }
       ·                               ───┬───
       ·                                  ╰── these sizes
       ╰────
      hint: measure across the whole ring, and across its tube at the rim
    "#);
}
