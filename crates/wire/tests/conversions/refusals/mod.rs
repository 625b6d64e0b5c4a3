//! What is refused, and the place that is named.
//!
//! Each case changes one thing in a message that is taken, and states the whole refusal.

mod documents;
mod recipes;
mod releases;
mod revisions;
mod shapes;
mod trust;

use bytes::Bytes;
use chablon_wire::decode_revision;
use chablon_wire::pb::{self, DocumentKind};
use prost::Message;

fn decimal(coefficient: i64, exponent: i32) -> Option<pb::Number> {
    let form = pb::number::Form::Decimal(pb::Decimal { coefficient, exponent });
    Some(pb::Number { form: Some(form) })
}

fn fraction(whole: u64, numerator: i64, denominator: u64) -> Option<pb::Number> {
    let form = pb::number::Form::Fraction(pb::Fraction { whole, numerator, denominator });
    Some(pb::Number { form: Some(form) })
}

fn grams(grams: i64) -> Option<pb::Mass> {
    Some(pb::Mass { number: decimal(grams, 0), unit: pb::MassUnit::Gram as i32 })
}

fn percent(hundredths: i64) -> Option<pb::Percent> {
    Some(pb::Percent { number: decimal(hundredths, 0) })
}

fn english(text: &str) -> Vec<pb::LocalisedText> {
    vec![local("en", text)]
}

fn local(language: &str, text: &str) -> pb::LocalisedText {
    pb::LocalisedText { language: language.to_owned(), text: text.to_owned() }
}

fn reference(kind: DocumentKind, id: &str, number: u32) -> pb::RevisionRef {
    let digest = Bytes::from_static(&[7; 32]);
    pb::RevisionRef { kind: kind as i32, id: id.to_owned(), number, digest }
}

fn line(ingredient: &str, mass: i64) -> pb::Line {
    pb::Line {
        item: Some(pb::line::Item::Ingredient(ingredient.to_owned())),
        amount: grams(mass).map(pb::line::Amount::Mass),
        base: false,
        scaling: pb::Scaling::Proportional as i32,
        tolerance: None,
        step: String::new(),
    }
}

fn step(id: &str) -> pb::Step {
    pb::Step {
        id: id.to_owned(),
        text: english("Stir."),
        labour: pb::Labour::PerBatch as i32,
        ..pb::Step::default()
    }
}

fn frozen(kind: DocumentKind, id: &str, content: pb::revision::Content) -> pb::Revision {
    pb::Revision {
        schema_version: 1,
        required_features: Vec::new(),
        kind: kind as i32,
        id: id.to_owned(),
        number: 1,
        pins: Vec::new(),
        content: Some(content),
    }
}

/// A revision of a recipe of honey and milk, after a change.
fn recipe(change: impl FnOnce(&mut pb::Recipe)) -> pb::Revision {
    let mut recipe = pb::Recipe {
        title: english("Honey milk"),
        lines: vec![line("honey", 100), line("milk-whole", 900)],
        steps: vec![step("warm"), step("stir")],
        ..pb::Recipe::default()
    };
    change(&mut recipe);
    let mut revision =
        frozen(DocumentKind::Recipe, "honey-milk", pb::revision::Content::Recipe(recipe));
    revision.pins =
        ["honey", "milk-whole"].map(|id| reference(DocumentKind::Ingredient, id, 1)).to_vec();
    revision
}

fn ingredient(change: impl FnOnce(&mut pb::Ingredient)) -> pb::Revision {
    let mut ingredient = pb::Ingredient { name: english("Honey"), ..pb::Ingredient::default() };
    change(&mut ingredient);
    let content = pb::revision::Content::Ingredient(ingredient);
    frozen(DocumentKind::Ingredient, "honey", content)
}

fn site(change: impl FnOnce(&mut pb::Site)) -> pb::Revision {
    let scale = pb::Scale { name: "bench".into(), capacity: grams(6000), increment: grams(1) };
    let mut site = pb::Site {
        name: "Harbour kitchen".into(),
        groups: vec!["pilot".into(), "coast".into()],
        scales: vec![scale],
        ..pb::Site::default()
    };
    change(&mut site);
    frozen(DocumentKind::Site, "harbour", pb::revision::Content::Site(site))
}

fn prices(change: impl FnOnce(&mut pb::PriceList)) -> pb::Revision {
    let price = pb::Price {
        ingredient: "honey".into(),
        pack: grams(1000).map(pb::price::Pack::Mass),
        price: Some(pb::Money { number: decimal(1250, -2), currency: "EUR".into() }),
        from: Some(pb::Date { year: 2026, month: 2, day: 28 }),
        supplier: String::new(),
        preferred: false,
    };
    let rate = pb::ExchangeRate {
        from: "GBP".into(),
        to: "EUR".into(),
        rate: decimal(117, -2),
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
    };
    let mut prices = pb::PriceList { site: String::new(), prices: vec![price], rates: vec![rate] };
    change(&mut prices);
    frozen(DocumentKind::Prices, "group", pb::revision::Content::Prices(prices))
}

fn book(change: impl FnOnce(&mut pb::Book)) -> pb::Revision {
    let mut book = pb::Book {
        name: "Saltmarsh Kitchens".into(),
        currency: "EUR".into(),
        languages: vec!["en".into(), "fr".into()],
        labels: vec![pb::LabelRegime::Eu as i32],
        control: None,
        review: None,
    };
    change(&mut book);
    frozen(DocumentKind::Book, "group", pb::revision::Content::Book(book))
}

#[track_caller]
fn refused(revision: &pb::Revision, refusal: &str) {
    match decode_revision(&revision.encode_to_vec()) {
        Ok(taken) => panic!("taken, though {refusal}: {taken:?}"),
        Err(error) => assert_eq!(error.to_string(), refusal),
    }
}

#[track_caller]
fn refused_recipe(change: impl FnOnce(&mut pb::Recipe), refusal: &str) {
    refused(&recipe(change), refusal);
}

#[test]
fn the_messages_that_the_cases_change_are_taken() {
    for revision in [recipe(|_| ()), ingredient(|_| ()), site(|_| ()), prices(|_| ()), book(|_| ())]
    {
        let taken = decode_revision(&revision.encode_to_vec());
        assert!(taken.is_ok(), "{taken:?}");
    }
}
