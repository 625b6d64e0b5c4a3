//! Catching up with a hub that no longer lists what was superseded long ago.

use chablon_sdk::model::View;
use chablon_sdk::{Bundle, Client, Error, Reason, Relisted};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{
    NOW, assert_equal, first_line, hub_with_book, kitchen, quick, release, site, terms,
};
use crate::liar::{Gate, gated};
use crate::signing::{pinned, pinned_at, release_signed, signed_hub, withdraw_signed};

/// Releases the custard so many times, each time with another amount.
async fn corrections(client: &Client, amounts: std::ops::Range<i64>) {
    let mut documents = sample::book().documents();
    for grams in amounts {
        first_line(&mut documents, "custard", grams);
        release(client, &documents, &terms("Another amount")).await;
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_kitchen_that_is_far_behind_lists_anew_and_ends_equal(keeping: Keeping) {
    let (hub, client) = hub_with_book(keeping).await;
    let (behind, ahead) = (kitchen("harbour").await, kitchen("harbour").await);
    behind.sync(&client).await.unwrap();
    corrections(&client, 900..910).await;
    ahead.sync(&client).await.unwrap();
    assert_eq!(hub.compact().await.passed_over, 9);

    let synced = behind.sync(&client).await.unwrap();
    assert_eq!(synced.relisted, Some(Relisted::Compacted));
    assert_eq!((synced.progress.entries, synced.progress.revisions), (3, 2), "the rest is held");
    assert_equal(&behind, &client).await;

    corrections(&client, 910..911).await;
    for replica in [&behind, &ahead] {
        let synced = replica.sync(&client).await.unwrap();
        assert_eq!((synced.relisted, synced.progress.entries), (None, 1));
    }
    assert_equal(&behind, &client).await;
    let fresh = kitchen("harbour").await;
    assert_eq!(fresh.sync(&client).await.unwrap().progress.entries, 4, "what is left and the new");
    assert_equal(&fresh, &client).await;
}

/// The same where the kitchens have pinned a root: the snapshot's end is vouched for.
#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn kitchens_that_trust_a_root_take_a_snapshot_and_go_on(keeping: Keeping) {
    let (hub, client) = signed_hub(keeping).await;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kitchen.db");
    let (behind, ahead) = (pinned("harbour", &client).await, pinned("harbour", &client).await);
    behind.sync(&client).await.unwrap();
    let mut documents = sample::book().documents();
    for grams in 900..910 {
        first_line(&mut documents, "custard", grams);
        release_signed(&client, &documents, &[11]).await.unwrap();
    }
    ahead.sync(&client).await.unwrap();
    assert_eq!(hub.compact().await.passed_over, 9);
    let bundle = Bundle::of_hub(&client, &site("harbour"), NOW).await.unwrap();

    let synced = behind.sync(&client).await.unwrap();
    assert_eq!((synced.relisted, synced.progress.entries), (Some(Relisted::Compacted), 3));
    let fresh = pinned_at(&path, &client, NOW).await;
    assert_eq!(fresh.sync(&client).await.unwrap().relisted, None);
    fresh.close().await;
    let from_a_stick = pinned("harbour", &client).await;
    from_a_stick.import(&bundle).await.unwrap();

    withdraw_signed(&client, &[11]).await.unwrap();
    let reopened = pinned_at(&path, &client, NOW).await;
    for replica in [&behind, &ahead, &reopened, &from_a_stick] {
        let synced = replica.sync(&client).await.unwrap();
        assert_eq!((synced.relisted, synced.progress.entries), (None, 1));
    }
    // Who was up to date still has what is passed over; its state was compared by its digest.
    for replica in [&behind, &reopened, &from_a_stick] {
        assert_equal(replica, &client).await;
    }
}

/// A kitchen takes a compacted view from a stick in the place of what it holds.
#[tokio::test]
async fn a_kitchen_that_is_far_behind_takes_a_bundle_of_a_compacted_view() {
    let (hub, client) = signed_hub(Keeping::Memory).await;
    let behind = pinned("harbour", &client).await;
    behind.sync(&client).await.unwrap();
    let mut documents = sample::book().documents();
    for grams in 900..905 {
        first_line(&mut documents, "custard", grams);
        release_signed(&client, &documents, &[11]).await.unwrap();
    }
    hub.compact().await;
    let bundle = Bundle::of_hub(&client, &site("harbour"), NOW).await.unwrap();
    assert_eq!(behind.import(&bundle).await.unwrap().relisted, Some(Relisted::Compacted));
    assert_equal(&behind, &client).await;
    assert_eq!(behind.import(&bundle).await.unwrap().progress.entries, 0);
}

/// What reads a hub that is compacted each time once the first page was fetched, for so many
/// beginnings, and then lets all pass.
async fn interrupted<T: Send + 'static, F>(
    (hub, client): (&TestHub, &Client),
    beginnings: u64,
    read: impl FnOnce(Client) -> F,
) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>> + Send + 'static,
{
    let gate = Gate::closed();
    let address = gated(hub.channel().await, &gate).await;
    let through = Client::connect([address], quick().with_page_size(1)).expect("an address");
    let reading = tokio::spawn(read(through));
    for beginning in 1..=beginnings {
        gate.fetched(beginning).await;
        let grams = 1000 + i64::try_from(client.head(&View::Whole).await?.cursor.position).unwrap();
        corrections(client, grams..grams + 2).await;
        assert!(hub.compact().await.passed_over > 0);
        gate.let_pass(1);
    }
    gate.let_pass(1000);
    reading.await.expect("it doesn't panic")
}

#[tokio::test]
async fn a_list_that_runs_into_a_compaction_is_begun_again() {
    let (hub, client) = hub_with_book(Keeping::Memory).await;
    corrections(&client, 900..902).await;
    let harbour = || View::Site(site("harbour"));
    let bare = interrupted((&hub, &client), 1, async move |through: Client| {
        through.changes(&harbour(), None).try_collect::<Vec<_>>().await
    });
    assert_eq!(bare.await.unwrap_err().reason(), Some(Reason::HistoryCompacted));

    let all = async move |through: Client| through.all_changes(&harbour()).await;
    let listed = interrupted((&hub, &client), 2, all).await.unwrap();
    assert_eq!(listed, client.all_changes(&harbour()).await.unwrap());

    let adopted = async |through: Client| through.adopted(&site("harbour"), NOW).await;
    let told = interrupted((&hub, &client), 1, adopted).await.unwrap();
    assert_eq!(told, client.adopted(&site("harbour"), NOW).await.unwrap());

    let written = async |through: Client| Bundle::of_hub(&through, &site("harbour"), NOW).await;
    let bundle = interrupted((&hub, &client), 1, written).await.unwrap();
    let calm = Bundle::of_hub(&client, &site("harbour"), NOW).await.unwrap();
    assert_eq!(bundle.to_bytes(), calm.to_bytes());
}

#[tokio::test]
async fn a_list_that_never_stays_the_same_is_given_up() {
    let (hub, client) = hub_with_book(Keeping::Memory).await;
    corrections(&client, 900..902).await;
    let all = async |through: Client| through.all_changes(&View::Site(site("harbour"))).await;
    let refused = interrupted((&hub, &client), 5, all).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::HistoryCompacted));
}
