//! What a kitchen takes from a hub that doesn't tell the truth: nothing.

use chablon_sdk::{Error, Reason};
use chablon_testkit::Keeping;
use chablon_wire::{Frozen, Wire, decode_manifest, encode_manifest, pb};

use crate::common::{assert_equal, client_of, hub_with_book, kitchen};
use crate::liar::{Lies, liar};

/// Syncs with a liar, and shows that nothing but the truth was kept.
async fn refused(lies: Lies) -> Error {
    let (hub, honest) = hub_with_book(Keeping::Memory).await;
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let replica = kitchen("harbour").await;
    let refused = replica.sync(&lied_to).await.unwrap_err();
    replica.check().await.unwrap();
    replica.sync(&honest).await.unwrap();
    assert_equal(&replica, &honest).await;
    refused
}

fn body(page: &mut pb::ListChangesResponse) -> &mut pb::FrozenBytes {
    match page.entries[0].body.as_mut().expect("a body") {
        pb::feed_entry::Body::ReleasePart(frozen)
        | pb::feed_entry::Body::Withdrawal(frozen)
        | pb::feed_entry::Body::Deviation(frozen) => frozen,
    }
}

fn turn_a_bit(bytes: &mut bytes::Bytes) {
    let mut changed = bytes.to_vec();
    *changed.last_mut().expect("not empty") ^= 1;
    *bytes = changed.into();
}

#[tokio::test]
async fn an_entry_with_a_turned_bit() {
    let refused = refused(Lies::about_pages(|_, page| turn_a_bit(&mut body(page).body))).await;
    assert!(refused.is_damaged(), "{refused:?}");
    assert!(refused.to_string().contains("position 1"), "{refused}");
}

#[tokio::test]
async fn a_revision_with_a_turned_bit() {
    let lies = Lies::about_revisions(|answers| {
        let stored = answers[3].revision.as_mut().expect("a revision");
        turn_a_bit(&mut stored.frozen.as_mut().expect("its bytes").body);
    });
    assert!(refused(lies).await.is_damaged());
}

#[tokio::test]
async fn a_revision_that_was_not_asked_for() {
    let refused = refused(Lies::about_revisions(|answers| answers.swap(0, 1))).await;
    assert!(refused.to_string().contains("wasn't asked for"), "{refused}");
}

#[tokio::test]
async fn a_revision_under_another_name() {
    let lies = Lies::about_revisions(|answers| {
        let stored = answers[0].revision.as_mut().expect("a revision");
        stored.revision.as_mut().expect("its name").number = 7;
    });
    let refused = refused(lies).await;
    assert!(refused.is_damaged(), "{refused:?}");
    assert!(refused.to_string().contains("revision 7"), "{refused}");
}

#[tokio::test]
async fn a_release_that_names_other_revisions_than_it_brings() {
    let lies = Lies::about_pages(|_, page| {
        let mut manifest = decode_manifest(&body(page).body).expect("a manifest");
        manifest.items[0].number = 7;
        let bytes = encode_manifest(&manifest);
        let digest = chablon_wire::digest(&bytes);
        *body(page) = Frozen::unsigned(bytes.into(), digest).to_pb();
    });
    let refused = refused(lies).await;
    assert!(refused.is_damaged(), "{refused:?}");
    assert!(refused.to_string().contains("revision 7 of `book/group`"), "{refused}");
}

#[tokio::test]
async fn a_list_that_never_ends() {
    let lies = Lies::about_pages(|after, page| {
        if after.is_some() {
            page.entries.clear();
            page.next = after;
        }
        page.more = true;
    });
    let refused = refused(lies).await;
    assert!(refused.to_string().contains("doesn't get any further"), "{refused}");
}

#[tokio::test]
async fn a_list_with_a_hole() {
    let lies = Lies::about_pages(|_, page| {
        page.entries.remove(0);
    });
    let refused = refused(lies).await;
    assert!(!refused.may_retry() && !refused.is_invalid(), "{refused:?}");
}

#[tokio::test]
async fn a_cursor_of_no_view() {
    let lies = Lies::about_pages(|_, page| {
        page.next.as_mut().expect("a cursor").view.clear();
    });
    let refused = refused(lies).await;
    assert!(refused.to_string().contains("names no view"), "{refused}");
}

#[tokio::test]
async fn an_entry_of_an_unknown_kind() {
    let refused = refused(Lies::about_pages(|_, page| page.entries[1].body = None)).await;
    assert!(refused.is_unsupported(), "{refused:?}");
    assert!(refused.to_string().contains("bring it up to date"), "{refused}");
    assert_eq!(refused.reason(), None::<Reason>);
}

#[tokio::test]
async fn answers_that_never_come() {
    let refused = refused(Lies::about_revisions(Vec::clear)).await;
    assert!(refused.may_retry(), "{refused:?}");
}

#[tokio::test]
async fn answers_that_come_one_at_a_time() {
    let (hub, honest) = hub_with_book(Keeping::Memory).await;
    let lies = Lies::about_revisions(|answers| answers.truncate(1));
    let slow = client_of([liar(hub.channel().await, lies).await]);
    let replica = kitchen("harbour").await;
    let synced = replica.sync(&slow).await.unwrap();
    assert_eq!(synced.progress.revisions, 10);
    assert!(synced.unsaid.is_some(), "it doesn't take statements");
    assert_equal(&replica, &honest).await;
}
