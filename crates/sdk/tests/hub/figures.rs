//! One figure, however it is asked for.

use std::num::NonZeroU32;

use chablon_sdk::Reason;
use chablon_sdk::arith::{Demand, Target};
use chablon_sdk::figures::{Authored, NewPrice, Plan, PriceChange, PriceMove, Warning};
use chablon_sdk::model::{
    Day, DocumentContent, DocumentKind, Load, Moment, Outline, Pack, Sheet, Tray, Yield,
};
use chablon_sdk::publish::{GoOn, Scope};
use chablon_sdk::quantity::Exact;
use chablon_testkit::{Keeping, TestHub, sample};

use crate::common::{NOW, client, hub_with_book, kitchen, recipe, release, site, terms, withdraw};

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

/// The Saltmarsh book with trays at the harbour, and a croissant of a stated outline.
fn with_trays() -> Vec<DocumentContent> {
    let mut documents = sample::saltmarsh().documents();
    for document in &mut documents {
        match document {
            DocumentContent::Site(site) if site.id.as_str() == "harbour" => {
                for machine in &mut site.equipment {
                    machine.load = load(machine.class.as_str());
                }
            }
            DocumentContent::Recipe(recipe) if recipe.id.as_str() == "croissant" => {
                let Some(Yield::Pieces { outline, .. }) = &mut recipe.yields else { continue };
                let (length, width) = ("15 cm".parse().unwrap(), "7 cm".parse().unwrap());
                *outline = Some(Outline::Rectangle { length, width });
            }
            _ => {}
        }
    }
    documents
}

fn load(class: &str) -> Option<Load> {
    let whole = |count| NonZeroU32::new(count).unwrap();
    let size = |text: &str| text.parse().unwrap();
    let (length, width) = (size("60 cm"), size("40 cm"));
    let (gap, edge) = (Some(size("2 cm")), Some(size("1 cm")));
    match class {
        "oven" => {
            Some(Load { trays: whole(3), tray: Tray::Sides(Sheet { length, width, gap, edge }) })
        }
        "freezer" => Some(Load { trays: whole(10), tray: Tray::Pieces(whole(24)) }),
        _ => None,
    }
}

#[tokio::test]
async fn trays_are_the_same_from_a_book_a_replica_and_a_hub() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = with_trays();
    release(&client, &documents, &terms("First standards")).await;
    let authored = Authored::new(&documents);
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    for (piece, trays) in [("croissant", [8, 12]), ("pear-buckwheat-entremet", [5, 24])] {
        let (at, piece, target) = (site("harbour"), recipe(piece), Target::pieces(96));
        let (at, target) = (&at, if trays[1] == 24 { Target::pieces(120) } else { target });
        let plan = authored.scale(&piece, &target, Some(at)).unwrap();
        let laid = &plan.component(piece.as_str()).unwrap().trays[0];
        assert_eq!([laid.oven.trays, laid.oven.per_tray], trays);
        assert_eq!(replica.standard(&piece, NOW).await.unwrap().scale(&target).unwrap(), plan);
        let told = client.scale(at, &piece, &target, None).await.unwrap();
        let of =
            |plan: &Plan| plan.components.iter().map(|one| one.trays.clone()).collect::<Vec<_>>();
        assert_eq!(of(&told), of(&plan));
    }
}

#[tokio::test]
async fn several_products_are_one_plan_offline_too() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let authored = Authored::new(&documents);
    let demands = PIECES.map(|piece| Demand::new(recipe(piece), Target::pieces(40)));
    let recipes = PIECES.map(recipe);
    for at in SITES {
        let replica = kitchen(at).await;
        replica.sync(&client).await.unwrap();
        let together = replica.together(&recipes, NOW).await.unwrap();
        let (at, plan) = (site(at), together.scale(&demands).unwrap());
        assert_eq!(plan, authored.scale_all(&demands, Some(&at)).unwrap());
        assert_eq!(plan.products.len(), 3);
        let costing = together.cost(&demands, on()).unwrap();
        assert_eq!(costing, authored.cost_all(&demands, &at, on()).unwrap());
        assert_eq!(costing.per_piece, None);
        let told = client.scale_all(&at, &demands, None).await.unwrap();
        assert_eq!(told, plan);
        let told = client.cost_all(&at, &demands, on(), None).await.unwrap();
        assert_eq!(told, costing);
    }
}

#[tokio::test]
async fn the_hub_says_which_of_several_products_is_wrong() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let harbour = site("harbour");
    let nothing = client.scale_all(&harbour, &[], None).await.unwrap_err();
    assert!(nothing.is_invalid(), "{nothing}");
    let demands = [Demand::new(recipe("custard-cream"), Target::grams(Exact::from(1000)))];
    let early = client.scale_all(&harbour, &demands, Some(Moment(0))).await.unwrap_err();
    assert!(early.is_not_found(), "{early}");
    let demands =
        ["custard-cream", "unheard-of"].map(|id| Demand::new(recipe(id), Target::pieces(1)));
    let unknown = client.cost_all(&harbour, &demands, on(), None).await.unwrap_err();
    assert!(unknown.is_not_found() && unknown.to_string().contains("unheard-of"), "{unknown}");
}

#[tokio::test]
async fn products_on_two_revisions_of_one_component_are_planned_apart() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let mut changed = documents;
    let cream = changed.iter_mut().find_map(|document| match document {
        DocumentContent::Recipe(one) if one.id.as_str() == "pastry-cream" => Some(one),
        _ => None,
    });
    cream.expect("a cream").lines.swap(0, 1);
    // Both get a new revision with the new cream; then the danish goes back to its first.
    release(&client, &changed, &terms("Another order of work")).await;
    withdraw(&client, "pear-danish", GoOn::WithRevision(1), "Too wet").await;
    replica.sync(&client).await.unwrap();
    let asked = ["pear-danish", "hazelnut-choux"].map(recipe);
    let together = replica.together(&asked, NOW).await.unwrap();
    let demands = asked.map(|recipe| Demand::new(recipe, Target::pieces(12)));
    let told = client.scale_all(&site("harbour"), &demands, Some(NOW)).await.unwrap_err();
    assert!(told.is_not_computable(), "{told}");
    let error = together.scale(&demands).unwrap_err();
    assert!(error.is_not_computable());
    assert!(error.to_string().contains("different revisions of `pastry-cream`"), "{error}");
    let alone = together.standards()[0].scale(&demands[0].target);
    assert!(alone.is_ok(), "{alone:?}");
}

#[tokio::test]
async fn a_price_shock_is_the_same_offline() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let authored = Authored::new(&documents);
    let change = |ingredient: &str, to| PriceChange { ingredient: ingredient.parse().unwrap(), to };
    let pack = NewPrice::Pack {
        pack: Pack::Mass("1 kg".parse().unwrap()),
        price: "9.80 EUR".parse().unwrap(),
    };
    let rises = NewPrice::By(Exact::ratio(1, 8).unwrap());
    let moves = [
        PriceMove::To(vec![change("honey-acacia", rises), change("butter-unsalted", pack)]),
        PriceMove::Since(Day::new(2026, 9, 1).unwrap()),
    ];
    for at in SITES {
        let replica = kitchen(at).await;
        replica.sync(&client).await.unwrap();
        let everything = replica.everything(NOW).await.unwrap();
        for moved in &moves {
            let shock = everything.shock(moved, on()).unwrap();
            assert_eq!(shock, authored.shock(moved, Some(&site(at)), on()).unwrap());
            assert_eq!(shock, client.shock(&site(at), moved, on(), None).await.unwrap());
        }
        let [honey, _] = &moves;
        let shock = everything.shock(honey, on()).unwrap();
        let bavarois = shock.sites[0].recipe("honey-bavarois").expect("it is hit");
        let [before, after] = &bavarois.per_kg;
        assert!(after.exact() > before.exact() && bavarois.complete);
        let cost =
            everything.cost(&[Demand::new(recipe("honey-bavarois"), Target::pieces(48))], on());
        let cost = cost.unwrap();
        assert_eq!(cost.basis.rules, shock.basis.rules);
    }
    let unknown = PriceMove::To(vec![change("trout", NewPrice::By(Exact::from(1)))]);
    assert!(authored.shock(&unknown, None, on()).unwrap_err().is_not_found());
    let told = client.shock(&site("harbour"), &unknown, on(), None).await.unwrap_err();
    assert!(told.is_not_found(), "{told}");
    let worse = PriceMove::To(vec![change("honey-acacia", NewPrice::By(Exact::from(-2)))]);
    let told = client.shock(&site("harbour"), &worse, on(), None).await.unwrap_err();
    assert!(told.is_not_computable(), "{told}");
    let all = authored.shock(&moves[0], None, on()).unwrap();
    assert_eq!(all.sites.len(), 3);
}

#[tokio::test]
async fn the_hub_computes_the_same_digits_and_says_the_same_of_them() {
    let hub = TestHub::start(Keeping::Sqlite).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let authored = Authored::new(&documents);
    let third = Exact::ratio(7, 3).unwrap();
    let targets = [
        Target::pieces(120),
        Target::grams(12_345),
        Target::Factor(third),
        Target::WrittenBatches("5/2".parse().unwrap()),
        Target::OnHand { ingredient: "butter-unsalted".parse().unwrap(), mass: Exact::from(9000) },
        Target::grams(12),
    ];
    let mut warned: Vec<Warning> = Vec::new();
    for at in SITES {
        for target in &targets {
            let (at, piece) = (site(at), recipe("honey-loaf"));
            let plan = client.scale(&at, &piece, target, Some(NOW)).await.unwrap();
            let own = authored.scale(&piece, target, Some(&at)).unwrap();
            assert_eq!(plan, own);
            warned.extend(plan.components.iter().flat_map(|one| one.warnings.clone()));
            let costing = client.cost(&at, &piece, target, on(), Some(NOW)).await.unwrap();
            let own = authored.cost(&piece, target, &at, on()).unwrap();
            assert_eq!(costing, own);
            assert!(costing.labour_by_recipe.iter().all(|one| one.cost.is_some()));
            assert!(!costing.labour_by_recipe.is_empty());
        }
    }
    assert!(warned.iter().all(|one| one.code.is_some()));
    assert!(warned.iter().any(|one| one.line.is_none()), "{warned:?}");
}

#[tokio::test]
async fn a_missing_price_is_missing_wherever_it_is_asked() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let (at, piece, target) = (site("millrace"), recipe("custard-cream"), Target::pieces(20));
    let costing = client.cost(&at, &piece, &target, on(), None).await.unwrap();
    let documents = sample::book().documents();
    let own = Authored::new(&documents).cost(&piece, &target, &at, on()).unwrap();
    assert_eq!(costing, own);
}

#[tokio::test]
async fn the_hub_says_why_there_is_no_figure() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let scale = |id: &'static str, target: Target| {
        let client = client.clone();
        async move { client.scale(&site("harbour"), &recipe(id), &target, None).await.unwrap_err() }
    };
    assert!(scale("choux", Target::pieces(1)).await.is_not_found());
    assert!(scale("custard", Target::pieces(1)).await.is_not_computable());
    assert!(scale("custard", Target::grams(0)).await.is_invalid());
    let too_long = Exact::ratio(1, 3_000_000_000_000_000_000).unwrap();
    let refused = scale("custard", Target::Factor(too_long)).await;
    assert!(refused.is_invalid() && refused.to_string().contains("18 digits"), "{refused}");
    withdraw(&client, "custard", GoOn::WithNone, "Too thin").await;
    let stopped = scale("custard", Target::grams(1400)).await;
    assert_eq!(stopped.reason(), Some(Reason::Withdrawn));
    assert!(stopped.to_string().contains("Too thin"), "{stopped}");
}

#[tokio::test]
async fn a_site_that_does_not_exist_yet_weighs_nothing() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let early = Moment(NOW.0 - 3_600_000);
    let mut documents = sample::book().documents();
    documents.retain(|one| one.key().kind == DocumentKind::Recipe);
    let mut before = terms("Valid before the site was").of(Scope::Everything);
    before.holds_from = early;
    release(&client, &documents, &before).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let standard = replica.standard(&recipe("custard"), early).await.unwrap();
    assert!(standard.site().is_none());
    let refused = standard.scale(&Target::grams(1400)).unwrap_err();
    assert_eq!((refused.is_not_found(), refused.reason()), (true, Some(Reason::NotInForce)));
    let target = Target::grams(1400);
    let theirs = client.scale(&site("harbour"), &recipe("custard"), &target, Some(early)).await;
    assert_eq!(theirs.unwrap_err().reason(), Some(Reason::NotInForce));
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
        "bakers_percent": null,
        "weigh": {
            "scale": "bench",
            "weighings": 1,
            "reading_g": {"exact": "400", "rounded": "400.000"},
            "error_percent": {"exact": "0", "rounded": "0.00"},
            "flag": null,
        },
        "hints": [],
    });
    assert_eq!(line(1), expected);
    let keys = |value: &serde_json::Value| -> Vec<String> {
        value.as_object().unwrap().keys().cloned().collect()
    };
    let of_plan = [
        "recipe",
        "target",
        "products",
        "site",
        "components",
        "ingredients",
        "basis",
        "deviations",
        "cautions",
    ];
    assert_eq!(keys(&plan), of_plan);
    let of_component =
        ["recipe", "net_g", "pieces", "batches", "factor", "input_g", "lines", "trays", "warnings"];
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
        "products",
        "site",
        "on",
        "basis",
        "deviations",
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
