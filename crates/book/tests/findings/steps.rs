//! Steps and what is watched during them.

use insta::assert_snapshot;

use crate::after_a_line;

fn step(id: &str, keys: &str) -> String {
    format!("[[step]]\nid = \"{id}\"\ntext = {{ en = \"Do.\" }}\n{keys}\n")
}

fn control(keys: &str) -> String {
    step("cook", &format!("[[step.control]]\n{keys}"))
}

#[test]
fn two_steps_of_one_id() {
    let text = after_a_line(&[step("mix", ""), step("mix", "")].concat());
    assert_snapshot!(text, @r#"
    duplicate-id

      × the recipe has two steps `mix`
        ╭─[recipes/glaze.toml:11:6]
      6 │ [[step]]
      7 │ id = "mix"
        ·      ──┬──
        ·        ╰── the first
      8 │ text = { en = "Do." }
      9 │
     10 │ [[step]]
     11 │ id = "mix"
        ·      ──┬──
        ·        ╰── again
     12 │ text = { en = "Do." }
        ╰────
      hint: give one of them another id
    "#);
}

#[test]
fn step_after_an_unknown_one() {
    let text = after_a_line(&[step("mix", ""), step("bake", r#"after = ["mixx"]"#)].concat());
    assert_snapshot!(text, @r#"
    unknown-step

      × the recipe has no step `mixx`
        ╭─[recipes/glaze.toml:13:10]
     12 │ text = { en = "Do." }
     13 │ after = ["mixx"]
        ·          ───┬──
        ·             ╰── not known
        ╰────
      hint: did you mean `mix`?
    "#);
}

#[test]
fn step_after_one_twice() {
    let text = after_a_line(&[step("mix", ""), step("bake", r#"after = ["mix", "mix"]"#)].concat());
    assert_snapshot!(text, @r#"
    duplicate-entry

      × the same stands twice in `after`
        ╭─[recipes/glaze.toml:13:17]
     12 │ text = { en = "Do." }
     13 │ after = ["mix", "mix"]
        ·          ──┬──  ──┬──
        ·            │      ╰── again
        ·            ╰── the first time
        ╰────
      hint: take one of them out
    "#);
}

#[test]
fn step_that_waits_for_itself() {
    let text = after_a_line(&step("mix", r#"after = ["mix"]"#));
    assert_snapshot!(text, @r#"
    step-cycle

      × the step `mix` waits for itself
       ╭─[recipes/glaze.toml:9:9]
     8 │ text = { en = "Do." }
     9 │ after = ["mix"]
       ·         ───┬───
       ·            ╰── it waits for these
       ╰────
      hint: a step without `after` waits for the one above; `after = []` waits for nothing
    "#);
}

#[test]
fn steps_that_wait_for_each_other_by_order() {
    let text = after_a_line(&[step("mix", r#"after = ["bake"]"#), step("bake", "")].concat());
    assert_snapshot!(text, @r#"
    step-cycle

      × the steps `bake`, `mix` wait for each other
        ╭─[recipes/glaze.toml:11:6]
      8 │ text = { en = "Do." }
      9 │ after = ["bake"]
        ·         ────┬───
        ·             ╰── it waits for these
     10 │ [[step]]
     11 │ id = "bake"
        ·      ───┬──
        ·         ╰── it waits for the step above
     12 │ text = { en = "Do." }
        ╰────
      hint: a step without `after` waits for the one above; `after = []` waits for nothing
    "#);
}

#[test]
fn active_time_as_a_mass() {
    let text = after_a_line(&step("mix", r#"active = "10 kg""#));
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `10 kg` is a mass; `active` takes a time
       ╭─[recipes/glaze.toml:9:14]
     8 │ text = { en = "Do." }
     9 │ active = "10 kg"
       ·              ─┬
       ·               ╰── a mass
       ╰────
      hint: write it like `10 min`
    "#);
}

#[test]
fn unknown_labour() {
    let text = after_a_line(&step("mix", r#"labour = "per-peice""#));
    assert_snapshot!(text, @r#"
    unknown-value

      × `labour` can't be `per-peice`
       ╭─[recipes/glaze.toml:9:10]
     8 │ text = { en = "Do." }
     9 │ labour = "per-peice"
       ·          ─────┬─────
       ·               ╰── not known
       ╰────
      hint: did you mean `per-piece`? `labour` is `per-batch`, `per-piece` or `with-mass`
    "#);
}

#[test]
fn step_without_a_text() {
    let text = after_a_line(
        r#"[[step]]
id = "mix""#,
    );
    assert_snapshot!(text, @r#"
    missing-key

      × a step needs `text`
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [[step]]
       · ────┬───
       ·     ╰── has no `text`
     7 │ id = "mix"
       ╰────
      hint: add `text = { en = "..." }`
    "#);
}

#[test]
fn control_without_a_measure() {
    let text = after_a_line(&control(r#"target = "80 °C""#));
    assert_snapshot!(text, @r#"
    missing-key

      × a control needs `measure`
        ╭─[recipes/glaze.toml:9:1]
      8 │ text = { en = "Do." }
      9 │ [[step.control]]
        · ────────┬───────
        ·         ╰── has no `measure`
     10 │ target = "80 °C"
        ╰────
      hint: add `measure = "temperature"`
    "#);
}

#[test]
fn set_point_of_another_measure() {
    let text = after_a_line(&control(
        r#"measure = "temperature"
target = "10 min""#,
    ));
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `10 min` is a time; `target` takes a temperature
        ╭─[recipes/glaze.toml:11:14]
     10 │ measure = "temperature"
     11 │ target = "10 min"
        ·              ─┬─
        ·               ╰── a time
        ╰────
      hint: write it like `80 °C`
    "#);
}

#[test]
fn least_above_target_above_most() {
    let text = after_a_line(&control(
        r#"measure = "temperature"
min = "90 °C"
target = "80 °C"
max = "150 °F""#,
    ));
    assert_snapshot!(text, @r#"
    set-point-order

      × the control's `min` is above its `target`
        ╭─[recipes/glaze.toml:11:7]
     10 │ measure = "temperature"
     11 │ min = "90 °C"
        ·       ───┬───
        ·          ╰── `min`
     12 │ target = "80 °C"
        ·          ───┬───
        ·             ╰── `target`
     13 │ max = "150 °F"
        ╰────
      hint: `min` is at most `target`, and `target` at most `max`

    set-point-order

      × the control's `target` is above its `max`
        ╭─[recipes/glaze.toml:12:10]
     11 │ min = "90 °C"
     12 │ target = "80 °C"
        ·          ───┬───
        ·             ╰── `target`
     13 │ max = "150 °F"
        ·       ────┬───
        ·           ╰── `max`
        ╰────
      hint: `min` is at most `target`, and `target` at most `max`
    "#);
}

#[test]
fn least_above_most_without_a_target() {
    let text = after_a_line(&control(
        r#"measure = "time"
min = "1 h"
max = "59 min""#,
    ));
    assert_snapshot!(text, @r#"
    set-point-order

      × the control's `min` is above its `max`
        ╭─[recipes/glaze.toml:11:7]
     10 │ measure = "time"
     11 │ min = "1 h"
        ·       ──┬──
        ·         ╰── `min`
     12 │ max = "59 min"
        ·       ────┬───
        ·           ╰── `max`
        ╰────
      hint: `min` is at most `target`, and `target` at most `max`
    "#);
}

#[test]
fn observation_with_a_limit() {
    let text = after_a_line(&control(
        r#"measure = "observation"
min = "golden""#,
    ));
    assert_snapshot!(text, @r#"
    observation-limit

      × an observation has no `min`
        ╭─[recipes/glaze.toml:11:7]
     10 │ measure = "observation"
     11 │ min = "golden"
        ·       ────┬───
        ·           ╰── a limit
        ╰────
      hint: say in `target` what is seen, smelt or felt when it is right
    "#);
}

#[test]
fn control_that_says_nothing() {
    let text = after_a_line(&control(r#"measure = "time""#));
    assert_snapshot!(text, @r#"
    empty-control

      × the control doesn't say what is right
        ╭─[recipes/glaze.toml:9:1]
      8 │ text = { en = "Do." }
      9 │ [[step.control]]
        · ────────┬───────
        ·         ╰── no set point
     10 │ measure = "time"
        ╰────
      hint: add a `target`, or a `min` and a `max`
    "#);
}

#[test]
fn critical_control_without_a_limit_is_a_warning() {
    let text = after_a_line(&control(
        r#"measure = "temperature"
target = "4 °C"
critical = true"#,
    ));
    assert_snapshot!(text, @r#"
    critical-without-limit

      ⚠ a food-safety limit needs a limit
        ╭─[recipes/glaze.toml:12:12]
     11 │ target = "4 °C"
     12 │ critical = true
        ·            ──┬─
        ·              ╰── critical
        ╰────
      hint: add the `min` or `max` that your food-safety plan sets; local law and licensed practice
            decide
    "#);
}
