//! A client in another language, from the schema alone, against the real hub.

use std::path::Path;
use std::process::Command;

use chablon_tests::{Book, Hub, chablon, json, python, succeed};
use serde_json::{Value, json};

const PIECE: &str = "pear-buckwheat-entremet";
const PIECES: &str = "120";
const DAY: &str = "2026-11-25";

#[test]
fn a_python_client_lists_fetches_watches_and_gets_the_same_figures() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let book = Book::write(&folder.path().join("book"), chablon_saltmarsh::files());
    let book = book.folder();
    let hub = Hub::start(folder.path().join("hub.sqlite"));
    let release = ["release", "--book", book, "--hub", &hub.url(), "--note", "First", "--yes"];
    succeed(&mut chablon(&release));

    let mut client = Command::new(python());
    client.args(["-m", "foreign", hub.address(), "harbour", PIECE, PIECES, DAY]);
    client.current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("python"));
    let seen = json(&mut client);

    let asked = ["--book", book, "--recipe", PIECE, "--pieces", PIECES, "--site", "harbour"];
    let plan = json(chablon(&["scale", "--format", "json"]).args(asked));
    let cost = json(chablon(&["cost", "--on", DAY, "--format", "json"]).args(asked));
    let masses = &seen["figures"]["ingredients"];
    for ingredient in plan["ingredients"].as_array().expect("ingredients") {
        let id = ingredient["ingredient"].as_str().expect("an id");
        assert_eq!(masses[id], ingredient["mass_g"]["exact"], "{id}");
    }
    for component in plan["components"].as_array().expect("components") {
        let id = component["recipe"].as_str().expect("an id");
        assert_eq!(seen["figures"]["batches"][id], component["batches"], "{id}");
    }
    for key in ["food", "total"] {
        assert_eq!(seen["figures"][key], cost[key]["exact"], "{key}");
    }
    assert_eq!(seen["figures"]["currency"], cost["currency"]);
    // The plan rests on the recipes, their ingredients and the site, so one basis means one digest.
    assert_eq!(seen["figures"]["digests"], sorted(&plan["basis"]["digests"]));
    assert_eq!(seen["refused"], "NOT_FOUND");
    assert_eq!(seen["revision"]["number"], 1);
    sees_its_own_alone(&seen);
}

/// Harbour reads its own site document and price list, and neither of another kitchen.
fn sees_its_own_alone(seen: &Value) {
    let documents: Vec<&str> =
        seen["documents"].as_array().expect("a list").iter().filter_map(Value::as_str).collect();
    assert!(documents.iter().any(|name| name.ends_with("/harbour")), "{documents:?}");
    for other in ["millrace", "station"] {
        assert!(!documents.iter().any(|name| name.ends_with(&format!("/{other}"))), "{other}");
    }
    assert!(!seen["watched"].as_array().expect("a list").is_empty());
}

fn sorted(digests: &Value) -> Value {
    let mut texts: Vec<_> =
        digests.as_array().expect("digests").iter().filter_map(Value::as_str).collect();
    texts.sort_unstable();
    json!(texts)
}
