//! Each attack that the rules of trust are made against, by its name: on a kitchen that has pinned a
//! root, through a hub or a mirror that lies. What was held before is held after, and usable.

use chablon_sdk::model::{Checkpoint, Entry, Moment, View};
use chablon_sdk::trust::{Chain, Notice, Payload, TrustError, state_digest};
use chablon_sdk::{Client, Error, Pin, Replica};
use chablon_store_sqlite::SqliteHub;
use chablon_testkit::trust::{HUB_KEY, signed};
use chablon_testkit::{Keeping, sample};
use chablon_wire::{
    FeedEntry, Frozen, Wire, decode_checkpoint, decode_manifest, encode_checkpoint,
    encode_manifest, pb,
};

use crate::common::{NOW, assert_equal, client, client_of, note, recipe};
use crate::liar::{Lies, liar};
use crate::signing::{
    DAY, first_root, hub_with_key, pinned, pinned_at, release_signed, root_with_hub_key, rule,
    signed_hub, withdraw_signed,
};

/// A kitchen that begins with a liar. It takes nothing, and takes all from the honest hub.
async fn refused_from_the_start(lies: Lies) -> Error {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    withdraw_signed(&honest, &[11]).await.unwrap();
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let replica = pinned("harbour", &honest).await;
    let refused = replica.sync(&lied_to).await.unwrap_err();
    assert!(replica.entries().await.unwrap().is_empty(), "something was taken");
    replica.sync(&honest).await.unwrap();
    assert_equal(&replica, &honest).await;
    refused
}

fn body(entry: &mut pb::FeedEntry) -> &mut pb::FrozenBytes {
    match entry.body.as_mut().expect("a body") {
        pb::feed_entry::Body::ReleasePart(frozen)
        | pb::feed_entry::Body::Withdrawal(frozen)
        | pb::feed_entry::Body::Deviation(frozen) => frozen,
    }
}

/// Lets a stolen hub's key vouch for whatever a page holds. The page begins the view.
fn vouch_for(page: &mut pb::ListChangesResponse, change: impl FnOnce(&mut Checkpoint)) {
    let honest = page.checkpoint.take().expect("a checkpoint");
    let mut checkpoint = decode_checkpoint(&honest.body).expect("the hub's checkpoint");
    let (mut chain, mut entries) = (Chain::new(), Vec::new());
    for form in &page.entries {
        let entry = FeedEntry::from_pb(form.clone()).expect("an entry");
        let (position, digest) = (entry.position, chablon_wire::digest(&entry.body.bytes));
        chain = chain.then(position, entry.kind.into(), &digest);
        let body = entry.kind.decode(&entry.body.bytes).expect("a body");
        entries.push(Entry { position, body });
    }
    checkpoint.chain = chain.digest();
    checkpoint.state = (!page.more).then(|| state_digest(&entries, checkpoint.issued_at));
    let next = page.next.as_ref().expect("a cursor");
    checkpoint.position = next.position;
    change(&mut checkpoint);
    sign(page, &checkpoint);
}

/// Puts a checkpoint beside a page, signed by the stolen hub's key.
fn sign(page: &mut pb::ListChangesResponse, checkpoint: &Checkpoint) {
    let forged = signed(Payload::Checkpoint, encode_checkpoint(checkpoint), &[HUB_KEY]);
    page.checkpoint = Some(forged.to_pb());
}

/// Puts another manifest in the place of the first entry's, signed by keys.
fn forge(page: &mut pb::ListChangesResponse, keys: &[u8]) {
    let mut manifest = decode_manifest(&body(&mut page.entries[0]).body).expect("a manifest");
    "Twice the gelatine".clone_into(&mut manifest.note);
    let forged = signed(Payload::ReleasePart, encode_manifest(&manifest), keys);
    *body(&mut page.entries[0]) = forged.to_pb();
}

#[tokio::test]
async fn arbitrary_content() {
    for lies in [
        Lies::about_pages(|_, page| forge(page, &[])),
        Lies::about_pages(|_, page| forge(page, &[66])),
        // Even where the hub's key is stolen as well.
        Lies::about_pages(|_, page| {
            forge(page, &[HUB_KEY]);
            vouch_for(page, |_| ());
        }),
    ] {
        let refused = refused_from_the_start(lies).await;
        let rule = rule(&refused);
        assert!(matches!(rule, TrustError::TooFewSignatures { what: "the entry", .. }), "{rule:?}");
    }
}

#[tokio::test]
async fn wrong_file() {
    // A root in the place of a checkpoint, a checkpoint signed as something else.
    let root = Lies::about_pages(|_, page| page.checkpoint = Some(first_root().to_pb()));
    assert!(refused_from_the_start(root).await.untrusted().is_some());
    let other = Lies::about_pages(|_, page| {
        let bytes = page.checkpoint.take().expect("a checkpoint").body.to_vec();
        page.checkpoint = Some(signed(Payload::ReleasePart, bytes, &[HUB_KEY]).to_pb());
    });
    let refused = refused_from_the_start(other).await;
    let wanted = "the checkpoint";
    assert!(matches!(rule(&refused), TrustError::TooFewSignatures { what, .. } if *what == wanted));
    // Bytes that are no manifest, under their own digest.
    let bytes = Lies::about_pages(|_, page| {
        *body(&mut page.entries[0]) = signed(Payload::ReleasePart, b"pear".to_vec(), &[11]).to_pb();
    });
    assert!(refused_from_the_start(bytes).await.is_damaged());
}

#[tokio::test]
async fn mix_and_match() {
    // Entries of one state with the checkpoint of another: one left out, two swapped.
    let left_out = Lies::about_pages(|_, page| {
        page.entries.pop();
    });
    let refused = refused_from_the_start(left_out).await;
    assert!(matches!(rule(&refused), TrustError::OtherChain { .. }), "{refused:?}");
    let swapped = Lies::about_pages(|_, page| {
        let [one, two, ..] = &mut page.entries[..] else { panic!("two entries") };
        std::mem::swap(body(one), body(two));
    });
    let refused = refused_from_the_start(swapped).await;
    assert!(refused.untrusted().is_some() || refused.is_damaged(), "{refused:?}");
    // Another kitchen's view, whole and with its checkpoint.
    let millrace = Lies { site: Some("millrace"), ..Lies::about_pages(|_, _| ()) };
    let refused = refused_from_the_start(millrace).await;
    assert!(refused.untrusted().is_some(), "{refused:?}");
    // The same with a stolen hub's key, which says that it is this kitchen's.
    let as_ours = Lies::about_pages(|_, page| {
        vouch_for(page, |checkpoint| checkpoint.site = "harbour".parse().unwrap());
    });
    let refused = refused_from_the_start(Lies { site: Some("millrace"), ..as_ours }).await;
    assert!(matches!(rule(&refused), TrustError::NotAddressed { .. }), "{refused:?}");
}

#[tokio::test]
async fn endless_data() {
    // A list that goes on and on, with nothing signed in it.
    let on_and_on = Lies::about_pages(|_, page| {
        page.entries.clear();
        page.next.as_mut().expect("a cursor").position += 1;
        page.more = true;
    });
    let refused = refused_from_the_start(on_and_on).await;
    assert!(matches!(rule(&refused), TrustError::OtherCheckpoint { .. }), "{refused:?}");
    // One that gets no further, vouched for by a stolen key.
    let nowhere = Lies::about_pages(|after, page| {
        page.entries.clear();
        page.more = true;
        if let Some(after) = after {
            page.next = Some(after);
        }
        vouch_for(page, |_| ());
    });
    refused_from_the_start_or_later(nowhere).await;
    // A checkpoint beyond all measure.
    let huge = Lies::about_pages(|_, page| {
        page.checkpoint = Some(signed(Payload::Checkpoint, vec![0; 1 << 20], &[HUB_KEY]).to_pb());
    });
    let refused = refused_from_the_start(huge).await;
    assert!(matches!(rule(&refused), TrustError::TooLarge { .. }), "{refused:?}");
}

/// Where empty pages may have moved the cursor, nothing of the content was taken all the same.
async fn refused_from_the_start_or_later(lies: Lies) {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let replica = pinned("harbour", &honest).await;
    replica.sync(&lied_to).await.unwrap_err();
    assert!(replica.entries().await.unwrap().is_empty());
}

#[tokio::test]
async fn malicious_hub() {
    // Its key is its own, and it repeats what was signed once: a withdrawal that was overruled, say.
    let repeats = Lies::about_pages(|_, page| {
        let last = page.entries.last().expect("an entry").clone();
        let (position, previous_position) = (last.position + 1, last.position);
        page.entries.push(pb::FeedEntry { position, previous_position, ..last });
        page.next.as_mut().expect("a cursor").position = position;
        page.more = false;
        vouch_for(page, |_| ());
    });
    let refused = refused_from_the_start(repeats).await;
    assert!(matches!(rule(&refused), TrustError::Repeated { .. }), "{refused:?}");
    // It vouches for another state than its own entries give.
    let other_state = Lies::about_pages(|_, page| {
        vouch_for(page, |checkpoint| checkpoint.state = Some(checkpoint.chain));
    });
    let refused = refused_from_the_start(other_state).await;
    assert!(matches!(rule(&refused), TrustError::OtherState { .. }), "{refused:?}");
}

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
        let read = |form: &pb::FeedEntry| {
            let entry = FeedEntry::from_pb(form.clone()).expect("an entry");
            let body = entry.kind.decode(&entry.body.bytes).expect("a body");
            Entry { position: entry.position, body }
        };
        let entries: Vec<Entry> = page.entries.iter().map(read).collect();
        checkpoint.state = Some(state_digest(&entries, checkpoint.issued_at));
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
    let (hub, _) = signed_hub(Keeping::SqliteAt(at("hub.db"))).await;
    hub.stop().await;
    std::fs::copy(at("hub.db"), at("old.db")).unwrap();
    let hub = hub_with_key(Keeping::SqliteAt(at("hub.db")), HUB_KEY).await;
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

#[tokio::test]
async fn a_kitchen_of_an_unsigned_hub_is_not_made_to_trust() {
    let (_hub, honest) = signed_hub(Keeping::Memory).await;
    let replica = crate::common::kitchen("harbour").await;
    replica.sync(&honest).await.unwrap();
    assert_eq!(replica.trusted_root().await.unwrap(), None);
    let unknown = Frozen { digest: chablon_wire::digest(b"another"), ..first_root() };
    let refused = replica.pin(&honest, &Pin::Root(unknown)).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::DigestMismatch { .. }), "{refused:?}");
    assert_eq!(honest.head(&View::Whole).await.unwrap().oldest_position, 0);
}
