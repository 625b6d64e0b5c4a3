//! Views without what decides nothing any more.

use chablon_model::{Audience, Moment};
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, positions, refused};

/// Releases the book (three entries) and then the custard so many times again.
async fn released_again(kit: &mut Kit, times: u32) -> Chef {
    let (mut chef, _) = kit.release_book().await;
    for _ in 0..times {
        again(kit, &mut chef).await;
    }
    chef
}

async fn again(kit: &mut Kit, chef: &mut Chef) {
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
}

async fn state(kit: &mut Kit, site: &str) -> pb::GetFeedStateResponse {
    let request = pb::GetFeedStateRequest { site: site.to_owned() };
    kit.feed.get_feed_state(request).await.unwrap().into_inner()
}

fn at(cursor: &pb::FeedCursor, position: u64) -> pb::FeedCursor {
    pb::FeedCursor { position, ..cursor.clone() }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_cursor_behind_the_compaction_is_refused_and_others_go_on(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = released_again(&mut kit, 5).await;
    let head = state(&mut kit, "harbour").await.head.unwrap();
    assert_eq!(kit.hub.compact().await.passed_over, 4, "all but the last of the custard");
    refused(kit.changes("harbour", Some(at(&head, 5)), 0).await).is(
        Code::OutOfRange,
        "HISTORY_COMPACTED",
        &[("oldest", "8"), ("asked", "5")],
    );
    let watch = pb::WatchChangesRequest { site: "harbour".into(), after: Some(at(&head, 5)) };
    refused(kit.feed.watch_changes(watch).await).is(Code::OutOfRange, "HISTORY_COMPACTED", &[]);
    again(&mut kit, &mut chef).await;
    let news = kit.changes("harbour", Some(head), 0).await.unwrap();
    let chained = news.entries.iter().map(|one| (one.previous_position, one.position));
    assert_eq!(chained.collect::<Vec<_>>(), [(8, 9)], "what follows joins what was held");
    assert_eq!(state(&mut kit, "harbour").await.oldest_position, 8);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_compacted_view_begins_with_a_snapshot_that_joins_what_follows(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = released_again(&mut kit, 5).await;
    kit.hub.compact().await;
    again(&mut kit, &mut chef).await;
    let (mut found, mut last, mut after) = (Vec::new(), 0, None);
    loop {
        let page = kit.changes("harbour", after, 1).await.unwrap();
        for entry in &page.entries {
            assert_eq!(std::mem::replace(&mut last, entry.position), entry.previous_position);
        }
        found.extend(positions(&page.entries));
        let next = page.next.unwrap();
        assert_eq!(next.snapshot, if next.position < 8 { 8 } else { 0 }, "{next:?}");
        after = Some(next);
        if !page.more {
            break;
        }
    }
    assert_eq!(found, [1, 2, 8, 9]);
}

#[tokio::test]
async fn a_snapshot_that_is_compacted_further_is_begun_again() {
    let mut kit = Kit::start(Keeping::Memory).await;
    let mut chef = released_again(&mut kit, 3).await;
    kit.hub.compact().await;
    let inside = kit.changes("harbour", None, 1).await.unwrap().next.unwrap();
    assert_eq!((inside.position, inside.snapshot), (2, 6), "a release is never split");
    kit.changes("harbour", Some(inside.clone()), 1).await.unwrap();
    again(&mut kit, &mut chef).await;
    kit.hub.compact().await;
    refused(kit.changes("harbour", Some(inside), 1).await).is(
        Code::OutOfRange,
        "HISTORY_COMPACTED",
        &[("oldest", "7"), ("asked", "2")],
    );
}

#[tokio::test]
async fn the_whole_view_and_what_is_in_force_stay_as_they_are() {
    let mut kit = Kit::start(Keeping::Memory).await;
    let mut chef = released_again(&mut kit, 3).await;
    let first = kit.changes("", None, 2).await.unwrap().next;
    let inland = Audience::site("millrace".parse().unwrap());
    kit.release(&chef.release(&[sample::document("recipe/custard")], &inland)).await;
    let before = (kit.in_force("harbour", "recipe/custard").await, kit.changes("", None, 0).await);
    assert_eq!(before.0, Some(4));
    kit.hub.compact().await;
    let after = (kit.in_force("harbour", "recipe/custard").await, kit.changes("", None, 0).await);
    assert_eq!((before.0, before.1.unwrap()), (after.0, after.1.unwrap()));
    assert_eq!(kit.in_force("millrace", "recipe/custard").await, Some(5));
    assert_eq!(kit.changes("", first, 0).await.unwrap().entries.len(), 4);
    assert_eq!(state(&mut kit, "").await.oldest_position, 0);
}

#[tokio::test]
async fn what_was_recorded_later_is_left_alone() {
    let mut kit = Kit::start(Keeping::Memory).await;
    released_again(&mut kit, 3).await;
    let (store, now) = (kit.hub.store().clone(), kit.hub.clock().now());
    let compacted = chablon_server::compact(store, now, now).await.unwrap();
    assert_eq!((compacted.up_to, compacted.passed_over), (0, 0), "{compacted:?}");
    let later = Moment(now.0 + 1);
    let store = kit.hub.store().clone();
    let compacted = chablon_server::compact(store, later, now).await.unwrap();
    assert_eq!((compacted.up_to, compacted.passed_over), (6, 2), "{compacted:?}");
}
