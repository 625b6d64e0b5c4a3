//! Each attack that the rules of trust are made against, by its name: on a kitchen that has pinned a
//! root, through a hub or a mirror that lies. What was held before is held after, and usable.

mod aged;
mod forged;
mod stolen;
mod withheld;

use chablon_sdk::Error;
use chablon_sdk::model::{Checkpoint, Entry};
use chablon_sdk::trust::{Chain, Payload, state_digest};
use chablon_testkit::Keeping;
use chablon_testkit::trust::{HUB_KEY, signed};
use chablon_wire::{
    FeedEntry, Wire, decode_checkpoint, decode_manifest, encode_checkpoint, encode_manifest, pb,
};

use crate::common::{assert_equal, client_of};
use crate::liar::{Lies, liar};
use crate::signing::{pinned, signed_hub, withdraw_signed};

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

/// The body of an entry.
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
    let mut chain = Chain::new();
    for form in &page.entries {
        let entry = FeedEntry::from_pb(form.clone()).expect("an entry");
        let digest = chablon_wire::digest(&entry.body.bytes);
        chain = chain.then(entry.position, entry.kind.into(), &digest);
    }
    checkpoint.chain = chain.digest();
    let state = state_digest(&entries(page), checkpoint.issued_at);
    checkpoint.state = (!page.more).then_some(state);
    let next = page.next.as_ref().expect("a cursor");
    checkpoint.position = next.position;
    change(&mut checkpoint);
    sign(page, &checkpoint);
}

/// What a page says.
fn entries(page: &pb::ListChangesResponse) -> Vec<Entry> {
    let read = |form: &pb::FeedEntry| {
        let entry = FeedEntry::from_pb(form.clone()).expect("an entry");
        let body = entry.kind.decode(&entry.body.bytes).expect("a body");
        Entry { position: entry.position, body }
    };
    page.entries.iter().map(read).collect()
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

/// Takes entries out of a page and joins what is left.
fn hide(page: &mut pb::ListChangesResponse, hidden: impl Fn(&pb::feed_entry::Body) -> bool) {
    let mut last = page.entries.first().map_or(0, |first| first.previous_position);
    page.entries.retain(|entry| !entry.body.as_ref().is_some_and(&hidden));
    for entry in &mut page.entries {
        entry.previous_position = std::mem::replace(&mut last, entry.position);
    }
}
