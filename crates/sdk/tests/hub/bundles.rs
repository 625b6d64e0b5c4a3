//! A site's standards on a stick.

use chablon_sdk::model::Moment;
use chablon_sdk::trust::{Notice, TrustError};
use chablon_sdk::{Bundle, Client, Pin, Relisted, Replica};
use chablon_testkit::trust::HUB_KEY;
use chablon_testkit::{Keeping, TestHub, sample};
use chablon_wire::{decode_bundle, encode_bundle};

use crate::common::{NOW, assert_equal, client, hub_with_book, kitchen, note, recipe, site};
use crate::signing::{
    DAY, first_root, hub_with_key, release_signed, rule, signed_hub, withdraw_signed,
};

async fn written(client: &Client, id: &str) -> Vec<u8> {
    Bundle::of_hub(client, &site(id), NOW).await.expect("a bundle").to_bytes()
}

/// A kitchen that no line reaches, which was told the root's digest.
async fn far_off(bytes: &[u8]) -> Replica {
    let replica = kitchen("harbour").await;
    let bundle = Bundle::from_bytes(bytes.to_vec()).unwrap();
    bundle.pin(&replica, &Pin::Digest(first_root().digest)).await.unwrap();
    replica
}

#[tokio::test]
async fn a_bundle_carries_all_that_a_kitchen_needs() {
    for keeping in [Keeping::Memory, Keeping::Sqlite] {
        let (_hub, client) = signed_hub(keeping).await;
        withdraw_signed(&client, &[11]).await.unwrap();
        let bytes = written(&client, "harbour").await;
        let bundle = Bundle::from_bytes(bytes.clone()).unwrap();
        assert_eq!((bundle.site().as_str(), bundle.written_at()), ("harbour", NOW));
        assert!(bundle.is_signed());
        let replica = far_off(&bytes).await;
        let imported = replica.import(&bundle).await.unwrap();
        assert_eq!((imported.relisted, imported.notices), (None, vec![]));
        assert_equal(&replica, &client).await;
        assert_eq!(replica.import(&bundle).await.unwrap().progress.entries, 0);
        let status = replica.status().await.unwrap();
        assert_eq!(status.last_contact, None, "a stick is no hub");
        // The line is back: the hub is told what was received, and nothing is fetched twice.
        let synced = replica.sync(&client).await.unwrap();
        assert_eq!(synced.progress.revisions, 0);
        assert!(synced.said > 0);
    }
}

#[tokio::test]
async fn a_later_bundle_goes_on_and_an_older_one_is_refused() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let first = written(&client, "harbour").await;
    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "Stir");
    release_signed(&client, &documents, &[12]).await.unwrap();
    let second = written(&client, "harbour").await;
    let replica = far_off(&first).await;
    let import =
        async |bytes: &[u8]| replica.import(&Bundle::from_bytes(bytes.to_vec()).unwrap()).await;
    import(&first).await.unwrap();
    let gone_on = import(&second).await.unwrap();
    assert_eq!(gone_on.progress.entries, 1);
    assert!((1..5).contains(&gone_on.progress.revisions), "only what changed: {gone_on:?}");
    let refused = import(&first).await.unwrap_err();
    assert!(refused.is_precondition() && refused.to_string().contains("older"), "{refused:?}");
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn a_bundle_of_another_site_or_history_is_refused() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let millrace = Bundle::from_bytes(written(&client, "millrace").await).unwrap();
    let refused = replica.import(&millrace).await.unwrap_err();
    assert!(refused.is_conflict() && refused.to_string().contains("millrace"), "{refused:?}");
    replica.import(&Bundle::from_bytes(written(&client, "harbour").await).unwrap()).await.unwrap();
    let (_other, other) = hub_with_book(Keeping::Memory).await;
    let unsigned = Bundle::from_bytes(written(&other, "harbour").await).unwrap();
    let refused = replica.import(&unsigned).await.unwrap_err();
    assert!(refused.is_conflict() && refused.to_string().contains("history"), "{refused:?}");
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn without_a_pin_a_bundle_is_taken_as_an_unsigned_hub_is() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let bundle = Bundle::from_bytes(written(&client, "harbour").await).unwrap();
    assert!(!bundle.is_signed());
    let replica = kitchen("harbour").await;
    replica.import(&bundle).await.unwrap();
    assert_equal(&replica, &client).await;
    let pinned = kitchen("harbour").await;
    let refused = bundle.pin(&pinned, &Pin::FirstShown).await.unwrap_err();
    assert!(refused.is_not_found(), "{refused:?}");
    let (_signed, signed) = signed_hub(Keeping::Memory).await;
    pinned.pin(&signed, &Pin::FirstShown).await.unwrap();
    let refused = pinned.import(&bundle).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::TooFewSignatures { .. }), "{refused:?}");
}

#[tokio::test]
async fn a_bundle_that_has_lain_about_is_taken_and_told_of() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let bytes = written(&client, "harbour").await;
    let later = Moment(NOW.0 + 5 * DAY);
    let replica = far_off(&bytes).await.with_clock(move || later);
    let imported = replica.import(&Bundle::from_bytes(bytes).unwrap()).await.unwrap();
    assert_eq!(imported.notices, [Notice::CheckpointExpired { since: Moment(NOW.0 + DAY) }]);
    replica.standard(&recipe("custard"), later).await.unwrap();
}

/// Not one byte of a bundle can be turned without the bundle being refused, whole.
#[tokio::test]
async fn every_flipped_byte_of_a_bundle_is_refused() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    let bytes = written(&client, "harbour").await;
    for at in 0..bytes.len() {
        for flip in [0x01, 0x80, 0xff] {
            let mut flipped = bytes.clone();
            flipped[at] ^= flip;
            let refused = Bundle::from_bytes(flipped);
            assert!(refused.is_err(), "byte {at} of {} turned by {flip:#x} was taken", bytes.len());
        }
    }
    for length in 0..bytes.len() {
        assert!(Bundle::from_bytes(bytes[..length].to_vec()).is_err(), "cut to {length}");
    }
    let mut longer = bytes.clone();
    longer.push(0);
    assert!(Bundle::from_bytes(longer).is_err());
}

/// The digest at a bundle's end keeps nobody from writing it anew. Whatever is then changed of what is
/// in it, a kitchen that trusts a root takes no other content than was signed.
#[tokio::test]
async fn what_is_changed_and_sealed_anew_is_not_taken() {
    let (_hub, client) = signed_hub(Keeping::Memory).await;
    withdraw_signed(&client, &[11]).await.unwrap();
    let bytes = written(&client, "harbour").await;
    let content = decode_bundle(&bytes.clone().into()).unwrap();
    let turn = |bytes: &mut bytes::Bytes, at: usize| {
        let mut turned = bytes.to_vec();
        turned[at] ^= 1;
        *bytes = turned.into();
    };
    let mut changed = Vec::new();
    // Every byte of every entry, with its digest made good.
    for entry in 0..content.entries.len() {
        for at in 0..content.entries[entry].body.bytes.len() {
            let mut one = content.clone();
            turn(&mut one.entries[entry].body.bytes, at);
            one.entries[entry].body.digest = chablon_wire::digest(&one.entries[entry].body.bytes);
            changed.push(one);
        }
        for at in 0..64 {
            let mut one = content.clone();
            one.entries[entry].body.signatures[0].bytes[at] ^= 1;
            changed.push(one);
        }
    }
    // Every byte of the checkpoint and of its signature, and none at all.
    let checkpoint = content.checkpoint.clone().unwrap();
    for at in 0..checkpoint.bytes.len() {
        let mut one = content.clone();
        let turned = one.checkpoint.as_mut().unwrap();
        turn(&mut turned.bytes, at);
        turned.digest = chablon_wire::digest(&turned.bytes);
        changed.push(one);
    }
    changed.push(chablon_wire::Bundle { checkpoint: None, ..content.clone() });
    // An entry or a revision less, another end.
    for entry in 0..content.entries.len() {
        let mut one = content.clone();
        one.entries.remove(entry);
        changed.push(one);
    }
    for revision in 0..content.revisions.len() {
        let mut one = content.clone();
        one.revisions.remove(revision);
        changed.push(one);
    }
    let mut further = content.clone();
    further.cursor.position += 1;
    changed.push(further);
    for (number, one) in changed.iter().enumerate() {
        let replica = far_off(&bytes).await;
        let taken = match Bundle::from_bytes(encode_bundle(one)) {
            Ok(bundle) => replica.import(&bundle).await.is_ok(),
            Err(_) => false,
        };
        assert!(!taken, "change {number} was taken");
        assert!(replica.entries().await.unwrap().is_empty(), "change {number} left something");
    }
}

#[tokio::test]
async fn a_bundle_of_a_hub_that_would_be_refused_is_not_written() {
    // The hub has a root, but no key of its own, so that nothing vouches for what it shows.
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    client.add_root(&first_root()).await.unwrap();
    release_signed(&client, &sample::book().documents(), &[11]).await.unwrap();
    let refused = Bundle::of_hub(&client, &site("harbour"), NOW).await.unwrap_err();
    assert_eq!(*rule(&refused), TrustError::Unvouched);
}

/// A bundle from a history that was restored, for a kitchen that trusts the root: by the rules by
/// which it takes a restored hub.
#[tokio::test]
async fn a_bundle_follows_a_restored_history() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let (hub, first) = signed_hub(Keeping::SqliteAt(path.clone())).await;
    let replica = far_off(&written(&first, "harbour").await).await;
    replica.sync(&first).await.unwrap();
    hub.stop().await;
    let epoch = "restored".parse().unwrap();
    chablon_store_sqlite::SqliteHub::open_restored(&path, epoch).await.unwrap().close().await;
    let hub = hub_with_key(Keeping::SqliteAt(path), HUB_KEY).await;
    let restored = client(&hub);
    withdraw_signed(&restored, &[11]).await.unwrap();
    let bundle = Bundle::from_bytes(written(&restored, "harbour").await).unwrap();
    let imported = replica.import(&bundle).await.unwrap();
    assert_eq!(imported.relisted, Some(Relisted::OtherHistory));
    assert_equal(&replica, &restored).await;
}
