//! Recipes, and what all documents are made of.

use chablon_wire::{decode_revision, pb};
use prost::Message;

use super::{
    book, decimal, fraction, grams, local, percent, recipe, refused, refused_recipe, site, step,
};

#[test]
fn numbers() {
    let amount = |number| {
        move |recipe: &mut pb::Recipe| {
            let mass = pb::Mass { number, unit: pb::MassUnit::Gram as i32 };
            recipe.lines[1].amount = Some(pb::line::Amount::Mass(mass));
        }
    };
    let at = "recipe.lines[1].amount.mass.number";
    let range = "is out of range: at most 18 digits, and an exponent from -18 to 18";
    for (coefficient, exponent) in [(1, 19), (1, -19), (1, i32::MAX), (10_i64.pow(18), 0)] {
        let refusal = format!("{at}.decimal: {coefficient} x 10^{exponent} {range}");
        refused_recipe(amount(decimal(coefficient, exponent)), &refusal);
    }
    refused_recipe(
        amount(fraction(0, 1, 0)),
        &format!("{at}.fraction.denominator: must be 1 or more"),
    );
    let proper = "is out of range: at most 18 digits, and a proper fraction beside a whole part";
    refused_recipe(amount(fraction(1, 3, 2)), &format!("{at}.fraction: 1 3/2 {proper}"));
    refused_recipe(amount(fraction(1, 0, 2)), &format!("{at}.fraction: 1 0/2 {proper}"));
    refused_recipe(amount(None), &format!("{at}: is required"));
    refused_recipe(amount(Some(pb::Number { form: None })), &format!("{at}: is required"));
    refused_recipe(amount(decimal(0, 0)), &format!("{at}: must be more than 0"));
    refused_recipe(
        amount(decimal(-5, 0)),
        &format!("{at}: `-5` is below zero, which a mass can't be"),
    );
}

#[test]
fn units_and_other_enums() {
    let unit = |unit| {
        move |recipe: &mut pb::Recipe| {
            let mass = pb::Mass { number: decimal(1, 0), unit };
            recipe.lines[0].amount = Some(pb::line::Amount::Mass(mass));
        }
    };
    refused_recipe(unit(0), "recipe.lines[0].amount.mass.unit: is required");
    for unknown in [99, -1] {
        let refusal = format!(
            "recipe.lines[0].amount.mass.unit: {unknown} is not a value that this version knows"
        );
        refused_recipe(unit(unknown), &refusal);
    }
    refused_recipe(|r| r.lines[0].scaling = 0, "recipe.lines[0].scaling: is required");
    refused_recipe(|r| r.steps[1].labour = 0, "recipe.steps[1].labour: is required");
    refused(&book(|b| b.labels.push(0)), "book.labels[1]: is required");
    refused(&site(|s| s.label = 7), "site.label: 7 is not a value that this version knows");
}

#[test]
fn texts() {
    let titled = |title: Vec<pb::LocalisedText>| move |r: &mut pb::Recipe| r.title = title;
    refused_recipe(titled(Vec::new()), "recipe.title: is required");
    refused_recipe(
        titled(vec![local("fr", "Lait"), local("en", "Milk")]),
        "recipe.title[1]: `en` must stand before `fr`",
    );
    refused_recipe(
        titled(vec![local("en", "Milk"), local("en", "Milk")]),
        "recipe.title[1]: `en` is there twice",
    );
    refused_recipe(titled(vec![local("en", " \t")]), "recipe.title[0].text: is required");
    refused_recipe(
        titled(vec![local("English", "Milk")]),
        "recipe.title[0].language: `English` is not a language code of two or three lower-case \
         letters, such as `en`",
    );
}

#[test]
fn ids() {
    refused_recipe(
        |r| r.lines[0].item = Some(pb::line::Item::Ingredient("Honey ".into())),
        "recipe.lines[0].item.ingredient: `Honey ` is not an id; use lower-case letters a-z and \
         digits, with single hyphens between words",
    );
    let long = "a".repeat(65);
    refused_recipe(
        |r| r.lines[0].item = Some(pb::line::Item::Component(long.clone())),
        &format!("recipe.lines[0].item.component: `{long}` is longer than 64 letters"),
    );
    refused_recipe(
        |r| r.lines[0].item = Some(pb::line::Item::Component("honey-milk".into())),
        "recipe.lines[0].item.component: can't be the recipe itself",
    );
    refused_recipe(|r| r.lines[0].item = None, "recipe.lines[0].item: is required");
    refused(&pb::Revision { id: String::new(), ..recipe(|_| ()) }, "id: is required");
    refused(
        &pb::Revision { id: "book".into(), ..book(|_| ()) },
        "id: a group's settings have the id `group`",
    );
}

#[test]
fn lines_and_losses() {
    refused_recipe(|r| r.lines.clear(), "recipe.lines: is required");
    refused_recipe(|r| r.lines[0].amount = None, "recipe.lines[0].amount: is required");
    refused_recipe(
        |r| {
            r.lines[1].base = true;
            r.lines[1].amount = percent(5).map(pb::line::Amount::Share);
        },
        "recipe.lines[1].amount: can't be a share in a base line",
    );
    refused_recipe(
        |r| r.lines[1].step = "bake".into(),
        "recipe.lines[1].step: `bake` is not a step of this recipe",
    );
    let loss = |fraction| {
        let form = pb::FractionLoss { kind: pb::LossKind::Water as i32, fraction };
        pb::Loss { stage: "cook".into(), lost: Some(pb::loss::Lost::Fraction(form)) }
    };
    refused_recipe(
        |r| r.losses = vec![loss(percent(4)), loss(percent(100))],
        "recipe.losses[1].lost.fraction.fraction: 100 % leaves nothing; a loss is less than 100 %",
    );
    refused_recipe(|r| r.losses = vec![pb::Loss::default()], "recipe.losses[0].lost: is required");
}

#[test]
fn steps() {
    let after = |steps: &[&str]| {
        let steps = steps.iter().map(ToString::to_string).collect();
        Some(pb::Predecessors { steps })
    };
    refused_recipe(|r| r.steps[1].id = "warm".into(), "recipe.steps[1]: `warm` is there twice");
    refused_recipe(
        |r| r.steps[1].after = after(&["warm", "bake"]),
        "recipe.steps[1].after.steps[1]: `bake` is not a step of this recipe",
    );
    refused_recipe(
        |r| r.steps[1].after = after(&["warm", "warm"]),
        "recipe.steps[1].after.steps[1]: `warm` is there twice",
    );
    // The second waits for the first, since it states nothing else.
    refused_recipe(
        |r| r.steps[0].after = after(&["stir"]),
        "recipe.steps[0].after: `warm` waits for itself by way of other steps",
    );
    // The first only waits for the two that wait for each other.
    refused_recipe(
        |r| {
            r.steps.insert(0, step("rest"));
            r.steps[0].after = after(&["warm"]);
            r.steps[1].after = after(&["stir"]);
        },
        "recipe.steps[1].after: `warm` waits for itself by way of other steps",
    );
    let taken = recipe(|r| {
        r.steps[0].after = after(&["stir"]);
        r.steps[1].after = after(&[]);
    });
    assert!(decode_revision(&taken.encode_to_vec()).is_ok());
}

#[test]
fn controls() {
    let celsius = |degrees| {
        let unit = pb::TemperatureUnit::Celsius as i32;
        Some(pb::Temperature { number: decimal(degrees, 0), unit })
    };
    let with = |target, min, max| {
        move |recipe: &mut pb::Recipe| {
            let form = pb::TemperatureControl { target, min, max };
            let measure = Some(pb::control::Measure::Temperature(form));
            recipe.steps[0].controls = vec![pb::Control { measure, critical: true }];
        }
    };
    let at = "recipe.steps[0].controls[0].measure.temperature";
    refused_recipe(
        with(celsius(80), celsius(82), None),
        &format!("{at}.target: 80 °C is below 82 °C, which it must not be"),
    );
    refused_recipe(
        with(None, celsius(5), celsius(-5)),
        &format!("{at}.max: -5 °C is below 5 °C, which it must not be"),
    );
    let frozen = recipe(with(celsius(-20), None, celsius(-18)));
    assert!(decode_revision(&frozen.encode_to_vec()).is_ok());
    refused_recipe(
        |r| r.steps[0].controls = vec![pb::Control::default()],
        "recipe.steps[0].controls[0].measure: is required",
    );
}

#[test]
fn yields_and_batches() {
    refused_recipe(|r| r.r#yield = Some(pb::Yield { declared: None }), "recipe.yield: is required");
    let none = pb::PieceYield {
        pieces: Some(pb::Count { number: decimal(0, 0) }),
        piece_mass: None,
        outline: None,
    };
    refused_recipe(
        |r| r.r#yield = Some(pb::Yield { declared: Some(pb::r#yield::Declared::Pieces(none)) }),
        "recipe.yield.pieces.pieces.number: must be more than 0",
    );
    refused_recipe(
        |r| {
            r.batch =
                Some(pb::Batch { max: grams(500), min: grams(501), equipment: String::new() });
        },
        "recipe.batch.min: must be at most `max`, 500 g",
    );
    refused_recipe(
        |r| r.storage = Some(pb::Storage { condition: 0, keeps: None }),
        "recipe.storage.condition: is required",
    );
}
