//! One key in the wrong hands, where two must sign: beside it the thief has the hub, with its key.

use chablon_sdk::model::{Audience, Moment, NextStep, Root, Withdrawal};
use chablon_sdk::trust::{Payload, TrustError};
use chablon_sdk::{Pin, SignedBytes};
use chablon_testkit::trust::{HUB_KEY, role, root, signed, signed_root};
use chablon_testkit::{Keeping, sample};
use chablon_wire::{Wire, decode_manifest, encode_withdrawal, pb};

use super::{body, forge, vouch_for};
use crate::common::{NOW, assert_equal, client, client_of, kitchen};
use crate::liar::{Lies, liar};
use crate::signing::{hub_with_key, release_signed, rule};

/// A root by which two keys release.
fn two_release() -> SignedBytes {
    signed_root(&Root { release: role(2, &[11, 12]), ..root(1) }, &[1, 2])
}

/// Puts a withdrawal at the end of the first page, signed by one release key.
fn stop_everyone(page: &mut pb::ListChangesResponse) {
    let last = page.entries.last_mut().expect("an entry");
    let (position, previous_position) = (last.position + 1, last.position);
    let released = decode_manifest(&body(&mut page.entries[0]).body).expect("a manifest");
    let withdrawal = Withdrawal {
        revision: released.items.last().expect("an item").clone(),
        next: NextStep::MakeNone,
        audience: Audience::All,
        holds_from: Moment(0),
        reason: "Never to be made again".to_owned(),
        author: "Group pastry chef".to_owned(),
    };
    let bytes = encode_withdrawal(&withdrawal);
    let forged = signed(Payload::Withdrawal, bytes, &[11]).to_pb();
    let body = Some(pb::feed_entry::Body::Withdrawal(forged));
    let like = page.entries[0].clone();
    page.entries.push(pb::FeedEntry { position, previous_position, body, ..like });
    page.next.as_mut().expect("a cursor").position = position;
}

/// Names the thief's key alone in the next version of the root, signed by one root key.
fn take_over(answer: &mut pb::ListRootsResponse) {
    let thief = Root { release: role(1, &[66]), root: role(1, &[66]), ..root(2) };
    answer.roots.push(signed_root(&thief, &[1]).to_pb());
}

#[tokio::test]
async fn one_key_stolen() {
    let hub = hub_with_key(Keeping::Memory, HUB_KEY).await;
    let honest = client(&hub);
    honest.add_root(&two_release()).await.unwrap();
    release_signed(&honest, &sample::book().documents(), &[11, 12]).await.unwrap();
    for lies in [
        Lies::about_pages(|_, page| {
            forge(page, &[11]);
            vouch_for(page, |_| ());
        }),
        Lies::about_pages(|_, page| {
            stop_everyone(page);
            vouch_for(page, |_| ());
        }),
        Lies::about_roots(take_over),
    ] {
        let replica = kitchen("harbour").await;
        replica.pin(&honest, &Pin::Root(two_release())).await.unwrap();
        let lied_to = client_of([liar(hub.channel().await, lies).await]);
        let refused = replica.sync(&lied_to).await.unwrap_err();
        let few = |found| matches!(found, TrustError::TooFewSignatures { found: 1, needed: 2, .. });
        assert!(few(rule(&refused).clone()), "{refused:?}");
        assert!(replica.entries().await.unwrap().is_empty(), "something was taken");
        replica.sync(&honest).await.unwrap();
        assert_equal(&replica, &honest).await;
        assert!(!replica.standards(NOW).await.unwrap().is_empty());
    }
}
