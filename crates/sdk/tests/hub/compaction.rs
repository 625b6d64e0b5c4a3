//! Catching up with a hub that no longer lists what was superseded long ago.

use chablon_sdk::{Client, Relisted};
use chablon_testkit::{Keeping, sample};
use test_case::test_case;

use crate::common::{assert_equal, first_line, hub_with_book, kitchen, release, terms};

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
