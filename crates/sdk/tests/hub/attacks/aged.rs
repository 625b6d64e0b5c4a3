//! States of long ago, of a far future, and the same for ever.

use chablon_sdk::model::Moment;
use chablon_sdk::trust::{Notice, TrustError, state_digest};
use chablon_sdk::{Client, Replica};
use chablon_store_sqlite::SqliteHub;
use chablon_testkit::trust::HUB_KEY;
use chablon_testkit::{Keeping, sample};
use chablon_wire::decode_checkpoint;

use super::{entries, sign};
use crate::common::{NOW, assert_equal, client, client_of, note, recipe};
use crate::liar::{Lies, liar};
use crate::signing::{
    DAY, hub_beside_a_copy, hub_with_key, pinned, pinned_at, release_signed, root_with_hub_key,
    rule, signed_hub, withdraw_signed,
};

/// With a stolen key a hub that was compacted says that the last release decides nothing any more.
#[tokio::test]
async fn a_snapshot_takes_no_kitchen_back() {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let replica = pinned("harbour", &honest).await;
    let mut documents = sample::book().documents();
    for text in ["Stir", "Stir well"] {
        note(&mut documents, "custard", text);
        release_signed(&honest, &documents, &[11]).await.unwrap();
        replica.sync(&honest).await.unwrap();
    }
    note(&mut documents, "custard", "Stir without haste");
    release_signed(&honest, &documents, &[11]).await.unwrap();
    hub.compact().await;
    // What is held is superseded by what is left out, so the release before the two would be back.
    let without_the_last = Lies::about_pages(|_, page| {
        let honest = page.checkpoint.take().expect("a checkpoint");
        let mut checkpoint = decode_checkpoint(&honest.body).expect("the hub's checkpoint");
        page.entries.pop();
        checkpoint.state = Some(state_digest(&entries(page), checkpoint.issued_at));
        sign(page, &checkpoint);
    });
    let lied_to = client_of([liar(hub.channel().await, without_the_last).await]);
    let refused = replica.sync(&lied_to).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::EntriesLost { count: 1.., .. }), "{refused:?}");
    let standard = replica.standard(&recipe("custard"), NOW).await.unwrap();
    assert_eq!(standard.revision().number, 3);
    replica.sync(&honest).await.unwrap();
    assert_equal(&replica, &honest).await;
}

/// A hub in a file that a kitchen follows, and a copy of the file from before the last release.
struct Copied {
    folder: tempfile::TempDir,
    replica: Replica,
    honest: Client,
    hub: chablon_testkit::TestHub,
}

async fn copied() -> Copied {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let hub = hub_beside_a_copy(&at("hub.db"), &at("old.db")).await;
    let honest = client(&hub);
    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "Stir");
    release_signed(&honest, &documents, &[11]).await.unwrap();
    let replica = pinned_at(&at("kitchen.db"), &honest, NOW).await;
    replica.sync(&honest).await.unwrap();
    Copied { folder, replica, honest, hub }
}

impl Copied {
    async fn still_good(&self) {
        self.replica.check().await.unwrap();
        let standard = self.replica.standard(&recipe("custard"), NOW).await.unwrap();
        assert_eq!(standard.revision().number, 2);
        self.replica.sync(&self.honest).await.unwrap();
        assert_equal(&self.replica, &self.honest).await;
    }
}

#[tokio::test]
async fn rollback() {
    let copied = copied().await;
    let old = hub_with_key(Keeping::SqliteAt(copied.folder.path().join("old.db")), HUB_KEY).await;
    let refused = copied.replica.sync(&client(&old)).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::WentBack { .. }), "{refused:?}");
    copied.still_good().await;
}

#[tokio::test]
async fn restored_old_backup() {
    let copied = copied().await;
    let path = copied.folder.path().join("old.db");
    SqliteHub::open_restored(&path, "restored".parse().unwrap()).await.unwrap().close().await;
    let restored = hub_with_key(Keeping::SqliteAt(path.clone()), HUB_KEY).await;
    let refused = copied.replica.sync(&client(&restored)).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::EntriesLost { count: 1, .. }), "{refused:?}");
    copied.still_good().await;
    // What is lost is given up by a root that replaces the hub's key.
    restored.stop().await;
    let restored = hub_with_key(Keeping::SqliteAt(path), 22).await;
    let restored_client = client(&restored);
    restored_client.add_root(&root_with_hub_key(2, 22)).await.unwrap();
    copied.replica.sync(&restored_client).await.unwrap();
    assert_equal(&copied.replica, &restored_client).await;
    let standard = copied.replica.standard(&recipe("custard"), NOW).await.unwrap();
    assert_eq!(standard.revision().number, 1);
    drop(copied.hub);
}

#[tokio::test]
async fn fast_forward() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let (hub, honest) = signed_hub(Keeping::SqliteAt(path.clone())).await;
    let replica = pinned("harbour", &honest).await;
    replica.sync(&honest).await.unwrap();
    // Whoever stole the hub's key lets the kitchen believe that it is far ahead.
    let ahead = Lies::about_pages(|_, page| {
        let honest = page.checkpoint.take().expect("a checkpoint");
        let mut checkpoint = decode_checkpoint(&honest.body).expect("the hub's checkpoint");
        let far = 1 << 60;
        page.next.as_mut().expect("a cursor").position = far;
        checkpoint.position = far;
        checkpoint.issued_at = Moment(NOW.0 + 1000 * DAY);
        checkpoint.expires_at = Moment(NOW.0 + 2000 * DAY);
        sign(page, &checkpoint);
    });
    let lied_to = client_of([liar(hub.channel().await, ahead).await]);
    let synced = replica.sync(&lied_to).await.unwrap();
    assert!(matches!(synced.notices[..], [Notice::ClockAhead { .. }]), "{:?}", synced.notices);
    // The honest hub is refused now, and all that is held stays usable.
    let refused = replica.sync(&honest).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::WentBack { .. }), "{refused:?}");
    replica.standard(&recipe("custard"), NOW).await.unwrap();
    // A root that replaces the hub's key cures it.
    hub.stop().await;
    let hub = hub_with_key(Keeping::SqliteAt(path), 22).await;
    let cured = client(&hub);
    cured.add_root(&root_with_hub_key(2, 22)).await.unwrap();
    withdraw_signed(&cured, &[11]).await.unwrap();
    replica.sync(&cured).await.unwrap();
    assert_equal(&replica, &cured).await;
}

#[tokio::test]
async fn freeze() {
    // The hub's clock stands still, as that of a mirror does that shows the same for ever.
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let folder = tempfile::tempdir().unwrap();
    let later = Moment(NOW.0 + 2 * DAY);
    let replica = pinned_at(&folder.path().join("kitchen.db"), &honest, later).await;
    let synced = replica.sync(&honest).await.unwrap();
    let since = Moment(NOW.0 + DAY);
    assert_eq!(synced.notices, [Notice::CheckpointExpired { since }]);
    replica.standard(&recipe("custard"), later).await.unwrap();
    // Time goes on, and so do the hub's checkpoints.
    hub.clock().set(later);
    assert_eq!(replica.sync(&honest).await.unwrap().notices, []);
}
