//! Reaching a hub at one or several addresses.

use chablon_sdk::model::View;
use chablon_sdk::{Client, Options};
use chablon_testkit::{Keeping, Proxy, TestHub};
use test_case::test_case;

use crate::common::{assert_equal, client_of, hub_with_book, kitchen};

#[test_case(&[], "no address"; "none")]
#[test_case(&["not an address"], "`not an address`"; "with spaces")]
#[test_case(&["ftp://hub.example"], "only `http` and `https`"; "of another kind")]
#[tokio::test]
async fn addresses_are_looked_at_before_anything_is_sent(addresses: &[&str], said: &str) {
    let refused = Client::connect(addresses.iter().copied(), Options::default()).unwrap_err();
    assert!(refused.is_invalid());
    assert!(refused.to_string().contains(said), "{refused}");
}

#[tokio::test]
async fn an_address_needs_no_scheme() {
    let (hub, _) = hub_with_book(Keeping::Memory).await;
    let client = client_of([hub.address().to_string()]);
    assert_eq!(client.head(&View::Whole).await.unwrap().cursor.position, 3);
}

#[tokio::test]
async fn nothing_is_needed_before_the_first_call() {
    client_of(["http://127.0.0.1:9".to_owned()]);
}

#[tokio::test]
async fn the_next_address_takes_over() {
    let (hub, _) = hub_with_book(Keeping::Memory).await;
    let (first, second) = (Proxy::to(hub.address()).await, Proxy::to(hub.address()).await);
    let client = client_of([first.url(), second.url()]);
    let replica = kitchen("harbour").await;
    first.cut();
    replica.sync(&client).await.unwrap();
    first.mend();
    second.cut();
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn a_hub_that_comes_back_elsewhere_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let keeping = Keeping::SqliteAt(folder.path().join("hub.db"));
    let (old, _) = hub_with_book(keeping.clone()).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client_of([old.url()])).await.unwrap();
    let gone = old.url();
    old.stop().await;
    let new = TestHub::start(keeping).await;
    let client = client_of([gone, new.url()]);
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!((synced.relisted, synced.progress.entries), (None, 0), "it is the same history");
    assert_equal(&replica, &client).await;
}
