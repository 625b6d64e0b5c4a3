//! Content that nobody released, or not so.

use chablon_sdk::model::View;
use chablon_sdk::trust::{Payload, TrustError};
use chablon_sdk::{Pin, Reason};
use chablon_testkit::trust::{HUB_KEY, key, signed};
use chablon_testkit::{Keeping, sample};
use chablon_wire::pb::feed_entry::Body;
use chablon_wire::{Frozen, MAX_PACK_BYTES, Wire, decode_manifest, encode_pack, pb};

use super::{body, forge, hide, refused_from_the_start, vouch_for};
use crate::common::{assert_equal, client_of, group, note, terms};
use crate::liar::{Lies, liar};
use crate::signing::{first_root, pinned, rule, signed_hub};

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

/// With a stolen hub's key: what the chef released to another group, among what concerns this kitchen.
#[tokio::test]
async fn mix_and_match_of_groups() {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "For the inland kitchens");
    let mut draft = honest.draft(&documents, &terms("Inland").to(group("inland"))).await.unwrap();
    draft.sign(&key(11));
    honest.release(&draft).await.unwrap();
    let as_ours = Lies::about_pages(|_, page| {
        hide(page, |body| {
            let Body::ReleasePart(part) = body else { return false };
            decode_manifest(&part.body).expect("a manifest").audience.only_site().is_some()
        });
        vouch_for(page, |checkpoint| checkpoint.site = "harbour".parse().unwrap());
    });
    let lies = Lies { site: Some("millrace"), ..as_ours };
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let replica = pinned("harbour", &honest).await;
    let refused = replica.sync(&lied_to).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::NotAddressed { .. }), "{refused:?}");
    assert!(replica.entries().await.unwrap().is_empty(), "something was taken");
    replica.sync(&honest).await.unwrap();
    assert_equal(&replica, &honest).await;
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
    // Few bytes that would unpack to many.
    let bomb = Lies::about_revisions(|answers| {
        let stored = answers[0].revision.take().expect("a revision");
        let body = vec![0; 2 * MAX_PACK_BYTES].into();
        let frozen = stored.frozen.map(|frozen| pb::FrozenBytes { body, ..frozen });
        answers[0].zstd = encode_pack(vec![pb::StoredRevision { frozen, ..stored }]);
        assert!(answers[0].zstd.len() < 1_000);
    });
    let refused = refused_from_the_start(bomb).await;
    assert_eq!(refused.reason(), Some(Reason::TooLarge), "{refused:?}");
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
