//! What a kitchen that leaves a group would no longer know to be withdrawn.

use chablon_sdk::model::{Audience, DocumentContent};
use chablon_sdk::publish::{GoOn, Taking};
use chablon_sdk::{Client, InForceAgain, Untold};
use chablon_testkit::{Keeping, sample};

use crate::common::{
    NOW, first_line, group, hub_with_book, regroup, release, site, terms, withdraw,
};

/// Takes the first revision of the custard back from some.
async fn withdraw_from(client: &Client, audience: Audience) {
    let document = "recipe/custard".parse().unwrap();
    let taking = Taking::back(document, GoOn::WithNone, NOW, "Yolks recalled", "The chef");
    let draft = client.draft_withdrawal(taking.revision(1).from(audience)).await.unwrap();
    client.withdraw(&draft).await.unwrap();
}

/// What would be if these documents were released to these.
async fn would_be(client: &Client, documents: &[DocumentContent], to: Audience) -> Vec<Untold> {
    let draft = client.draft(documents, &terms("Regrouped").to(to)).await.unwrap();
    let again = client.in_force_again(draft.leaving(), draft.parts(), NOW).await.unwrap();
    assert!(again.iter().all(|one| one.leaving.site == site("harbour")), "{again:?}");
    again.into_iter().flat_map(|InForceAgain { withdrawn, .. }| withdrawn).collect()
}

/// The revision, whether it is in force, and what uses it.
fn shown(untold: &[Untold]) -> Vec<String> {
    let name = |one: &chablon_sdk::model::RevisionRef| format!("{} {}", one.key, one.number);
    let each = untold.iter().map(|one| {
        let users: Vec<String> = one.used_by.iter().map(name).collect();
        format!("{}: {} by {}", name(&one.withdrawal.revision), one.in_force, users.join(", "))
    });
    each.collect()
}

#[tokio::test]
async fn what_was_withdrawn_from_the_group_is_named_until_it_is_from_the_site() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    withdraw_from(&client, group("coast")).await;
    let mut documents = sample::book().documents();
    assert!(would_be(&client, &documents, Audience::All).await.is_empty(), "nobody leaves");
    regroup(&mut documents, "harbour", &["pilot"]);
    let again = would_be(&client, &documents, Audience::All).await;
    assert_eq!(shown(&again), ["recipe/custard 1: true by recipe/custard-cream 1"]);
    let elsewhere = Audience::site(site("millrace"));
    assert!(would_be(&client, &documents, elsewhere).await.is_empty(), "it stays in its group");
    let mut mended = documents.clone();
    first_line(&mut mended, "custard", 900);
    assert!(would_be(&client, &mended, Audience::All).await.is_empty(), "another takes its place");
    withdraw_from(&client, Audience::site(site("harbour"))).await;
    assert!(would_be(&client, &documents, Audience::All).await.is_empty());
}

/// What isn't in force itself may be in what is.
#[tokio::test]
async fn what_would_be_used_without_a_caution_is_named_too() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    withdraw_from(&client, group("coast")).await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("Less milk")).await;
    regroup(&mut documents, "harbour", &[]);
    assert!(would_be(&client, &documents, Audience::All).await.is_empty(), "nothing uses it");
    withdraw(&client, "custard-cream", GoOn::WithRevision(1), "Too firm").await;
    let again = would_be(&client, &documents, Audience::All).await;
    assert_eq!(shown(&again), ["recipe/custard 1: false by recipe/custard-cream 1"]);
}
