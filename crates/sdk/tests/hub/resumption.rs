//! Every case of a cursor that is brought back: what reads on from it, and what begins anew. A list
//! and a stream always answer alike.

use chablon_sdk::model::{DocumentContent, Root, View};
use chablon_sdk::trust::TrustError;
use chablon_sdk::{Change, Client, FeedCursor, Following, Reason, Relisted};
use chablon_testkit::trust::{role, root, signed_root};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::{StreamExt, TryStreamExt};

use crate::common::{
    assert_equal, client, first_line, hub_with_book, kitchen, note, quick, regroup, release, site,
    terms,
};
use crate::signing::{hub_with_key, pinned, release_signed, rule, signed_hub};

fn harbour() -> View {
    View::Site(site("harbour"))
}

/// A hub with the small book and so many corrections of it.
async fn corrected(times: i64) -> (TestHub, Client) {
    let (hub, client) = hub_with_book(Keeping::Sqlite).await;
    correct(&client, 900..900 + times).await;
    (hub, client)
}

async fn correct(client: &Client, amounts: std::ops::Range<i64>) {
    let mut documents: Vec<DocumentContent> = sample::book().documents();
    for grams in amounts {
        first_line(&mut documents, "custard", grams);
        release(client, &documents, &terms("Another amount")).await;
    }
}

async fn head(client: &Client, view: &View) -> FeedCursor {
    client.head(view).await.unwrap().cursor
}

/// Why a cursor is refused, by a list and by a stream.
async fn refused(client: &Client, view: &View, cursor: FeedCursor) -> Reason {
    let listed = client.changes(view, Some(cursor.clone())).try_collect::<Vec<_>>().await;
    let listed = listed.expect_err("the cursor is refused in a list");
    let watched = client.follow(view, Some(cursor)).next().await;
    let watched = watched.expect("an answer").expect_err("the cursor is refused in a stream");
    assert_eq!(listed.reason(), watched.reason(), "{listed:?}, {watched:?}");
    assert!(listed.is_precondition() && watched.is_precondition(), "{listed:?}, {watched:?}");
    listed.reason().expect("a reason")
}

/// The positions after a cursor, by a list and by a stream.
async fn after(client: &Client, view: &View, cursor: Option<FeedCursor>) -> Vec<u64> {
    let last = head(client, view).await.position;
    let pages: Vec<_> = client.changes(view, cursor.clone()).try_collect().await.unwrap();
    let of = |entries: &[Change]| entries.iter().map(|one| one.position).collect::<Vec<u64>>();
    let listed: Vec<u64> = pages.iter().flat_map(|page| of(&page.entries)).collect();
    let (mut watched, mut stream) = (Vec::new(), client.follow(view, cursor));
    loop {
        let next = stream.next().await.expect("it has no end").unwrap();
        let Following::Changes(changes) = next else { panic!("interrupted: {next:?}") };
        watched.extend(of(&changes.entries));
        if changes.next.position >= last {
            break;
        }
    }
    assert_eq!(listed, watched);
    listed
}

#[tokio::test]
async fn at_every_cursor_that_was_given() {
    let (_hub, client) = corrected(7).await;
    for view in [harbour(), View::Whole] {
        let all = after(&client, &view, None).await;
        let pages: Vec<_> = client.changes(&view, None).try_collect().await.unwrap();
        assert!(pages.len() > 2, "the pages are small");
        for page in pages {
            let cursor = page.next;
            let rest: Vec<u64> = all.iter().copied().filter(|one| *one > cursor.position).collect();
            assert_eq!(after(&client, &view, Some(cursor)).await, rest);
        }
        let end = head(&client, &view).await;
        assert!(after(&client, &view, Some(end)).await.is_empty());
    }
}

#[tokio::test]
async fn at_another_epoch() {
    let (_hub, client) = corrected(1).await;
    let cursor = FeedCursor { epoch: "another".to_owned(), ..head(&client, &harbour()).await };
    assert_eq!(refused(&client, &harbour(), cursor).await, Reason::WrongEpoch);
}

#[tokio::test]
async fn at_the_start_of_another_epoch() {
    let (_hub, client) = corrected(1).await;
    let cursor = FeedCursor { epoch: "another".to_owned(), view: None, position: 0, snapshot: 0 };
    assert_eq!(refused(&client, &harbour(), cursor).await, Reason::WrongEpoch);
}

#[tokio::test]
async fn ahead_of_the_head() {
    let (_hub, client) = corrected(1).await;
    for view in [harbour(), View::Whole] {
        let cursor = head(&client, &view).await;
        let cursor = FeedCursor { position: cursor.position + 1, ..cursor };
        assert_eq!(refused(&client, &view, cursor).await, Reason::FuturePosition);
    }
}

#[tokio::test]
async fn at_a_compacted_position() {
    let (hub, client) = corrected(2).await;
    let cursor = head(&client, &harbour()).await;
    correct(&client, 910..915).await;
    assert!(hub.compact().await.passed_over > 0);
    assert_eq!(refused(&client, &harbour(), cursor).await, Reason::HistoryCompacted);
}

#[tokio::test]
async fn inside_a_snapshot_that_was_compacted_further() {
    let (hub, client) = corrected(5).await;
    let mut documents = sample::book().documents();
    for text in ["Cool it at once", "Cool it quickly", "Cool it within two hours"] {
        note(&mut documents, "custard-cream", text);
        release(&client, &documents, &terms(text)).await;
    }
    hub.compact().await;
    let slow = Client::connect([hub.url()], quick().with_page_size(1)).unwrap();
    let page = slow.changes(&harbour(), None).next().await.unwrap().unwrap();
    assert!(page.next.snapshot > 0, "inside the snapshot: {:?}", page.next);
    correct(&client, 920..925).await;
    hub.compact().await;
    assert_eq!(refused(&client, &harbour(), page.next).await, Reason::HistoryCompacted);
}

#[tokio::test]
async fn of_another_site() {
    let (_hub, client) = corrected(1).await;
    let cursor = head(&client, &View::Site(site("millrace"))).await;
    assert_eq!(refused(&client, &harbour(), cursor).await, Reason::ViewChanged);
}

#[tokio::test]
async fn of_the_whole_feed_in_a_sites_view_and_the_other_way_round() {
    let (_hub, client) = corrected(1).await;
    let (own, whole) = (head(&client, &harbour()).await, head(&client, &View::Whole).await);
    assert_eq!(refused(&client, &harbour(), whole).await, Reason::ViewChanged);
    assert_eq!(refused(&client, &View::Whole, own).await, Reason::ViewChanged);
}

#[tokio::test]
async fn after_the_groups_changed() {
    let (_hub, client) = corrected(1).await;
    let cursor = head(&client, &harbour()).await;
    let mut documents = sample::book().documents();
    regroup(&mut documents, "harbour", &["pilot"]);
    release(&client, &documents, &terms("Harbour joins the pilot")).await;
    assert_eq!(refused(&client, &harbour(), cursor).await, Reason::ViewChanged);
}

/// A backup that was put back without a new epoch, as it should have had: the kitchen is ahead.
#[tokio::test]
async fn a_kitchen_ahead_of_a_hub_that_lost_entries_lists_anew() {
    let folder = tempfile::tempdir().unwrap();
    let (path, backup) = (folder.path().join("hub.db"), folder.path().join("backup.db"));
    let (hub, _) = hub_with_book(Keeping::SqliteAt(path.clone())).await;
    hub.stop().await;
    std::fs::copy(&path, &backup).unwrap();
    let hub = TestHub::start(Keeping::SqliteAt(path)).await;
    correct(&client(&hub), 900..903).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client(&hub)).await.unwrap();
    hub.stop().await;
    let restored = TestHub::start(Keeping::SqliteAt(backup)).await;
    let there = client(&restored);
    let synced = replica.sync(&there).await.unwrap();
    assert_eq!(synced.relisted, Some(Relisted::OtherHistory));
    assert_equal(&replica, &there).await;
}

/// A hub in another's place, with a root of its own and the same documents.
#[tokio::test]
async fn a_kitchen_at_a_hub_signed_with_another_root_stays_where_it_is() {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let replica = pinned("harbour", &honest).await;
    replica.sync(&honest).await.unwrap();
    let before = replica.status().await.unwrap();

    let other = hub_with_key(Keeping::Memory, 99).await;
    let there = client(&other);
    let theirs = Root { release: role(1, &[66]), checkpoint: role(1, &[99]), ..root(1) };
    there.add_root(&signed_root(&theirs, &[1, 2])).await.unwrap();
    release_signed(&there, &sample::book().documents(), &[66]).await.unwrap();
    let error = replica.sync(&there).await.unwrap_err();
    assert!(matches!(rule(&error), TrustError::TooFewSignatures { .. }), "{error:?}");
    assert_eq!(replica.status().await.unwrap(), before, "nothing was taken");

    let mut documents = sample::book().documents();
    note(&mut documents, "custard", "Stir");
    release_signed(&honest, &documents, &[11]).await.unwrap();
    let synced = replica.sync(&honest).await.unwrap();
    assert_eq!((synced.relisted, synced.progress.entries), (None, 1), "it goes on at its cursor");
    assert_equal(&replica, &honest).await;
    drop(hub);
}
