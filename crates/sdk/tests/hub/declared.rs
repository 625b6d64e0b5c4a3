//! What a hub and a kitchen declare of a recipe, beside what the replica declares.

use std::collections::BTreeSet;

use chablon_sdk::declared::{Declared, Declaring};
use chablon_sdk::model::{Digest, DocumentContent, IngredientId, LabelRegime};
use chablon_sdk::publish::GoOn;
use chablon_testkit::{Keeping, TestHub, sample};
use chablon_wire::pb::figure_service_client::FigureServiceClient;
use chablon_wire::{Wire, pb};
use serde_json::{Map, Value, json};
use tonic::Status;
use tonic::transport::Endpoint;

use crate::at_kitchen::Kitchen;
use crate::common::{NOW, client, hub_with_book, note, recipe, release, terms, withdraw};
use crate::deviations;

const PIECES: [&str; 4] = ["pear-buckwheat-entremet", "pear-danish", "honey-loaf", "croissant"];

/// What is declared at an address of a recipe at the harbour.
async fn declared_at(
    url: &str,
    recipe: &str,
    emphasised: &BTreeSet<IngredientId>,
) -> Result<pb::Declaration, Status> {
    let channel = Endpoint::from_shared(url.to_owned()).unwrap().connect().await.unwrap();
    let request = pb::DeclareRecipeRequest {
        site: "harbour".to_owned(),
        recipe: recipe.to_owned(),
        emphasised: emphasised.iter().map(ToString::to_string).collect(),
        at_ms: Some(NOW.0),
    };
    let answer = FigureServiceClient::new(channel).declare_recipe(request).await?.into_inner();
    Ok(answer.declaration.expect("a declaration"))
}

/// With the keys and the shapes that the SDK gives what it declares, as far as they are sent.
fn as_json(told: &pb::Declaration) -> Value {
    let basis = told.basis.as_ref().unwrap();
    let shown = |digest: &bytes::Bytes| Digest::from_pb(digest.clone()).unwrap().to_string();
    let digests: Vec<String> = basis.digests.iter().map(shown).collect();
    json!({
        "recipe": told.recipe,
        "allergens": object(told.allergens.iter().map(|one| (&one.allergen, allergen(one)))),
        "blockers": told.blockers,
        "contradictions": told.contradictions,
        "content_per_100g": told.content_per_100g.as_ref().map(content),
        "content_per_piece": told.content_per_piece.as_ref().map(content),
        "label": object(told.labels.iter().map(label)),
        "ingredient_list": object(told.lists.iter().map(|one| (&one.language, list(one)))),
        "basis": {"rules": basis.rules_version.to_string(), "digests": digests},
    })
}

fn object<K: ToString>(entries: impl Iterator<Item = (K, Value)>) -> Value {
    entries.map(|(key, value)| (key.to_string(), value)).collect::<Map<_, _>>().into()
}

fn figure(figure: &pb::Figure) -> Value {
    json!({"exact": figure.exact, "rounded": figure.rounded})
}

fn allergen(one: &pb::DeclaredAllergen) -> Value {
    let state = match one.state() {
        pb::AllergenState::Contains => "contains",
        pb::AllergenState::MayContain => "may-contain",
        pb::AllergenState::Free => "free",
        pb::AllergenState::Unknown => "unknown",
        pb::AllergenState::Unspecified => "unset",
    };
    let cause = |one: &pb::AllergenCause| json!({"ingredient": one.ingredient, "path": one.path});
    json!({"state": state, "because": one.because.iter().map(cause).collect::<Vec<_>>()})
}

fn content(content: &pb::Composition) -> Value {
    let amount = |one: &pb::NutrientAmount| {
        let mut amount = figure(one.mass_g.as_ref().unwrap());
        if !one.missing.is_empty() {
            amount["missing"] = json!(one.missing);
        }
        (one.nutrient.clone(), amount)
    };
    let mut all = object(content.amounts.iter().map(amount));
    all["energy_kj"] = content.energy_kj.as_ref().map_or(Value::Null, figure);
    all["energy_kcal"] = figure(content.energy_kcal.as_ref().unwrap());
    all["complete"] = content.complete.into();
    all["to_taste"] = json!(content.to_taste);
    all
}

fn label(label: &pb::LabelFigures) -> (&'static str, Value) {
    let regime = match label.regime() {
        pb::LabelRegime::Eu => "eu",
        pb::LabelRegime::Us => "us",
        pb::LabelRegime::Unspecified => "unset",
    };
    let row = |row: &pb::LabelRow| {
        let tolerance = [&row.tolerated_from, &row.tolerated_to];
        json!({
            "key": row.key,
            "exact": row.exact,
            "rounded": row.rounded,
            "below": row.below,
            "unit": row.unit,
            "tolerance": (!row.tolerated_from.is_empty()).then_some(tolerance),
            "missing": row.missing,
            "mandatory": row.mandatory,
        })
    };
    let shown = json!({
        "serving": (!label.serving.is_empty()).then_some(&label.serving),
        "rows": label.rows.iter().map(row).collect::<Vec<_>>(),
        "not_known": label.not_known,
        "notes": label.notes,
        "source": label.source,
        "cautions": label.notices,
    });
    (regime, shown)
}

fn list(list: &pb::ListedIngredients) -> Value {
    json!({
        "text": list.text,
        "may_contain": list.may_contain,
        "findings": list.findings,
        "cautions": list.notices,
    })
}

/// Whether a declaration says what the SDK does, key by key.
fn assert_same(told: &pb::Declaration, declared: &Declared) {
    let (told_json, mut whole) = (as_json(told), declared.to_json());
    // What a list is made of isn't sent; its text is.
    for list in whole["ingredient_list"].as_object_mut().unwrap().values_mut() {
        list.as_object_mut().unwrap().remove("entries").expect("entries");
    }
    for (key, value) in told_json.as_object().unwrap() {
        assert_eq!(*value, whole[key], "{key} of {}", told.recipe);
    }
    assert_eq!(told.notices, declared.declaration.cautions);
    let texts: Vec<_> = told.cautions.iter().map(|one| one.text.clone()).collect();
    assert_eq!(texts, declared.cautions.iter().map(ToString::to_string).collect::<Vec<_>>());
    let laid: Vec<_> = told.deviations.iter().map(|one| one.deviation_id.clone()).collect();
    let ids: Vec<_> = declared.deviations.iter().map(|one| one.id.to_string()).collect();
    assert_eq!(laid, ids);
}

/// Compares a hub's declaration with that of a replica, and that of the replica served.
async fn all_the_same(hub: TestHub, kitchen: &Kitchen, pieces: &[&str], how: &Declaring) {
    let mut by_hub = Vec::new();
    for piece in pieces {
        by_hub.push(declared_at(&hub.url(), piece, &how.emphasised).await.unwrap());
    }
    hub.stop().await;
    for (piece, told) in pieces.iter().zip(by_hub) {
        let standard = kitchen.replica.standard(&recipe(piece), NOW).await.unwrap();
        assert_same(&told, &standard.declare(how).unwrap());
        let mut here = declared_at(&kitchen.url, piece, &how.emphasised).await.unwrap();
        let age = here.basis.as_mut().and_then(|basis| basis.replica.take());
        assert_eq!(age.and_then(|replica| replica.heard_at_ms), Some(NOW.0));
        assert_eq!(here, told);
    }
}

#[tokio::test]
async fn a_hub_a_replica_and_a_kitchen_declare_the_same() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    let mut documents = sample::saltmarsh().documents();
    for document in &mut documents {
        if let DocumentContent::Book(book) = document {
            book.labels = vec![LabelRegime::Eu, LabelRegime::Us];
        }
    }
    release(&there, &documents, &terms("First standards")).await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let emphasised = ["honey-acacia", "butter-unsalted"].map(|id| id.parse().unwrap()).into();
    let how = Declaring { emphasised, ..Declaring::default() };
    all_the_same(hub, &kitchen, &PIECES, &how).await;
}

/// A granted deviation is in what is declared, and a withdrawal is told.
#[tokio::test]
async fn what_a_site_makes_otherwise_is_declared_so() {
    let (hub, there, _) = deviations::granted(Keeping::Memory).await;
    let mut documents = deviations::documents();
    note(&mut documents, "honey-bavarois", "A slip");
    release(&there, &documents, &terms("A slip")).await;
    withdraw(&there, "honey-bavarois", GoOn::WithRevision(1), "A slip").await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let piece = "pear-buckwheat-entremet";
    let told = declared_at(&hub.url(), piece, &BTreeSet::new()).await.unwrap();
    assert!(!told.deviations.is_empty() && !told.cautions.is_empty());
    all_the_same(hub, &kitchen, &[piece], &Declaring::default()).await;
}

#[tokio::test]
async fn what_is_not_made_is_not_declared() {
    let (hub, client) = hub_with_book(Keeping::Memory).await;
    withdraw(&client, "custard", GoOn::WithNone, "Yolks recalled").await;
    let none = BTreeSet::new();
    let refused = async |recipe: &str| {
        declared_at(&hub.url(), recipe, &none).await.unwrap_err().message().to_owned()
    };
    assert!(refused("custard").await.contains("Yolks recalled"));
    assert!(refused("trout").await.contains("trout"));
    let many = (0..101).map(|number| format!("i-{number}").parse().unwrap()).collect();
    let many = declared_at(&hub.url(), "custard-cream", &many).await.unwrap_err();
    assert!(many.message().contains("emphasised"), "{many:?}");
}
