//! Kitchens that have pinned a root, and what that costs nobody else.

use std::time::Duration;

use chablon_sdk::model::{Root, View};
use chablon_sdk::trust::{Notice, TrustError};
use chablon_sdk::{Event, Pin, Reason, Relisted, Replica, Status};
use chablon_testkit::trust::{HUB_KEY, key, role, root, signed_root};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt as _;

use crate::common::{
    NOW, assert_equal, client, client_of, hub_with_book, kitchen, note, release, site, terms,
};
use crate::signing::{
    DAY, first_root, hub_with_key, pinned, release_signed, rule, signed_hub, withdraw_signed,
};

#[tokio::test]
async fn a_pinned_kitchen_takes_what_is_signed() {
    for keeping in [Keeping::Memory, Keeping::Sqlite] {
        let (_hub, client) = signed_hub(keeping).await;
        let replica = pinned("harbour", &client).await;
        let synced = replica.sync(&client).await.unwrap();
        assert_eq!((synced.notices, synced.relisted), (vec![], None));
        assert_equal(&replica, &client).await;
        let mut documents = sample::book().documents();
        note(&mut documents, "custard", "Stir");
        release_signed(&client, &documents, &[12]).await.unwrap();
        withdraw_signed(&client, &[11]).await.unwrap();
        replica.sync(&client).await.unwrap();
        assert_equal(&replica, &client).await;
        let Status { trust, cursor, .. } = replica.status().await.unwrap();
        let trust = trust.unwrap();
        assert_eq!((trust.version, trust.digest), (1, first_root().digest));
        let position = trust.checkpoint.unwrap().position;
        assert_eq!(Some(position), cursor.map(|cursor| cursor.position));
    }
}

#[tokio::test]
async fn a_kitchen_that_follows_takes_what_is_signed() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let replica = pinned("harbour", &client).await;
    let (done, until) = tokio::sync::oneshot::channel::<()>();
    let mut done = Some(done);
    let following = replica.follow(&client, async { until.await.unwrap_or_default() }, |event| {
        if matches!(event, Event::Took { .. }) {
            done.take();
        }
    });
    let releasing = async {
        tokio::time::sleep(Duration::from_millis(300)).await;
        withdraw_signed(&client, &[11]).await.unwrap();
    };
    let (followed, ()) =
        tokio::time::timeout(Duration::from_secs(20), async { tokio::join!(following, releasing) })
            .await
            .expect("it ends in time");
    followed.unwrap();
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn without_a_pin_a_signed_hub_is_like_any() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
    assert_eq!(replica.status().await.unwrap().trust, None);
}

#[tokio::test]
async fn a_pinned_kitchen_takes_nothing_from_an_unsigned_hub() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.pin(&client, &Pin::Root(first_root())).await.unwrap();
    let refused = replica.sync(&client).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::TooFewSignatures { .. }), "{refused:?}");
    // Signed entries from a hub that vouches for nothing.
    let hub = TestHub::start(Keeping::Memory).await;
    let client = crate::common::client(&hub);
    release_signed(&client, &sample::book().documents(), &[11]).await.unwrap();
    let refused = replica.sync(&client).await.unwrap_err();
    assert_eq!(*rule(&refused), TrustError::Unvouched);
    assert!(replica.entries().await.unwrap().is_empty());
}

#[tokio::test]
async fn a_hub_with_a_root_refuses_what_is_not_signed() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "Stir");
    for keys in [&[][..], &[66], &[1, 2], &[HUB_KEY]] {
        let refused = release_signed(&client, &documents, keys).await.unwrap_err();
        assert_eq!(refused.reason(), Some(Reason::SignatureMissing), "{keys:?}: {refused:?}");
        let refused = withdraw_signed(&client, keys).await.unwrap_err();
        assert_eq!(refused.reason(), Some(Reason::SignatureMissing), "{keys:?}: {refused:?}");
    }
    release_signed(&client, &documents, &[66, 12]).await.unwrap();
}

#[tokio::test]
async fn one_release_key_stolen_below_the_threshold_releases_nothing() {
    let both = signed_root(&Root { release: role(2, &[11, 12]), ..root(1) }, &[1, 2]);
    let hub = hub_with_key(Keeping::Memory, HUB_KEY).await;
    let client = client(&hub);
    client.add_root(&both).await.unwrap();
    let documents = sample::book().documents();
    let refused = release_signed(&client, &documents, &[11]).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::SignatureMissing), "{refused:?}");
    release_signed(&client, &documents, &[11, 12]).await.unwrap();
}

#[tokio::test]
async fn a_root_is_pinned_by_its_bytes_its_digest_or_as_the_first_shown() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let pins = [Pin::Root(first_root()), Pin::Digest(first_root().digest), Pin::FirstShown];
    for pin in &pins {
        let replica = kitchen("harbour").await;
        let trusted = replica.pin(&client, pin).await.unwrap();
        assert_eq!(trusted.root(), &root(1));
        replica.sync(&client).await.unwrap();
        for again in &pins {
            replica.pin(&client, again).await.unwrap();
        }
    }
    let other = signed_root(&Root { release: role(1, &[66]), ..root(1) }, &[1, 2]);
    let replica = kitchen("harbour").await;
    let refused = replica.pin(&client, &Pin::Digest(other.digest)).await.unwrap_err();
    assert!(refused.is_not_found(), "{refused:?}");
    replica.pin(&client, &pins[0]).await.unwrap();
    let refused = replica.pin(&client, &Pin::Root(other)).await.unwrap_err();
    assert!(refused.untrusted().is_some() || refused.is_conflict(), "{refused:?}");
    let unsigned = kitchen("harbour").await;
    let (_plain, plain) = hub_with_book(Keeping::Memory).await;
    let refused = unsigned.pin(&plain, &Pin::FirstShown).await.unwrap_err();
    assert!(refused.is_not_found(), "{refused:?}");
}

#[tokio::test]
async fn a_rebuilt_kitchen_trusts_whom_it_trusted() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kitchen.db");
    let replica = crate::signing::pinned_at(&path, &client, NOW).await;
    replica.sync(&client).await.unwrap();
    replica.close().await;
    let rebuilt = Replica::rebuild(&path, site("harbour")).await.unwrap().with_clock(|| NOW);
    assert_eq!(rebuilt.trusted_root().await.unwrap().unwrap().root(), &root(1));
    rebuilt.sync(&client).await.unwrap();
    assert_equal(&rebuilt, &client).await;
    let (_plain, plain) = hub_with_book(Keeping::Memory).await;
    rebuilt.sync(&plain).await.unwrap_err();
}

#[tokio::test]
async fn what_was_taken_before_the_pin_is_listed_anew() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    replica.pin(&client, &Pin::FirstShown).await.unwrap();
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!((synced.relisted, synced.progress.revisions), (Some(Relisted::Unvouched), 0));
    assert_eq!(replica.sync(&client).await.unwrap().relisted, None);
}

/// The release keys are replaced: old kitchens go on, new ones begin, once the feed is signed anew.
#[tokio::test]
async fn root_rotation_is_followed_from_version_to_version() {
    let (_hub, client) = signed_hub(Keeping::Sqlite).await;
    let old = pinned("harbour", &client).await;
    old.sync(&client).await.unwrap();
    let next = Root { release: role(1, &[13]), root: role(1, &[4]), ..root(2) };
    assert_eq!(client.add_root(&signed_root(&next, &[1, 2, 4])).await.unwrap(), 2);
    let third = Root { version: 3, ..next };
    client.add_root(&signed_root(&third, &[4])).await.unwrap();

    let new = pinned("millrace", &client).await;
    assert_eq!(new.trusted_root().await.unwrap().unwrap().root().version, 3);
    let refused = new.sync(&client).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::TooFewSignatures { .. }), "{refused:?}");
    let refused = client.sign_entries(&[key(11)]).await.unwrap_err();
    assert!(refused.untrusted().is_some(), "the old key is none: {refused:?}");
    let head = client.head(&View::Whole).await.unwrap().cursor.position;
    assert_eq!(client.sign_entries(&[key(13)]).await.unwrap(), head);
    assert_eq!(client.sign_entries(&[key(13)]).await.unwrap(), 0);
    new.sync(&client).await.unwrap();
    assert_equal(&new, &client).await;

    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "Stir");
    assert!(release_signed(&client, &documents, &[11]).await.is_err());
    release_signed(&client, &documents, &[13]).await.unwrap();
    old.sync(&client).await.unwrap();
    assert_eq!(old.trusted_root().await.unwrap().unwrap().root().version, 3);
    assert_equal(&old, &client).await;
}

#[tokio::test]
async fn a_hub_takes_no_root_that_does_not_follow() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    client.add_root(&first_root()).await.unwrap();
    let other = signed_root(&Root { release: role(1, &[66]), ..root(1) }, &[1, 2]);
    assert!(client.add_root(&other).await.unwrap_err().is_conflict());
    assert!(client.add_root(&signed_root(&root(3), &[1, 2])).await.unwrap_err().is_conflict());
    let thief = Root { root: role(1, &[1]), ..root(2) };
    let refused = client.add_root(&signed_root(&thief, &[1])).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::SignatureMissing));
    let mut damaged = signed_root(&root(2), &[1, 2]);
    damaged.digest = first_root().digest;
    assert_eq!(client.add_root(&damaged).await.unwrap_err().reason(), Some(Reason::DigestMismatch));
}

/// Entries from before the group signed are signed later, by who has looked at them.
#[tokio::test]
async fn a_group_may_begin_to_sign_late() {
    let hub = hub_with_key(Keeping::Sqlite, HUB_KEY).await;
    let client = client(&hub);
    release(&client, &sample::book().documents(), &terms("Unsigned")).await;
    let refused = client.sign_entries(&[key(11)]).await.unwrap_err();
    assert!(refused.is_precondition(), "{refused:?}");
    client.add_root(&first_root()).await.unwrap();
    let replica = pinned("harbour", &client).await;
    replica.sync(&client).await.unwrap_err();
    assert!(client.sign_entries(&[key(11)]).await.unwrap() > 0);
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
    let mut pages = client.changes(&View::Whole, None);
    while let Some(page) = pages.try_next().await.unwrap() {
        assert!(page.entries.iter().all(|entry| entry.signatures.len() == 1));
    }
}

#[tokio::test]
async fn expiry_is_told_and_no_recipe_is_disabled() {
    let soon = Root { expires_at: chablon_sdk::model::Moment(NOW.0 + DAY), ..root(1) };
    let soon = signed_root(&soon, &[1, 2]);
    let hub = hub_with_key(Keeping::Memory, HUB_KEY).await;
    let client = client(&hub);
    client.add_root(&soon).await.unwrap();
    release_signed(&client, &sample::book().documents(), &[11]).await.unwrap();
    let later = chablon_sdk::model::Moment(NOW.0 + 3 * DAY);
    let replica = Replica::in_memory(site("harbour")).await.unwrap().with_clock(move || later);
    replica.pin(&client, &Pin::Root(soon)).await.unwrap();
    let synced = replica.sync(&client).await.unwrap();
    let since = chablon_sdk::model::Moment(NOW.0 + DAY);
    assert_eq!(
        synced.notices,
        [Notice::RootExpired { since }, Notice::CheckpointExpired { since }]
    );
    assert_eq!(replica.status().await.unwrap().trust.unwrap().notices, synced.notices);
    replica.standard(&crate::common::recipe("custard"), later).await.unwrap();
}

#[tokio::test]
async fn a_root_at_hand_is_pinned_with_no_hub_in_reach() {
    let nowhere = client_of(["http://127.0.0.1:1".to_owned()]);
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    client.add_root(&signed_root(&root(2), &[1, 2])).await.unwrap();
    let replica = kitchen("harbour").await;
    let pin = Pin::Root(first_root());
    for _ in 0..2 {
        assert_eq!(replica.pin(&nowhere, &pin).await.unwrap().root(), &root(1));
    }
    let (_plain, plain) = hub_with_book(Keeping::Memory).await;
    assert!(replica.sync(&plain).await.unwrap_err().untrusted().is_some());
    replica.sync(&client).await.unwrap();
    assert_equal(&replica, &client).await;
    assert_eq!(replica.trusted_root().await.unwrap().unwrap().root(), &root(2));
    replica.pin(&client, &pin).await.unwrap();
    let by_digest = kitchen("harbour").await;
    let lost = by_digest.pin(&nowhere, &Pin::Digest(first_root().digest)).await.unwrap_err();
    assert!(lost.is_unavailable(), "{lost:?}");
    assert_eq!(by_digest.trusted_root().await.unwrap(), None);
}
