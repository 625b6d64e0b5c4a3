//! Replicas that can't be used.

use std::path::Path;

use chablon_sdk::Replica;
use chablon_testkit::Keeping;

use crate::common::{NOW, assert_equal, hub_with_book, recipe, site};

async fn filled(path: &Path) -> (chablon_testkit::TestHub, chablon_sdk::Client) {
    let (hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = Replica::open(path, site("harbour")).await.unwrap();
    replica.sync(&client).await.unwrap();
    replica.close().await;
    (hub, client)
}

#[tokio::test]
async fn a_file_that_is_no_replica_is_named_and_rebuilt() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour.db");
    let (_hub, client) = filled(&path).await;
    std::fs::write(&path, vec![0x5A; 40_000]).unwrap();
    let refused = Replica::open(&path, site("harbour")).await.unwrap_err();
    assert!(refused.is_damaged(), "{refused:?}");
    assert!(refused.to_string().contains("harbour.db"), "{refused}");
    let replica = Replica::rebuild(&path, site("harbour")).await.unwrap().with_clock(|| NOW);
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn changed_bytes_are_never_made_from() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour.db");
    let _hub = filled(&path).await;
    // One letter of a document, as a failing disk would change it.
    let mut bytes = std::fs::read(&path).unwrap();
    let at = bytes.windows(14).position(|part| part == b"Custard cream\x12".as_slice());
    let at = at.or_else(|| bytes.windows(13).position(|part| part == b"Custard cream".as_slice()));
    bytes[at.expect("the title is in the file")] = b'M';
    std::fs::write(&path, bytes).unwrap();
    let replica = Replica::open(&path, site("harbour")).await.unwrap();
    let refused = replica.standard(&recipe("custard-cream"), NOW).await.unwrap_err();
    assert!(refused.is_damaged(), "{refused:?}");
    assert!(refused.to_string().contains("`recipe/custard-cream`"), "{refused}");
    assert!(replica.check().await.unwrap_err().is_damaged());
}

#[tokio::test]
async fn another_sites_replica_is_not_taken_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour.db");
    let _hub = filled(&path).await;
    let refused = Replica::open(&path, site("millrace")).await.unwrap_err();
    assert!(refused.is_conflict(), "{refused:?}");
}

#[tokio::test]
async fn a_replica_that_is_not_there_is_not_made_by_looking() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour.db");
    assert!(Replica::reopen(&path).await.unwrap_err().is_not_found());
    assert!(!path.exists());
}
