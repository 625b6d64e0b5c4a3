//! Watching the feed.

use std::time::Duration;

use chablon_model::{Audience, DocumentContent};
use chablon_server::HubConfig;
use chablon_testkit::{Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tokio::time::timeout;
use tonic::{Code, Status, Streaming};

use crate::support::{Kit, positions, refused};

/// Longer than anything here takes, and short enough not to hang a run.
const PATIENCE: Duration = Duration::from_secs(10);

type Watch = Streaming<pb::WatchChangesResponse>;

async fn watch(kit: &Kit, site: &str, after: Option<pb::FeedCursor>) -> Result<Watch, Status> {
    let request = pb::WatchChangesRequest { site: site.to_owned(), after };
    Ok(kit.feed.clone().watch_changes(request).await?.into_inner())
}

async fn next(watch: &mut Watch) -> Result<pb::WatchChangesResponse, Status> {
    let answer = timeout(PATIENCE, watch.message()).await.expect("the watch says something");
    Ok(answer?.expect("a watch has no end of its own"))
}

/// Answers up to the first that has entries.
async fn next_entries(watch: &mut Watch) -> pb::WatchChangesResponse {
    loop {
        let answer = next(watch).await.unwrap();
        if !answer.entries.is_empty() {
            return answer;
        }
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_watch_tells_what_is_there_and_then_what_comes(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let mut harbour = watch(&kit, "harbour", None).await.unwrap();
    let first = next(&mut harbour).await.unwrap();
    assert_eq!(positions(&first.entries), [1, 2], "a release is one answer");
    let bookmark = next(&mut harbour).await.unwrap();
    assert_eq!((bookmark.entries.len(), bookmark.next.unwrap().position), (0, 3));
    let began = std::time::Instant::now();
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    let news = next(&mut harbour).await.unwrap();
    assert_eq!(positions(&news.entries), [4]);
    assert!(began.elapsed() < Duration::from_secs(2), "it is told, not found by looking");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_watch_goes_on_from_any_cursor_of_it(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    for _ in 0..5 {
        kit.release(&chef.release(&sample::book().documents(), &Audience::All)).await;
    }
    let mut after = None;
    let mut found = Vec::new();
    while found.len() < 12 {
        // Each answer from a watch of its own.
        let mut one = watch(&kit, "harbour", after).await.unwrap();
        let answer = next_entries(&mut one).await;
        found.extend(positions(&answer.entries));
        after = answer.next;
    }
    assert_eq!(found, [1, 2, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17]);
}

#[tokio::test]
async fn a_silent_watch_says_from_time_to_time_that_there_is_nothing_new() {
    let config = HubConfig { bookmark_every: Duration::from_millis(50), ..HubConfig::default() };
    let mut kit = Kit::start_with(Keeping::Memory, config).await;
    let (mut chef, _) = kit.release_book().await;
    let after = kit.changes("harbour", None, 0).await.unwrap().next;
    let mut harbour = watch(&kit, "harbour", after).await.unwrap();
    for _ in 0..3 {
        let bookmark = next(&mut harbour).await.unwrap();
        assert_eq!((bookmark.entries.len(), bookmark.next.unwrap().position), (0, 3));
    }
    let millrace = Audience::site("millrace".parse().unwrap());
    kit.release(&chef.release(&[sample::document("recipe/custard")], &millrace)).await;
    let passed = async {
        loop {
            let bookmark = next(&mut harbour).await.unwrap();
            assert_eq!(bookmark.entries, [], "this concerns another kitchen");
            if bookmark.next.unwrap().position == 4 {
                return;
            }
        }
    };
    timeout(PATIENCE, passed).await.expect("the cursor passes over what concerns others");
}

#[tokio::test]
async fn a_watch_finds_what_nobody_told_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let config = HubConfig { poll_every: Duration::from_millis(100), ..HubConfig::default() };
    let mut kit = Kit::start_with(Keeping::SqliteAt(path.clone()), config).await;
    let (mut chef, _) = kit.release_book().await;
    let after = kit.changes("", None, 0).await.unwrap().next;
    let mut whole = watch(&kit, "", after).await.unwrap();
    assert_eq!(next(&mut whole).await.unwrap().entries, []);
    let mut other = Kit::start(Keeping::SqliteAt(path)).await;
    other.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    let news = next(&mut whole).await.unwrap();
    assert_eq!(positions(&news.entries), [4], "another hub on the same file recorded it");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_watch_ends_when_the_sites_groups_change(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let mut harbour = watch(&kit, "harbour", None).await.unwrap();
    let mut millrace = watch(&kit, "millrace", None).await.unwrap();
    next_entries(&mut harbour).await;
    next_entries(&mut millrace).await;
    let mut site = sample::book().sites[0].clone();
    site.groups.push("pilot".parse().unwrap());
    kit.release(&chef.release(&[DocumentContent::Site(site)], &Audience::All)).await;
    let ended = async {
        loop {
            if let Err(status) = next(&mut harbour).await {
                return status;
            }
        }
    };
    let status = timeout(PATIENCE, ended).await.expect("the watch ends");
    refused::<()>(Err(status)).is(Code::FailedPrecondition, "VIEW_CHANGED", &[("site", "harbour")]);
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    assert_eq!(positions(&next_entries(&mut millrace).await.entries), [5], "the other goes on");
}

#[tokio::test]
async fn a_cursor_that_does_not_fit_begins_no_watch() {
    let mut kit = Kit::start(Keeping::Memory).await;
    kit.release_book().await;
    let good = kit.changes("harbour", None, 0).await.unwrap().next.unwrap();
    let epoch = pb::FeedCursor { epoch: "77aa01fe".to_owned(), ..good.clone() };
    refused(watch(&kit, "harbour", Some(epoch)).await).is(
        Code::FailedPrecondition,
        "WRONG_EPOCH",
        &[],
    );
    let ahead = pb::FeedCursor { position: 4, ..good.clone() };
    refused(watch(&kit, "harbour", Some(ahead)).await).is(Code::OutOfRange, "FUTURE_POSITION", &[]);
    refused(watch(&kit, "millrace", Some(good)).await).is(
        Code::FailedPrecondition,
        "VIEW_CHANGED",
        &[],
    );
    refused(watch(&kit, "quayside", None).await).is(Code::NotFound, "SITE_NOT_FOUND", &[]);
}

#[tokio::test]
async fn streams_are_counted_and_one_that_ends_makes_room() {
    let config = HubConfig { max_streams: 2, ..HubConfig::default() };
    let mut kit = Kit::start_with(Keeping::Memory, config).await;
    let (chef, _) = kit.release_book().await;
    let first = watch(&kit, "harbour", None).await.unwrap();
    let mut second = watch(&kit, "millrace", None).await.unwrap();
    next_entries(&mut second).await;
    refused(watch(&kit, "", None).await).is(
        Code::ResourceExhausted,
        "TOO_MANY_STREAMS",
        &[("limit", "2")],
    );
    let batch = pb::BatchGetRevisionsRequest {
        site: String::new(),
        digests: vec![crate::support::digest(chef.latest("recipe/custard"))],
        packed: false,
        compressed: false,
    };
    refused(kit.documents.batch_get_revisions(batch).await).is(
        Code::ResourceExhausted,
        "TOO_MANY_STREAMS",
        &[],
    );
    drop(first);
    let room = async {
        while watch(&kit, "", None).await.is_err() {
            tokio::time::sleep(Duration::from_millis(10)).await;
        }
    };
    timeout(PATIENCE, room).await.expect("a stream that was dropped makes room");
}

#[tokio::test]
async fn a_reader_that_does_not_read_gives_way() {
    let config = HubConfig {
        max_streams: 1,
        poll_every: Duration::from_millis(20),
        stalled_after: Duration::from_millis(200),
        bookmark_every: Duration::from_millis(20),
        ..HubConfig::default()
    };
    let mut kit = Kit::start_with(Keeping::Memory, config).await;
    let (chef, _) = kit.release_book().await;
    kit.release_with_long_notes(&chef, 4).await;
    // More lies ahead than the window takes, and this reader takes none of it.
    let mut unread = watch(&kit, "", None).await.unwrap();
    let room = async {
        loop {
            match watch(&kit, "harbour", None).await {
                Ok(reader) => return reader,
                Err(_) => tokio::time::sleep(Duration::from_millis(20)).await,
            }
        }
    };
    let mut reader = timeout(PATIENCE, room).await.expect("the one that stalls gives way");
    next_entries(&mut reader).await;
    let told = async {
        loop {
            if let Err(status) = unread.message().await {
                return status;
            }
        }
    };
    let status = timeout(PATIENCE, told).await.expect("it is told so once it reads");
    refused::<()>(Err(status)).is(Code::Unavailable, "WATCHER_TOO_SLOW", &[]);
}
