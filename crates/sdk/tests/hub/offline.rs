//! A kitchen without its hub.

use chablon_sdk::arith::Target;
use chablon_sdk::model::{Day, Moment};
use chablon_sdk::publish::GoOn;
use chablon_sdk::{Reason, Replica};
use chablon_testkit::{Keeping, sample};

use crate::common::{
    NOW, first_line, hub_with_book, kitchen, recipe, release, site, terms, withdraw,
};

#[tokio::test]
async fn a_kitchen_makes_and_costs_with_the_hub_gone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour.db");
    let (hub, client) = hub_with_book(Keeping::Sqlite).await;
    let replica = Replica::open(&path, site("harbour")).await.unwrap();
    replica.sync(&client).await.unwrap();
    replica.close().await;
    hub.stop().await;

    let replica = Replica::reopen(&path).await.unwrap();
    assert_eq!(replica.site(), &site("harbour"));
    let standard = replica.standard(&recipe("custard-cream"), NOW).await.unwrap();
    let plan = standard.scale(&Target::pieces(100)).unwrap();
    // 5 kg net of written 600 g custard and 400 g cream, in three batches of a 2 kg mixer.
    assert_eq!(plan.ingredient("cream-35").unwrap().mass_g.to_string(), "2000.000");
    assert_eq!(plan.component("custard").unwrap().net_g.to_string(), "3000.000");
    assert_eq!(plan.component("custard-cream").unwrap().batches, 3);
    let costing = standard.cost(&Target::pieces(100), Day::new(2026, 10, 1).unwrap()).unwrap();
    // The kitchen's own price of cream, 4 EUR/kg, goes before the group's.
    assert_eq!(costing.ingredient("cream-35").unwrap().cost.as_ref().unwrap().to_string(), "8.00");
    // Three batches of 10 min at 24 EUR/h.
    assert_eq!(costing.labour.to_string(), "12.00");
    assert!(costing.is_complete());
    let lost = replica.sync(&client).await.unwrap_err();
    assert!(lost.may_retry() && lost.is_unavailable() && !lost.outcome_unknown(), "{lost:?}");
    assert!(lost.to_string().contains("can't be reached"), "{lost}");
}

#[tokio::test]
async fn a_standard_says_where_it_comes_from() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let standard = replica.standard(&recipe("custard-cream"), NOW).await.unwrap();
    assert_eq!(
        (standard.revision().number, standard.in_force().note.as_str()),
        (1, "First standards")
    );
    assert_eq!(standard.recipe().id, recipe("custard-cream"));
    assert_eq!(standard.recipes().len(), 2);
    assert_eq!(standard.ingredients().len(), 4);
    assert_eq!(standard.site().map(|site| site.name.as_str()), Some("Harbour kitchen"));
    assert!(standard.cautions().is_empty());
}

#[tokio::test]
async fn nothing_is_in_force_before_its_moment() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let early = replica.standard(&recipe("custard"), Moment(NOW.0 - 1)).await.unwrap_err();
    assert_eq!((early.is_not_found(), early.reason()), (true, Some(Reason::NotInForce)));
}

#[tokio::test]
async fn a_stopped_standard_is_not_made() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    withdraw(&client, "custard", GoOn::WithNone, "Yolks recalled").await;
    replica.sync(&client).await.unwrap();
    let stopped = replica.standard(&recipe("custard"), NOW).await.unwrap_err();
    assert_eq!(stopped.stopped().map(|one| one.reason.as_str()), Some("Yolks recalled"));
    assert!(stopped.to_string().contains("Yolks recalled"), "{stopped}");

    // What uses it stays in force, with a word of caution in every result.
    let user = replica.standard(&recipe("custard-cream"), NOW).await.unwrap();
    let plan = user.scale(&Target::pieces(20)).unwrap();
    assert_eq!(plan.cautions.len(), 1);
    let caution = plan.cautions[0].to_string();
    assert!(caution.contains("revision 1 of `recipe/custard`"), "{caution}");
    assert!(caution.contains("Yolks recalled"), "{caution}");
}

#[tokio::test]
async fn a_withdrawal_goes_back_to_an_earlier_revision() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 1100);
    release(&client, &documents, &terms("A slip")).await;
    withdraw(&client, "custard", GoOn::WithRevision(1), "Too much milk").await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let standard = replica.standard(&recipe("custard"), NOW).await.unwrap();
    assert_eq!(standard.revision().number, 1);
    let because = standard.in_force().because.as_ref().unwrap();
    assert_eq!(because.reason, "Too much milk");
    assert_eq!(because.withdrawn.number, 2);
    let cautions: Vec<String> = standard.cautions().iter().map(ToString::to_string).collect();
    let why = "it is what to go back to: Group pastry chef has withdrawn revision 2 of \
               `recipe/custard`: Too much milk";
    assert_eq!(cautions, [why], "it is good, and says why it is in force");
    let user = replica.standard(&recipe("custard-cream"), NOW).await.unwrap();
    assert_eq!(user.cautions().len(), 1, "it still pins the slip");
}

#[tokio::test]
async fn a_release_that_mends_it_ends_the_caution() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    withdraw(&client, "custard", GoOn::WithNone, "Too thin").await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("Thicker")).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let user = replica.standard(&recipe("custard-cream"), NOW).await.unwrap();
    assert_eq!((user.revision().number, user.cautions().len()), (2, 0));
}

#[tokio::test]
async fn yesterdays_plan_can_be_made_again() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let target = Target::pieces(37);
    let before =
        replica.standard(&recipe("custard-cream"), NOW).await.unwrap().scale(&target).unwrap();
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    let tomorrow = Moment(NOW.0 + 86_400_000);
    let mut later = terms("From tomorrow");
    later.holds_from = tomorrow;
    release(&client, &documents, &later).await;
    replica.sync(&client).await.unwrap();
    let again =
        replica.standard(&recipe("custard-cream"), NOW).await.unwrap().scale(&target).unwrap();
    assert_eq!(again, before);
    let after =
        replica.standard(&recipe("custard-cream"), tomorrow).await.unwrap().scale(&target).unwrap();
    assert_ne!(after.basis, before.basis);
}
