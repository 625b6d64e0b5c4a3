//! One figure, however it is asked for.

use chablon_sdk::arith::Target;
use chablon_sdk::figures::Authored;
use chablon_sdk::model::Day;
use chablon_testkit::{Keeping, TestHub, sample};

use crate::common::{NOW, client, kitchen, recipe, release, site, terms};

const PIECES: [&str; 3] = ["pear-buckwheat-entremet", "pear-danish", "honey-loaf"];
const SITES: [&str; 3] = ["harbour", "millrace", "station"];

fn on() -> Day {
    Day::new(2026, 10, 1).unwrap()
}

#[tokio::test]
async fn a_book_a_replica_and_a_hub_agree_to_the_last_digit() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let authored = Authored::new(&documents);
    for at in SITES {
        let replica = kitchen(at).await;
        replica.sync(&client).await.unwrap();
        for piece in PIECES {
            let (at, piece, target) = (site(at), recipe(piece), Target::pieces(120));
            let standard = replica.standard(&piece, NOW).await.unwrap();
            let plan = standard.scale(&target).unwrap();
            assert_eq!(plan, authored.scale(&piece, &target, Some(&at)).unwrap());
            let costing = standard.cost(&target, on()).unwrap();
            assert_eq!(costing, authored.cost(&piece, &target, &at, on()).unwrap());
        }
    }
}

#[test]
fn the_keys_of_a_plan_are_fixed() {
    let documents = sample::book().documents();
    let authored = Authored::new(&documents);
    let plan = authored
        .scale(&recipe("custard-cream"), &Target::pieces(20), Some(&site("harbour")))
        .unwrap()
        .to_json();
    let line = |index: usize| plan["components"][1]["lines"][index].clone();
    assert_eq!(line(0)["component"], "custard");
    let expected = serde_json::json!({
        "line": 2,
        "ingredient": "cream-35",
        "mass_g": {"exact": "400", "rounded": "400.000"},
        "per_batch_g": {"exact": "400", "rounded": "400.000"},
        "weigh": {
            "scale": "bench",
            "weighings": 1,
            "reading_g": {"exact": "400", "rounded": "400.000"},
            "error_percent": {"exact": "0", "rounded": "0.00"},
            "flag": null,
        },
    });
    assert_eq!(line(1), expected);
    let keys = |value: &serde_json::Value| -> Vec<String> {
        value.as_object().unwrap().keys().cloned().collect()
    };
    let of_plan = ["recipe", "target", "site", "components", "ingredients", "basis", "cautions"];
    assert_eq!(keys(&plan), of_plan);
    let of_component =
        ["recipe", "net_g", "pieces", "batches", "factor", "input_g", "lines", "warnings"];
    assert_eq!(keys(&plan["components"][1]), of_component);
    assert_eq!(plan["target"]["pieces"]["exact"], "20");
    assert_eq!(plan["basis"]["rules"], "1");
    // Two recipes, four ingredients, the site.
    assert_eq!(plan["basis"]["digests"].as_array().unwrap().len(), 7);
}

#[test]
fn the_keys_of_a_costing_are_fixed() {
    let documents = sample::book().documents();
    let authored = Authored::new(&documents);
    let target = Target::pieces(20);
    let cost = |at: &str| {
        authored.cost(&recipe("custard-cream"), &target, &site(at), on()).unwrap().to_json()
    };
    let harbour = cost("harbour");
    let keys: Vec<&String> = harbour.as_object().unwrap().keys().collect();
    let fixed = [
        "currency",
        "complete",
        "missing",
        "food",
        "labour",
        "total",
        "per_piece",
        "per_kg",
        "ingredients",
        "order",
        "recipe",
        "target",
        "site",
        "on",
        "basis",
        "cautions",
    ];
    assert_eq!(keys, fixed);
    let cream = serde_json::json!({
        "ingredient": "cream-35",
        "mass_g": {"exact": "400", "rounded": "400.000"},
        "purchased_g": {"exact": "400", "rounded": "400.000"},
        "cost": {"exact": "8/5", "rounded": "1.60"},
        "price": {
            "pack_g": {"exact": "1000", "rounded": "1000.000"},
            "price": {"exact": "4", "rounded": "4.00"},
            "currency": "EUR",
            "from": "2026-06-01",
            "supplier": "dairy-2",
            "list": "harbour",
        },
    });
    assert_eq!(harbour["ingredients"][0], cream);
    assert_eq!((&harbour["complete"], &harbour["missing"]), (&true.into(), &serde_json::json!([])));
    let millrace = cost("millrace");
    assert_eq!(millrace["missing"], serde_json::json!(["labour_rate"]));
    assert_eq!(millrace["labour"]["exact"], "0");
}

#[test]
fn what_cannot_be_computed_is_named() {
    let documents = sample::book().documents();
    let authored = Authored::new(&documents);
    let scale = |id: &str, target, at: Option<&str>| {
        authored.scale(&recipe(id), &target, at.map(site).as_ref()).unwrap_err()
    };
    let unknown = scale("choux", Target::pieces(1), None);
    assert!(unknown.is_not_computable() && unknown.to_string().contains("`choux`"), "{unknown}");
    let by_mass = scale("custard", Target::pieces(1), None);
    assert_eq!(by_mass.detail("code"), Some("no-pieces"));
    let nowhere = scale("custard", Target::grams(1), Some("station"));
    assert!(nowhere.is_not_found());
    assert!(nowhere.to_string().contains("`harbour`, `millrace`"), "{nowhere}");
}

#[test]
fn a_recipe_with_a_fault_elsewhere_in_the_book_is_still_computed() {
    let mut documents = sample::book().documents();
    documents.retain(|one| one.key().to_string() != "ingredient/cream-35");
    let authored = Authored::new(&documents);
    let plan = authored.scale(&recipe("custard"), &Target::grams(1400), None).unwrap();
    assert_eq!(plan.ingredient("egg-yolk").unwrap().mass_g.to_string(), "240.000");
    let faulty = authored.scale(&recipe("custard-cream"), &Target::pieces(1), None).unwrap_err();
    assert!(faulty.to_string().contains("`cream-35`"), "{faulty}");
}
