//! Revisions.

use std::sync::Arc;

use bytes::Bytes;
use chablon_model::{Audience, DocumentKey, View};

use crate::conformance::samples::{id, limit, release, revision, root, site, using, view};
use crate::{Ground, Head, HubStore, NewRevision, digest_of};

/// Any bytes come back as they came: none, each of the 256, and a mebibyte of them.
pub async fn bytes_come_back_untouched(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let every: Vec<u8> = (0..=255).collect();
    for (name, bytes) in
        [("none", Vec::new()), ("each", every.clone()), ("many", every.repeat(4096))]
    {
        let mut odd = revision(&format!("recipe/{name}"), 1);
        odd.reference.digest = digest_of(&bytes);
        odd.bytes = Bytes::from(bytes);
        hub.release(release(name, Audience::All, &[&odd])).await.unwrap();
        let stored = hub.revisions(&[odd.reference.digest]).await.unwrap().remove(0);
        assert_eq!(stored.bytes, odd.bytes);
        assert_eq!(stored.reference, odd.reference);
        assert_eq!(stored.visible_to, odd.visible_to);
    }
    assert_eq!(hub.revisions(&[digest_of(b"unheard of")]).await.unwrap(), []);
}

/// Several revisions come in the order in which they are asked for; unknown ones are left out.
pub async fn revisions_come_in_the_order_asked_for(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let some = ["recipe/a", "recipe/b", "recipe/c", "recipe/d"].map(|key| revision(key, 1));
    hub.release(release("some", Audience::All, &some.each_ref())).await.unwrap();
    let [a, b, c, d] = some.each_ref().map(|revision| revision.reference.digest);
    let asked = [d, a, digest_of(b"unheard of"), c, b];
    let found = hub.revisions(&asked).await.unwrap();
    let digests: Vec<_> = found.iter().map(|revision| revision.reference.digest).collect();
    assert_eq!(digests, [d, a, c, b]);
    assert_eq!(hub.revisions(&[]).await.unwrap(), []);
}

async fn paged(hub: &dyn HubStore, reader: &View, size: u32) -> Vec<String> {
    let (mut after, mut seen) = (None, Vec::new());
    loop {
        let page = hub.heads(reader, after.as_ref(), limit(size)).await.unwrap();
        let Some(Head { reference, .. }) = page.last() else { return seen };
        after = Some(reference.key.clone());
        let shown =
            |Head { reference, .. }: &Head| format!("{} {}", reference.key, reference.number);
        seen.extend(page.iter().map(shown));
    }
}

/// Each document is listed once, with its latest revision, by the name of its kind and its id.
pub async fn heads_are_the_latest_revisions_in_pages(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let keys =
        ["recipe/pear", "ingredient/pear", "recipe/apple", "prices/a", "book/group", "recipe/b-b"];
    let first = keys.map(|key| revision(key, 1));
    hub.release(release("first", Audience::All, &first.each_ref())).await.unwrap();
    for number in 2..=11 {
        let pear = revision("recipe/pear", number);
        hub.release(release(&format!("pear-{number}"), Audience::All, &[&pear])).await.unwrap();
    }
    let expected = [
        "book/group 1",
        "ingredient/pear 1",
        "prices/a 1",
        "recipe/apple 1",
        "recipe/b-b 1",
        "recipe/pear 11",
    ];
    for size in 1..=7 {
        assert_eq!(paged(&*hub, &View::Whole, size).await, expected, "in pages of {size}");
    }
}

/// A site doesn't see the documents of another one, and no page is short for that.
pub async fn heads_hide_what_is_for_another_site(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let prices = |name: &str| NewRevision {
        visible_to: site(name, 1, &[]).visible_to,
        ..revision(&format!("prices/{name}"), 1)
    };
    let all = [
        site("harbour", 1, &[]),
        site("station", 1, &[]),
        prices("harbour"),
        prices("station"),
        revision("recipe/pear", 1),
    ];
    hub.release(release("all", Audience::All, &all.each_ref())).await.unwrap();
    let own = ["prices/station 1", "recipe/pear 1", "site/station 1"];
    assert_eq!(paged(&*hub, &view("station"), 1).await, own);
    assert_eq!(paged(&*hub, &View::Whole, 2).await.len(), 5);
    let stored = hub.revisions(&[all[2].reference.digest]).await.unwrap().remove(0);
    assert!(stored.is_visible_to(&id("harbour")) && !stored.is_visible_to(&id("station")));
}

/// What a change is held to: the latest of the documents that are asked for, as far as the reader may see
/// them, and of the root.
pub async fn ground_is_the_latest_of_what_is_asked_for(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let documents = ["recipe/pear", "site/station", "recipe/nowhere", "ingredient/pear"];
    let documents: [DocumentKey; 4] = documents.map(id);
    assert_eq!(hub.ground(&View::Whole, &documents).await.unwrap(), Ground::default());
    let [own, pear, same_name] =
        [site("station", 1, &[]), revision("recipe/pear", 1), revision("ingredient/pear", 1)];
    let first = [&own, &pear, &same_name, &revision("recipe/pear-tart", 1)];
    hub.release(release("first", Audience::All, &first)).await.unwrap();
    let next = revision("recipe/pear", 2);
    hub.release(release("second", Audience::All, &[&next])).await.unwrap();
    let two = root(2, "two");
    hub.add_root(root(1, "one")).await.unwrap();
    hub.add_root(two.clone()).await.unwrap();
    let ground = async |reader: &View| {
        let Ground { root, heads } = hub.ground(reader, &documents).await.unwrap();
        assert_eq!(root.as_ref(), Some(&two.root));
        heads
    };
    let head = |one: &NewRevision| {
        let NewRevision { reference, visible_to, .. } = one.clone();
        (reference.key.clone(), Head { reference, visible_to })
    };
    assert_eq!(ground(&View::Whole).await, [&own, &next, &same_name].map(head).into());
    assert_eq!(ground(&view("harbour")).await, [&next, &same_name].map(head).into());
    let nothing = hub.ground(&View::Whole, &[]).await.unwrap();
    assert_eq!((nothing.root, nothing.heads.len()), (Some(two.root), 0));
}

/// A closure holds everything that is used, at any depth and each once.
pub async fn closure_follows_pins(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let sponge = using("recipe/sponge", 1, &[&honey]);
    let cake = using("recipe/cake", 1, &[&cream, &sponge, &cream]);
    let other = revision("recipe/other", 1);
    let all = [&honey, &cream, &sponge, &cake, &other];
    hub.release(release("all", Audience::All, &all)).await.unwrap();
    let closure = async |digests: &[_]| hub.closure(digests).await.unwrap();
    let references = |revisions: &[&NewRevision]| -> Vec<_> {
        revisions.iter().map(|revision| revision.reference.clone()).collect()
    };
    let mut expected = references(&[&honey, &cream, &sponge, &cake]);
    expected.sort();
    assert_eq!(closure(&[cake.reference.digest]).await, expected);
    assert_eq!(closure(&[honey.reference.digest]).await, references(&[&honey]));
    let two = closure(&[other.reference.digest, sponge.reference.digest]).await;
    assert_eq!(two, references(&[&honey, &other, &sponge]));
    assert_eq!(closure(&[digest_of(b"unheard of")]).await, []);
}
