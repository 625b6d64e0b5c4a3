//! What a kitchen makes otherwise: asked, granted, laid over every figure, put again, fallen away.

use std::collections::BTreeSet;

use chablon_sdk::arith::Target;
use chablon_sdk::change::{Verdict, assess};
use chablon_sdk::declared::Declaring;
use chablon_sdk::deviations::{ByLeave, DecisionDraft, State, Submitted};
use chablon_sdk::model::{
    Allergen, AllergenState, Day, Decision, Departure, Deviation, DeviationLimits, DocumentContent,
    DocumentKey, Grant, LineRef, Moment, NewAmount, Uses, View,
};
use chablon_sdk::publish::Terms;
use chablon_sdk::quantity::Number;
use chablon_sdk::where_used::Sought;
use chablon_sdk::{Client, Error, Reason, Recorded, Replica};
use chablon_testkit::trust::key;
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;

use crate::common::{NOW, assert_equal, client, feed, kitchen, note, recipe, release, site, terms};
use crate::signing::{pinned, release_signed, signed_hub};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;

fn after(days: i64) -> Moment {
    Moment(NOW.0 + days * DAY_MS)
}

fn on() -> Day {
    Day::new(2026, 10, 1).unwrap()
}

/// The demonstration's book with a drink of nuts beside the milk.
pub(crate) fn documents() -> Vec<DocumentContent> {
    let mut documents = sample::saltmarsh().documents();
    let milk = documents.iter().find_map(|one| match one {
        DocumentContent::Ingredient(one) if one.id.as_str() == "milk-whole" => Some(one.clone()),
        _ => None,
    });
    let mut drink = milk.expect("milk");
    drink.id = "cashew-drink".parse().unwrap();
    drink.allergens = [("nuts.cashew".parse().unwrap(), AllergenState::Contains)].into();
    drink.other_allergens = Some(AllergenState::Free);
    documents.push(DocumentContent::Ingredient(drink));
    documents
}

/// Harbour wants the drink instead of the milk, for ten days from now.
async fn wanted(client: &Client) -> Deviation {
    let standards = client.site_standards(&site("harbour"), NOW).await.unwrap();
    let milk = Uses::Ingredient("milk-whole".parse().unwrap());
    Deviation {
        id: "harbour-cashew".parse().unwrap(),
        site: site("harbour"),
        based_on: standards.revision(&recipe("creme-anglaise")).unwrap().clone(),
        departures: vec![Departure::Ingredient {
            line: LineRef { number: 1, uses: milk },
            with: "cashew-drink".parse().unwrap(),
            amount: NewAmount::Times(Number::whole(1)),
        }],
        limits: DeviationLimits::default(),
        from: NOW,
        until: after(10),
        reason: "No milk this week".to_owned(),
        decision: Decision::Asked,
    }
}

fn grant(deviation: &Deviation, at: Moment, allergens: &[&str]) -> Deviation {
    let allergens: BTreeSet<Allergen> = allergens.iter().map(|one| one.parse().unwrap()).collect();
    let by = "Group pastry chef".to_owned();
    let grant = Grant { by, at, note: None, allergens, critical_limits: false };
    Deviation { decision: Decision::Granted(grant), ..deviation.clone() }
}

async fn decide(
    client: &Client,
    submitted: &Submitted,
    decided: Deviation,
) -> Result<Recorded, Error> {
    client.decide_deviation(&DecisionDraft::new(submitted, decided)?).await
}

/// A hub with the book, where harbour has asked.
async fn asked(keeping: Keeping) -> (TestHub, Client, Submitted) {
    let hub = TestHub::start(keeping).await;
    let client = client(&hub);
    release(&client, &documents(), &terms("First standards")).await;
    let wanted = wanted(&client).await;
    client.ask_deviation(&wanted).await.unwrap();
    client.ask_deviation(&wanted).await.expect("asked again it is asked once");
    let submitted = client.deviation(&wanted.id).await.unwrap();
    assert_eq!((&submitted.asked, &submitted.decided), (&wanted, &None));
    (hub, client, submitted)
}

/// The same, granted and taken by harbour's kitchen.
pub(crate) async fn granted(keeping: Keeping) -> (TestHub, Client, Replica) {
    let (hub, client, submitted) = asked(keeping).await;
    let yes = grant(&submitted.asked, NOW, &["nuts"]);
    decide(&client, &submitted, yes).await.unwrap();
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
    (hub, client, replica)
}

#[tokio::test]
async fn what_it_means_is_known_before_it_is_asked() {
    let (_hub, client, submitted) = asked(Keeping::Memory).await;
    let standards = client.site_standards(&site("harbour"), NOW).await.unwrap();
    let assessment = assess(&submitted.asked, &standards.edition(), on()).unwrap();
    assert!(assessment.needs_acknowledgement());
    let told: Vec<String> =
        assessment.comparison.changes().iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|one| one.contains("nuts.cashew: contains")), "{told:?}");
    assert!(told.iter().any(|one| one.contains("food at `harbour` costs")), "{told:?}");
    assert!(!told.iter().any(|one| one.contains("millrace")), "{told:?}");
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let own = replica.site_standards(NOW).await.unwrap();
    let its_own = assess(&submitted.asked, &own.edition(), on()).unwrap();
    assert_eq!(its_own, assessment, "a kitchen knows the same without the hub");
}

#[tokio::test]
async fn an_allergen_that_comes_never_passes_silently() {
    let (_hub, client, submitted) = asked(Keeping::Sqlite).await;
    let silent = grant(&submitted.asked, NOW, &[]);
    let refused = decide(&client, &submitted, silent).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::DeviationObjected));
    assert!(refused.is_precondition() && refused.to_string().contains("nuts.cashew"), "{refused}");
    let other = grant(&submitted.asked, NOW, &["milk", "sesame"]);
    assert!(decide(&client, &submitted, other).await.is_err(), "another allergen doesn't cover it");
    assert_eq!(client.deviation(&submitted.asked.id).await.unwrap().decided, None);
    let open_eyed = grant(&submitted.asked, NOW, &["nuts.cashew"]);
    decide(&client, &submitted, open_eyed).await.unwrap();
}

#[tokio::test]
async fn granted_it_lies_over_every_figure_and_says_so() {
    let (_hub, client, replica) = granted(Keeping::Sqlite).await;
    let piece = recipe("pear-buckwheat-entremet");
    let standard = replica.standard(&piece, NOW).await.unwrap();
    let target = Target::pieces(24);
    let plan = standard.scale(&target).unwrap();
    let laid = &plan.deviations[..];
    assert_eq!(laid.len(), 1);
    assert_eq!(
        laid[0].departures,
        ["line 1 takes `cashew-drink` instead of `milk-whole`, 1 times the amount"]
    );
    assert_eq!((laid[0].recipe.as_str(), laid[0].until), ("creme-anglaise", after(10)));
    assert!(plan.ingredient("cashew-drink").is_some());
    let costing = standard.cost(&target, on()).unwrap();
    assert_eq!((&costing.deviations[..], &costing.cautions[..]), (laid, &[][..]));
    let declared = standard.declare(&Declaring::default()).unwrap();
    assert_eq!(declared.deviations, laid);
    assert_eq!(plan.to_json()["deviations"][0]["deviation"], "harbour-cashew");
    let by_the_hub = client.scale(&site("harbour"), &piece, &target, Some(NOW)).await.unwrap();
    assert_eq!((&by_the_hub.basis, &by_the_hub.deviations), (&plan.basis, &plan.deviations));
    assert_eq!(by_the_hub.ingredients, plan.ingredients);
    let cost = client.cost(&site("harbour"), &piece, &target, on(), Some(NOW)).await.unwrap();
    assert_eq!((&cost.total, &cost.deviations), (&costing.total, &costing.deviations));
    assert_eq!(cost.basis, costing.basis);
}

#[tokio::test]
async fn no_other_kitchen_has_or_sees_it() {
    let (_hub, client, _) = granted(Keeping::Memory).await;
    let other = kitchen("millrace").await;
    other.sync(&client).await.unwrap();
    assert_eq!(other.deviations(NOW).await.unwrap(), []);
    let piece = recipe("pear-buckwheat-entremet");
    let plan = other.standard(&piece, NOW).await.unwrap().scale(&Target::pieces(24)).unwrap();
    assert!(plan.deviations.is_empty() && plan.ingredient("cashew-drink").is_none());
    let seen: Vec<_> =
        client.changes(&View::Site(site("millrace")), None).try_collect().await.unwrap();
    let positions: usize = seen.iter().map(|page| page.entries.len()).sum();
    assert!(positions < feed(&client).await.len());
    let listed: Vec<_> = client.deviations(Some(&site("millrace"))).try_collect().await.unwrap();
    assert_eq!(listed, []);
}

#[tokio::test]
async fn it_holds_for_its_time_and_falls_away_with_notice() {
    let (_hub, client, replica) = granted(Keeping::Memory).await;
    let (piece, target) = (recipe("creme-anglaise"), Target::grams(3000));
    let at = async |moment| replica.standard(&piece, moment).await.unwrap().scale(&target).unwrap();
    let told = |plan: &chablon_sdk::figures::Plan| {
        plan.cautions.iter().map(|one| (one.code().to_owned(), one.to_string())).collect::<Vec<_>>()
    };
    let within = at(Moment(after(10).0 - 1)).await;
    assert_eq!((within.deviations.len(), told(&within)), (1, vec![]));
    let past = at(after(10)).await;
    assert_eq!(past.deviations, []);
    let notice = "deviation `harbour-cashew` doesn't lie over `creme-anglaise`: it has fallen away";
    assert_eq!(told(&past), [("deviation-left-out".to_owned(), notice.to_owned())]);
    let hub = client.scale(&site("harbour"), &piece, &target, Some(after(10))).await.unwrap();
    assert_eq!(hub.basis, past.basis);
    assert_eq!(told(&hub), told(&past));
    let long_past = at(after(25)).await;
    assert_eq!((long_past.deviations.len(), told(&long_past)), (0, vec![]));
}

/// What a kitchen's leaves come to, as whoever asks who is on what is told.
async fn leaves(client: &Client, at_site: &str, at: Moment) -> Vec<State> {
    let rows = client.adopted(&site(at_site), at).await.unwrap();
    let leaves = rows.iter().flat_map(|row| {
        let of_it = |one: &ByLeave| DocumentKey::from(&one.deviation.recipe());
        assert!(row.by_leave.iter().all(|one| of_it(one) == row.standard.document));
        row.by_leave.iter().map(|one| one.state)
    });
    leaves.collect()
}

#[tokio::test]
async fn a_new_standard_beneath_it_puts_it_to_the_chef_again() {
    let (_hub, client, replica) = granted(Keeping::Sqlite).await;
    let (piece, target) = (recipe("pear-buckwheat-entremet"), Target::pieces(24));
    let then = replica.standard(&piece, NOW).await.unwrap().scale(&target).unwrap();
    let mut documents = documents();
    note(&mut documents, "creme-anglaise", "Stir in an eight");
    let next = Terms::new(after(1), "A hint for the hand", "Group pastry chef");
    release(&client, &documents, &next).await;
    replica.sync(&client).await.unwrap();
    let later = replica.standard(&piece, after(2)).await.unwrap().scale(&target).unwrap();
    assert_eq!(later.deviations, []);
    let told: Vec<String> = later.cautions.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 1);
    assert!(told[0].ends_with("is at revision 2 now; it must be decided anew"), "{told:?}");

    let submitted = client.deviation(&"harbour-cashew".parse().unwrap()).await.unwrap();
    let standards = client.site_standards(&site("harbour"), after(2)).await.unwrap();
    let now = standards.revision(&recipe("creme-anglaise")).unwrap().clone();
    assert_eq!(State::of(submitted.latest(), after(2), Some(&now)), State::Again);
    let base = submitted.latest().based_on.digest;
    let base = client.revision(&View::Whole, base).await.unwrap().read().unwrap();
    let put = standards.put_again(submitted.latest(), &base.content, on()).unwrap().unwrap();
    assert_eq!(put.verdict(), Verdict::Applies);
    let again = grant(&put.rebased(submitted.latest(), &now), after(2), &["nuts.cashew"]);
    decide(&client, &submitted, again).await.unwrap();
    replica.sync(&client).await.unwrap();
    assert_eq!(leaves(&client, "harbour", NOW).await, [State::InForce]);
    assert_eq!(leaves(&client, "harbour", Moment(after(2).0 - 1)).await, [State::Again]);
    assert_eq!(leaves(&client, "harbour", after(2)).await, [State::InForce]);
    assert_eq!(leaves(&client, "millrace", after(2)).await, []);
    let at = async |moment| replica.standard(&piece, moment).await.unwrap().scale(&target).unwrap();
    assert_eq!(at(after(2)).await.deviations.len(), 1);
    assert_eq!(at(NOW).await, then, "what was made by then is told as it was");
    assert_eq!(at(Moment(after(2).0 - 1)).await, later);
}

#[tokio::test]
async fn where_something_is_used_by_a_deviation_is_told_for_its_time() {
    let (_hub, client, replica) = granted(Keeping::Memory).await;
    let sought = Sought::Ingredient("cashew-drink".parse().unwrap());
    let uses = client.where_used(&sought).await.unwrap();
    assert_eq!(replica.where_used(&sought).await.unwrap(), uses);
    let anglaise: Vec<_> =
        uses.iter().filter(|one| one.recipe().as_str() == "creme-anglaise").collect();
    assert_eq!(anglaise.len(), 1);
    assert_eq!(anglaise[0].site, site("harbour"));
    assert_eq!(anglaise[0].deviation.as_ref().unwrap().as_str(), "harbour-cashew");
    assert_eq!((anglaise[0].from, anglaise[0].until), (NOW, Some(after(10))));
    assert!(uses.iter().any(|one| one.recipe().as_str() == "pear-buckwheat-entremet"));
    assert!(uses.iter().all(|one| one.site == site("harbour")));
}

#[tokio::test]
async fn of_two_who_decide_the_second_is_told() {
    let (_hub, client, submitted) = asked(Keeping::Sqlite).await;
    let (by, reason) = ("Deputy".to_owned(), "There is milk again".to_owned());
    let no = Deviation {
        decision: Decision::Refused { by, at: NOW, reason },
        ..submitted.asked.clone()
    };
    let draft = DecisionDraft::new(&submitted, no).unwrap();
    let first = client.decide_deviation(&draft).await.unwrap();
    assert_eq!(client.decide_deviation(&draft).await.unwrap(), first, "sent twice it is one");
    let yes = grant(&submitted.asked, NOW, &["nuts"]);
    let late = decide(&client, &submitted, yes).await.unwrap_err();
    assert_eq!((late.reason(), late.is_conflict()), (Some(Reason::DeviationDecided), true));
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let known = replica.deviations(NOW).await.unwrap();
    assert_eq!(State::of(&known[0], NOW, Some(&known[0].based_on)), State::Refused);
}

#[tokio::test]
async fn what_does_not_fit_is_refused_with_its_reason() {
    let (_hub, client, submitted) = asked(Keeping::Memory).await;
    let mut slipped = submitted.asked.clone();
    slipped.id = "slipped".parse().unwrap();
    let Departure::Ingredient { line, .. } = &mut slipped.departures[0] else { panic!() };
    line.number = 2;
    let refused = client.ask_deviation(&slipped).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::DeviationUnfit));
    assert!(refused.to_string().contains("line 2 doesn't take `milk-whole`"), "{refused}");
    let mut other = submitted.asked.clone();
    other.reason = "Other words".to_owned();
    let refused = client.ask_deviation(&other).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::DeviationExists));
    let mut wider = grant(&submitted.asked, NOW, &["nuts"]);
    let Departure::Ingredient { amount, .. } = &mut wider.departures[0] else { panic!() };
    *amount = NewAmount::Times(Number::whole(2));
    let refused = decide(&client, &submitted, wider).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::DeviationUnfit), "{refused}");
    let nobody = client.deviation(&"nobody".parse().unwrap()).await.unwrap_err();
    assert_eq!(nobody.reason(), Some(Reason::DeviationNotFound));
}

#[tokio::test]
async fn where_a_group_signs_a_decision_is_signed_like_a_release() {
    let (_hub, client) = signed_hub(Keeping::Sqlite).await;
    release_signed(&client, &documents(), &[11]).await.unwrap();
    let wanted = wanted(&client).await;
    client.ask_deviation(&wanted).await.unwrap();
    let submitted = client.deviation(&wanted.id).await.unwrap();
    let yes = grant(&submitted.asked, NOW, &["nuts"]);
    let mut draft = DecisionDraft::new(&submitted, yes).unwrap();
    let refused = client.decide_deviation(&draft).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::SignatureMissing), "{refused:?}");
    draft.sign(&key(11));
    let recorded = client.decide_deviation(&draft).await.unwrap();
    assert_eq!(client.decide_deviation(&draft).await.unwrap(), recorded, "it may be sent again");
    let replica = pinned("harbour", &client).await;
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
}
