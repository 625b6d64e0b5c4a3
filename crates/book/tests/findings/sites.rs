//! Sites.

use insta::assert_snapshot;

use crate::{in_site, shown};

#[test]
fn site_without_a_name() {
    let text = shown(&[("sites/station.toml", r#"id = "station""#)]);
    assert_snapshot!(text, @r#"
    missing-key

      × a site needs `name`
       ╭─[sites/station.toml:1:6]
     1 │ id = "station"
       ·      ────┬────
       ·          ╰── has no `name`
       ╰────
      hint: add `name = "Harbour kitchen"`
    "#);
}

#[test]
fn language_that_the_book_lacks() {
    let text = in_site(r#"language = "de""#);
    assert_snapshot!(text, @r#"
    unknown-language

      × the book isn't kept in the language `de`
       ╭─[sites/station.toml:3:12]
     2 │ name = "Station"
     3 │ language = "de"
       ·            ──┬─
       ·              ╰── not one of its own
       ╰────
      hint: `languages` in book.toml has `en` and `fr`
    "#);
}

#[test]
fn label_that_the_book_lacks_is_a_warning() {
    let text = in_site(r#"label = "us""#);
    assert_snapshot!(text, @r#"
    undeclared-label

      ⚠ the book doesn't declare under `us`
       ╭─[sites/station.toml:3:9]
     2 │ name = "Station"
     3 │ label = "us"
       ·         ──┬─
       ·           ╰── not in it
       ╰────
      hint: add it to `labels` in book.toml, which has `eu`
    "#);
}

#[test]
fn currency_spelt_out() {
    let text = in_site(r#"currency = "Euro""#);
    assert_snapshot!(text, @r#"
    bad-currency

      × `Euro` is not a currency code of three capital letters, such as `EUR`
       ╭─[sites/station.toml:3:12]
     2 │ name = "Station"
     3 │ currency = "Euro"
       ·            ───┬──
       ·               ╰── here
       ╰────
    "#);
}

#[test]
fn time_zone_that_is_nowhere() {
    let text = in_site(r#"time_zone = "Europe/Pariss""#);
    assert_snapshot!(text, @r#"
    bad-time-zone

      × there is no time zone `Europe/Pariss`
       ╭─[sites/station.toml:3:13]
     2 │ name = "Station"
     3 │ time_zone = "Europe/Pariss"
       ·             ───────┬───────
       ·                    ╰── here
       ╰────
      hint: did you mean `Europe/Paris`?
    "#);
}

#[test]
fn group_twice() {
    let text = in_site(r#"groups = ["coast", "coast"]"#);
    assert_snapshot!(text, @r#"
    duplicate-entry

      × the same stands twice in `groups`
       ╭─[sites/station.toml:3:20]
     2 │ name = "Station"
     3 │ groups = ["coast", "coast"]
       ·           ───┬───  ───┬───
       ·              │        ╰── again
       ·              ╰── the first time
       ╰────
      hint: take one of them out
    "#);
}

#[test]
fn scale_whose_step_is_above_its_capacity() {
    let text = in_site(
        r#"[[scale]]
name = "bench"
capacity = "1 g"
increment = "6 kg""#,
    );
    assert_snapshot!(text, @r#"
    scale-increment

      × a scale up to 1 g can't read in steps of 6 kg
       ╭─[sites/station.toml:6:13]
     4 │ name = "bench"
     5 │ capacity = "1 g"
       ·            ──┬──
       ·              ╰── the most it weighs
     6 │ increment = "6 kg"
       ·             ───┬──
       ·                ╰── the step
       ╰────
      hint: perhaps the two are exchanged
    "#);
}

#[test]
fn scale_without_an_increment() {
    let text = in_site(
        r#"[[scale]]
name = "bench"
capacity = "6 kg""#,
    );
    assert_snapshot!(text, @r#"
    missing-key

      × a scale needs `increment`
       ╭─[sites/station.toml:3:1]
     2 │ name = "Station"
     3 │ [[scale]]
       · ────┬────
       ·     ╰── has no `increment`
     4 │ name = "bench"
       ╰────
      hint: add `increment = "1 g"`
    "#);
}

#[test]
fn two_scales_of_one_name() {
    let text = in_site(
        r#"[[scale]]
name = "bench"
capacity = "6 kg"
increment = "1 g"
[[scale]]
name = "bench"
capacity = "6 kg"
increment = "1 g""#,
    );
    assert_snapshot!(text, @r#"
    duplicate-entry

      × the scale `bench` stands twice
       ╭─[sites/station.toml:8:8]
     3 │ [[scale]]
     4 │ name = "bench"
       ·        ───┬───
       ·           ╰── the first time
     5 │ capacity = "6 kg"
     6 │ increment = "1 g"
     7 │ [[scale]]
     8 │ name = "bench"
       ·        ───┬───
       ·           ╰── again
     9 │ capacity = "6 kg"
       ╰────
      hint: give each scale a name of its own
    "#);
}

#[test]
fn capacity_of_nothing() {
    let text = in_site(
        r#"[[equipment]]
class = "oven"
capacity = "0 kg""#,
    );
    assert_snapshot!(text, @r#"
    not-above-zero

      × `capacity` must be above 0
       ╭─[sites/station.toml:5:12]
     4 │ class = "oven"
     5 │ capacity = "0 kg"
       ·            ───┬──
       ·               ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

/// What is shown for an oven with these keys.
fn oven(keys: &str) -> String {
    in_site(&format!("[[equipment]]\nclass = \"oven\"\ncapacity = \"9 kg\"\n{keys}"))
}

#[test]
fn trays_that_do_not_say_what_they_take() {
    assert_snapshot!(oven("trays = 6"), @r#"
    no-tray

      × the trays don't say what one of them takes
       ╭─[sites/station.toml:6:9]
     5 │ capacity = "9 kg"
     6 │ trays = 6
       ·         ┬
       ·         ╰── of how many pieces?
       ╰────
      hint: add `tray_pieces = 24`, or the sides: `tray = { length = "60 cm", width = "40 cm" }`
    "#);
}

#[test]
fn a_tray_without_the_number_of_trays() {
    assert_snapshot!(oven("tray_pieces = 24"), @r#"
    missing-key

      × equipment needs `trays`
       ╭─[sites/station.toml:3:1]
     2 │ name = "Station"
     3 │ [[equipment]]
       · ──────┬──────
       ·       ╰── has no `trays`
     4 │ class = "oven"
       ╰────
      hint: add `trays = 6`
    "#);
}

#[test]
fn trays_that_say_twice_what_they_take() {
    let tray = "tray = { length = \"60 cm\", width = \"40 cm\" }";
    assert_snapshot!(oven(&format!("trays = 6\ntray_pieces = 24\n{tray}")), @r#"
    two-trays

      × what a tray takes is given twice
       ╭─[sites/station.toml:8:8]
     6 │ trays = 6
     7 │ tray_pieces = 24
       ·               ─┬
       ·                ╰── and in pieces
     8 │ tray = { length = "60 cm", width = "40 cm" }
       ·        ──────────────────┬──────────────────
       ·                          ╰── by its sides
       ╰────
      hint: keep the sides where recipes state the outline of a piece, else the pieces
    "#);
}

#[test]
fn a_tray_that_is_all_edge() {
    let tray = "tray = { length = \"60 cm\", width = \"40 cm\", edge = \"20 cm\" }";
    assert_snapshot!(oven(&format!("trays = 6\n{tray}")), @r#"
    impossible-shape

      × the edges leave nothing of the tray
       ╭─[sites/station.toml:7:52]
     6 │ trays = 6
     7 │ tray = { length = "60 cm", width = "40 cm", edge = "20 cm" }
       ·        ──────────────────────────┬──────────────────────────┬
       ·                                  │                          ╰── on all four sides
       ·                                  ╰── the tray
       ╰────
      hint: an edge is kept free twice in each direction; give the width of one
    "#);
}

#[test]
fn no_trays_at_all() {
    assert_snapshot!(oven("trays = 0\ntray_pieces = 24"), @r#"
    out-of-range

      × `trays` must be from 1 to 4294967295
       ╭─[sites/station.toml:6:9]
     5 │ capacity = "9 kg"
     6 │ trays = 0
       ·         ┬
       ·         ╰── out of range
     7 │ tray_pieces = 24
       ╰────
    "#);
}

#[test]
fn equipment_of_one_class_twice() {
    let text = in_site(
        r#"[[equipment]]
class = "oven"
capacity = "6 kg"
[[equipment]]
class = "oven"
capacity = "9 kg""#,
    );
    assert_snapshot!(text, @r#"
    duplicate-entry

      × the equipment `oven` stands twice
       ╭─[sites/station.toml:7:9]
     3 │ [[equipment]]
     4 │ class = "oven"
       ·         ───┬──
       ·            ╰── the first time
     5 │ capacity = "6 kg"
     6 │ [[equipment]]
     7 │ class = "oven"
       ·         ───┬──
       ·            ╰── again
     8 │ capacity = "9 kg"
       ╰────
      hint: one capacity bounds a batch; keep the larger, or make two classes of them
    "#);
}
