//! Yield, batch, losses and storage of a recipe.

use insta::assert_snapshot;

use crate::after_a_line;

#[test]
fn yield_by_mass_and_by_pieces() {
    let text = after_a_line(
        r#"[yield]
mass = "1 kg"
pieces = 20"#,
    );
    assert_snapshot!(text, @r#"
    two-yields

      × the yield is given twice, by mass and by pieces
       ╭─[recipes/glaze.toml:8:10]
     6 │ [yield]
     7 │ mass = "1 kg"
       ·        ───┬──
       ·           ╰── and by mass
     8 │ pieces = 20
       ·          ─┬
       ·           ╰── by pieces
       ╰────
      hint: keep one; pieces with a `piece_mass` say the mass too
    "#);
}

#[test]
fn piece_mass_without_pieces() {
    let text = after_a_line(
        r#"[yield]
piece_mass = "50 g""#,
    );
    assert_snapshot!(text, @r#"
    piece-mass-alone

      × a mass of one piece doesn't say how many there are
       ╭─[recipes/glaze.toml:7:14]
     6 │ [yield]
     7 │ piece_mass = "50 g"
       ·              ───┬──
       ·                 ╰── of how many?
       ╰────
      hint: add `pieces = 48`
    "#);
}

#[test]
fn yield_that_says_nothing() {
    let text = after_a_line("[yield]");
    assert_snapshot!(text, @r#"
    empty-yield

      × the yield says nothing
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [yield]
       · ───┬───
       ·    ╰── empty
       ╰────
      hint: add `mass = "6 kg"` or `pieces = 48`, or take it out: losses decide then
    "#);
}

#[test]
fn no_pieces_at_all() {
    let text = after_a_line(
        "[yield]
pieces = 0",
    );
    assert_snapshot!(text, @r#"
    not-above-zero

      × `pieces` must be above 0
       ╭─[recipes/glaze.toml:7:10]
     6 │ [yield]
     7 │ pieces = 0
       ·          ┬
       ·          ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn pieces_as_a_decimal() {
    let text = after_a_line(
        "[yield]
pieces = 24.5",
    );
    assert_snapshot!(text, @r#"
    wrong-type

      × `pieces` takes a whole number, not a decimal number
       ╭─[recipes/glaze.toml:7:10]
     6 │ [yield]
     7 │ pieces = 24.5
       ·          ──┬─
       ·            ╰── a decimal number
       ╰────
      hint: write it as in `pieces = 48`
    "#);
}

#[test]
fn pieces_of_too_many_digits() {
    let text = after_a_line(
        "[yield]
pieces = 1234567890123456789",
    );
    assert_snapshot!(text, @r#"
    bad-number

      × `pieces` has more than 18 digits
       ╭─[recipes/glaze.toml:7:10]
     6 │ [yield]
     7 │ pieces = 1234567890123456789
       ·          ─────────┬─────────
       ·                   ╰── too long
       ╰────
    "#);
}

#[test]
fn yield_by_volume() {
    let text = after_a_line(
        r#"[yield]
mass = "1 L""#,
    );
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `1 L` is a volume; `mass` takes a mass
       ╭─[recipes/glaze.toml:7:11]
     6 │ [yield]
     7 │ mass = "1 L"
       ·           ┬
       ·           ╰── a volume
       ╰────
      hint: write it like `500 g`
    "#);
}

#[test]
fn least_batch_above_the_most() {
    let text = after_a_line(
        r#"[batch]
max = "800 g"
min = "1 kg""#,
    );
    assert_snapshot!(text, @r#"
    batch-bounds

      × the batch's least is more than its most
       ╭─[recipes/glaze.toml:8:7]
     6 │ [batch]
     7 │ max = "800 g"
       ·       ───┬───
       ·          ╰── the most
     8 │ min = "1 kg"
       ·       ───┬──
       ·          ╰── the least
       ╰────
      hint: perhaps the two are exchanged
    "#);
}

#[test]
fn equipment_that_no_site_has_is_a_warning() {
    let text = after_a_line(
        r#"[batch]
equipment = "mixr""#,
    );
    assert_snapshot!(text, @r#"
    unknown-equipment

      ⚠ no site has equipment of the class `mixr`
       ╭─[recipes/glaze.toml:7:13]
     6 │ [batch]
     7 │ equipment = "mixr"
       ·             ───┬──
       ·                ╰── at no site
       ╰────
      hint: did you mean `mixer`?
    "#);
}

#[test]
fn equipment_unlike_any_is_a_warning() {
    let text = after_a_line(
        r#"[batch]
equipment = "tunnel-oven""#,
    );
    assert_snapshot!(text, @r#"
    unknown-equipment

      ⚠ no site has equipment of the class `tunnel-oven`
       ╭─[recipes/glaze.toml:7:13]
     6 │ [batch]
     7 │ equipment = "tunnel-oven"
       ·             ──────┬──────
       ·                   ╰── at no site
       ╰────
      hint: add an `[[equipment]]` of this class to a site, or no batch is bounded by it
    "#);
}

#[test]
fn loss_of_the_whole() {
    let text = after_a_line(
        r#"[[loss]]
kind = "water"
fraction = "100 %""#,
    );
    assert_snapshot!(text, @r#"
    out-of-range

      × `fraction` must be below 100 %, or nothing is left
       ╭─[recipes/glaze.toml:8:12]
     7 │ kind = "water"
     8 │ fraction = "100 %"
       ·            ───┬───
       ·               ╰── the whole or more
       ╰────
      hint: give the part that is lost, not the part that is left
    "#);
}

#[test]
fn loss_without_a_kind() {
    let text = after_a_line(
        r#"[[loss]]
fraction = "4 %""#,
    );
    assert_snapshot!(text, @r#"
    missing-key

      × a loss needs `kind`
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [[loss]]
       · ────┬───
       ·     ╰── has no `kind`
     7 │ fraction = "4 %"
       ╰────
      hint: add `kind = "water"`
    "#);
}

#[test]
fn loss_that_says_nothing() {
    let text = after_a_line(
        r#"[[loss]]
stage = "cook""#,
    );
    assert_snapshot!(text, @r#"
    empty-loss

      × the loss doesn't say how much is lost
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [[loss]]
       · ────┬───
       ·     ╰── how much?
     7 │ stage = "cook"
       ╰────
      hint: add `fraction = "4 %"` with its `kind`, or `residue = "30 g"`
    "#);
}

#[test]
fn loss_by_fraction_and_residue() {
    let text = after_a_line(
        r#"[[loss]]
kind = "whole"
fraction = "4 %"
residue = "30 g""#,
    );
    assert_snapshot!(text, @r#"
    two-losses

      × a loss is a fraction or a residue, not both
       ╭─[recipes/glaze.toml:9:11]
     7 │ kind = "whole"
     8 │ fraction = "4 %"
       ·            ──┬──
       ·              ╰── and a part of what is there
     9 │ residue = "30 g"
       ·           ───┬──
       ·              ╰── a mass that stays behind
       ╰────
      hint: make two losses of it, in the order in which they happen
    "#);
}

#[test]
fn residue_with_a_kind() {
    let text = after_a_line(
        r#"[[loss]]
kind = "whole"
residue = "30 g""#,
    );
    assert_snapshot!(text, @r#"
    residue-kind

      × a residue has no `kind`: the mix itself stays behind
       ╭─[recipes/glaze.toml:7:8]
     6 │ [[loss]]
     7 │ kind = "whole"
       ·        ───┬───
       ·           ╰── not of a residue
     8 │ residue = "30 g"
       ╰────
      hint: take `kind` out, or give a `fraction` instead of the residue
    "#);
}

#[test]
fn loss_as_a_mass() {
    let text = after_a_line(
        r#"[[loss]]
kind = "water"
fraction = "40 g""#,
    );
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `40 g` is a mass; `fraction` takes a share
       ╭─[recipes/glaze.toml:8:16]
     7 │ kind = "water"
     8 │ fraction = "40 g"
       ·                ┬
       ·                ╰── a mass
       ╰────
      hint: write it like `5 %`
    "#);
}

#[test]
fn storage_without_a_condition() {
    let text = after_a_line(
        r#"[storage]
keeps = "48 h""#,
    );
    assert_snapshot!(text, @r#"
    missing-key

      × the storage needs `condition`
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [storage]
       · ────┬────
       ·     ╰── has no `condition`
     7 │ keeps = "48 h"
       ╰────
      hint: add `condition = "chilled"`
    "#);
}

#[test]
fn unknown_condition() {
    let text = after_a_line(
        r#"[storage]
condition = "fridge""#,
    );
    assert_snapshot!(text, @r#"
    unknown-value

      × `condition` can't be `fridge`
       ╭─[recipes/glaze.toml:7:13]
     6 │ [storage]
     7 │ condition = "fridge"
       ·             ────┬───
       ·                 ╰── not known
       ╰────
      hint: `condition` is `ambient`, `chilled` or `frozen`
    "#);
}
