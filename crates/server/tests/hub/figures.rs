//! Figures of what is in force.
//!
//! The small book by hand. 50 pieces of custard cream are 2500 g net. Its one written batch takes
//! 1000 g and declares 20 x 50 g, so F = 1 and the input is 2500 g: two batches in the harbour's
//! 2 kg mixer. It takes 1500 g of custard and 1000 g of cream. The custard's batch takes 1030 +
//! 240 + 200 = 1470 g for 1400 g net, so 1500 g net take 1.5/1.4 of each amount.

use std::collections::BTreeSet;

use chablon_model::{Audience, DocumentContent, NextStep};
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tonic::Code;

use crate::support::{Inner, Kit, digest, refused};

fn pieces(number: i64) -> pb::Target {
    let form = pb::number::Form::Decimal(pb::Decimal { coefficient: number, exponent: 0 });
    let count = pb::Count { number: Some(pb::Number { form: Some(form) }) };
    pb::Target { demand: Some(pb::target::Demand::Pieces(count)) }
}

fn scale(site: &str, recipe: &str, target: pb::Target) -> pb::ScaleRequest {
    pb::ScaleRequest {
        site: site.to_owned(),
        recipe: recipe.to_owned(),
        target: Some(target),
        at_ms: None,
    }
}

fn cost(site: &str, recipe: &str, target: pb::Target) -> pb::CostRequest {
    pb::CostRequest {
        site: site.to_owned(),
        recipe: recipe.to_owned(),
        target: Some(target),
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
        at_ms: None,
    }
}

async fn plan(kit: &mut Kit, site: &str) -> pb::Plan {
    let request = scale(site, "custard-cream", pieces(50));
    kit.figures.scale(request).await.unwrap().into_inner().plan.unwrap()
}

async fn costing(kit: &mut Kit, site: &str) -> pb::Costing {
    let request = cost(site, "custard-cream", pieces(50));
    kit.figures.cost(request).await.unwrap().into_inner().costing.unwrap()
}

fn exact(figure: Option<&pb::Figure>) -> &str {
    &figure.unwrap().exact
}

/// The digests of these documents' latest revisions, as a basis has them.
fn basis(chef: &Chef, documents: &[&str]) -> Vec<tonic::codegen::Bytes> {
    let digests: BTreeSet<_> =
        documents.iter().map(|document| digest(chef.latest(document))).collect();
    digests.into_iter().collect()
}

const CLOSURE: [&str; 6] = [
    "recipe/custard-cream",
    "recipe/custard",
    "ingredient/milk-whole",
    "ingredient/egg-yolk",
    "ingredient/sugar-caster",
    "ingredient/cream-35",
];

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_plan_with_the_sites_own_bowls(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let plan_there = plan(&mut kit, "harbour").await;
    let [custard, cream] = &plan_there.components[..] else { panic!("two recipes are made") };
    assert_eq!((custard.recipe.as_str(), cream.recipe.as_str()), ("custard", "custard-cream"));
    assert_eq!((custard.batches, cream.batches), (1, 2), "the mixer holds 2 kg");
    assert_eq!(exact(cream.net_g.as_ref()), "2500");
    assert_eq!(exact(cream.pieces.as_ref()), "50");
    assert_eq!(exact(custard.lines[0].mass_g.as_ref()), "7725/7", "1030 x 15/14");
    assert_eq!(custard.lines[0].mass_g.as_ref().unwrap().rounded, "1103.571");
    let weigh = custard.lines[0].weigh.as_ref().unwrap();
    assert_eq!((weigh.scale.as_str(), exact(weigh.reading_g.as_ref())), ("bench", "1104"));
    let totals: Vec<(&str, &str)> = plan_there
        .ingredients
        .iter()
        .map(|one| (one.ingredient.as_str(), exact(one.mass_g.as_ref())))
        .collect();
    assert_eq!(
        totals,
        [
            ("cream-35", "1000"),
            ("egg-yolk", "1800/7"),
            ("milk-whole", "7725/7"),
            ("sugar-caster", "1500/7")
        ]
    );
    let own = basis(&chef, &[CLOSURE.as_slice(), &["site/harbour"]].concat());
    let found = plan_there.basis.unwrap();
    assert_eq!((found.digests, found.rules_version), (own, 1));

    let elsewhere = plan(&mut kit, "millrace").await;
    assert_eq!(elsewhere.components[1].batches, 1, "this kitchen names no bowl");
    assert_eq!(elsewhere.components[1].lines[0].weigh, None, "and no scale");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_cost_with_the_sites_own_prices(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let harbour = costing(&mut kit, "harbour").await;
    // 1 kg of cream at its own 4.00, the rest at the group's; 10 min in each of two batches.
    let cream = harbour.ingredients.iter().find(|one| one.ingredient == "cream-35").unwrap();
    assert_eq!(exact(cream.cost.as_ref()), "4");
    assert_eq!(cream.price.as_ref().unwrap().list, "harbour");
    let milk = harbour.ingredients.iter().find(|one| one.ingredient == "milk-whole").unwrap();
    assert_eq!(milk.price.as_ref().unwrap().list, "group");
    assert_eq!(exact(milk.cost.as_ref()), "33/28", "7725/7 g at 11 EUR for 10300 g");
    assert_eq!(exact(harbour.labour.as_ref()), "8", "20 min at 24 EUR an hour");
    assert!(harbour.complete && harbour.missing.is_empty());
    let lists = ["site/harbour", "book/group", "prices/group", "prices/harbour"];
    let own = basis(&chef, &[CLOSURE.as_slice(), &lists].concat());
    assert_eq!(harbour.basis.unwrap().digests, own);

    let millrace = costing(&mut kit, "millrace").await;
    let cream = millrace.ingredients.iter().find(|one| one.ingredient == "cream-35").unwrap();
    assert_eq!(exact(cream.cost.as_ref()), "5", "the group's price");
    assert_eq!((millrace.complete, millrace.labour), (false, None), "it states no labour rate");
    assert_eq!(millrace.missing.len(), 1);
    let lists = ["site/millrace", "book/group", "prices/group"];
    let own = basis(&chef, &[CLOSURE.as_slice(), &lists].concat());
    assert_eq!(millrace.basis.unwrap().digests, own, "another kitchen's prices are not read");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn what_was_released_is_computed_as_it_was_released(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let before = plan(&mut kit, "harbour").await;
    let mut milk = sample::book().ingredients[2].clone();
    assert_eq!(milk.id.as_str(), "milk-whole");
    milk.density = Some("1.5 g/mL".parse().unwrap());
    kit.release(&chef.release(&[DocumentContent::Ingredient(milk)], &Audience::All)).await;
    assert_eq!(plan(&mut kit, "harbour").await, before, "the cream still pins the old milk");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_withdrawn_component_is_told(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let before = plan(&mut kit, "harbour").await;
    let custard = chef.latest("recipe/custard");
    let request = chef.withdrawal(custard, NextStep::MakeNone, Audience::All);
    kit.releases.create_withdrawal(request).await.unwrap();
    let after = plan(&mut kit, "harbour").await;
    assert_eq!(before.cautions, []);
    let [told] = after.cautions.as_slice() else { panic!("{:?}", after.cautions) };
    assert_eq!(told.code, "pinned-is-withdrawn");
    assert!(told.text.contains("`recipe/custard`") && told.text.contains("Gelatine"), "{told:?}");
    assert_eq!(costing(&mut kit, "harbour").await.cautions, after.cautions, "a cost says so too");

    kit.release(&chef.release_again([custard.clone()], Audience::All)).await;
    assert_eq!(plan(&mut kit, "harbour").await, before, "released again, and no longer told");

    refused(kit.figures.scale(scale("harbour", "custard", pieces(1))).await).is(
        Code::FailedPrecondition,
        "NOT_COMPUTABLE",
        &[("recipe", "custard")],
    );
    let request = chef.withdrawal(custard, NextStep::MakeNone, Audience::All);
    kit.releases.create_withdrawal(request).await.unwrap();
    let details = [("document", "recipe/custard"), ("site", "harbour")];
    for answer in [
        kit.figures.scale(scale("harbour", "custard", pieces(1))).await.inner().map(|_| ()),
        kit.figures.cost(cost("harbour", "custard", pieces(1))).await.inner().map(|_| ()),
    ] {
        refused(answer).is(Code::FailedPrecondition, "WITHDRAWN", &details);
    }
}

#[tokio::test]
async fn what_cannot_be_computed_says_why() {
    let mut kit = Kit::start(Keeping::Memory).await;
    kit.release_book().await;
    let scale_of = |site: &str, recipe: &str| scale(site, recipe, pieces(50));
    refused(kit.figures.scale(scale_of("harbour", "unheard-of")).await).is(
        Code::NotFound,
        "DOCUMENT_NOT_FOUND",
        &[("document", "recipe/unheard-of")],
    );
    refused(kit.figures.scale(scale_of("quayside", "custard-cream")).await).is(
        Code::NotFound,
        "SITE_NOT_FOUND",
        &[("site", "quayside")],
    );
    let early = pb::ScaleRequest { at_ms: Some(0), ..scale_of("harbour", "custard-cream") };
    refused(kit.figures.scale(early).await).is(Code::NotFound, "NOT_IN_FORCE", &[]);
    let cases = [
        ("site", scale_of("", "custard-cream")),
        ("recipe", scale_of("harbour", "")),
        ("target", pb::ScaleRequest { target: None, ..scale_of("harbour", "custard-cream") }),
        ("target", scale("harbour", "custard-cream", pb::Target::default())),
        ("target", scale("harbour", "custard-cream", pieces(0))),
        ("at_ms", pb::ScaleRequest { at_ms: Some(i64::MAX), ..scale_of("harbour", "custard") }),
    ];
    for (field, request) in cases {
        let refusal = refused(kit.figures.scale(request).await);
        refusal.is(Code::InvalidArgument, "INVALID_REQUEST", &[]);
        assert!(refusal.paths[0].starts_with(field), "{refusal:?} is not at {field}");
    }
    let no_day = pb::CostRequest { on: None, ..cost("harbour", "custard-cream", pieces(50)) };
    refused(kit.figures.cost(no_day).await).at(&["on"]);
}
