//! Listing the feed.

use std::collections::BTreeSet;

use chablon_model::{Audience, DocumentContent};
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, positions, refused};

/// A site's cursor at the end of its view.
async fn head(kit: &mut Kit, site: &str) -> pb::FeedCursor {
    let request = pb::GetFeedStateRequest { site: site.to_owned() };
    kit.feed.get_feed_state(request).await.unwrap().into_inner().head.unwrap()
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_site_sees_what_concerns_it_without_a_hole(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let inland =
        Audience::Of { groups: ["inland".parse().unwrap()].into(), sites: BTreeSet::new() };
    for audience in [inland, Audience::All] {
        kit.release(&chef.release(&[sample::document("recipe/custard")], &audience)).await;
    }
    let seen = |page: pb::ListChangesResponse| -> Vec<(u64, u64)> {
        page.entries.iter().map(|entry| (entry.previous_position, entry.position)).collect()
    };
    let whole = kit.changes("", None, 0).await.unwrap();
    assert_eq!(seen(whole), [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)]);
    let harbour = kit.changes("harbour", None, 0).await.unwrap();
    assert_eq!(seen(harbour), [(0, 1), (1, 2), (2, 5)]);
    let millrace = kit.changes("millrace", None, 0).await.unwrap();
    assert_eq!(seen(millrace), [(0, 1), (1, 3), (3, 4), (4, 5)]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn pages_of_any_size_make_up_the_view_and_split_no_release(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    for _ in 0..4 {
        kit.release(&chef.release(&sample::book().documents(), &Audience::All)).await;
        kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    }
    for size in [0, 1, 2, 3, 5, 1000, u32::MAX] {
        let (mut found, mut after) = (Vec::new(), None);
        loop {
            let page = kit.changes("", after, size).await.unwrap();
            let last = page.entries.last().unwrap().position;
            assert!(matches!(last % 4, 3 | 0), "page of {size} ends within a release, at {last}");
            found.extend(positions(&page.entries));
            after = page.next;
            if !page.more {
                break;
            }
        }
        assert_eq!(found, (1..=16).collect::<Vec<_>>(), "pages of {size}");
        let end = kit.changes("", after.clone(), size).await.unwrap();
        assert_eq!((end.entries.len(), end.more, end.next), (0, false, after));
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_page_is_bounded_by_bytes_as_well(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    kit.release_with_long_notes(&chef, 6).await;
    let (mut found, mut after) = (Vec::new(), None);
    loop {
        let page = kit.changes("", after, 1000).await.unwrap();
        let bytes = prost::Message::encoded_len(&page);
        assert!(bytes < 2 * 1024 * 1024, "a page of {bytes} bytes");
        found.extend(positions(&page.entries));
        after = page.next;
        if !page.more {
            break;
        }
    }
    assert_eq!(found, (1..=9).collect::<Vec<_>>());
    let releases = kit.releases.list_releases(pb::ListReleasesRequest::default()).await.unwrap();
    let releases = releases.into_inner();
    assert!(prost::Message::encoded_len(&releases) < 2 * 1024 * 1024);
    assert!(!releases.next_page_token.is_empty());
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_cursor_that_does_not_fit_is_refused(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let good = head(&mut kit, "harbour").await;
    assert!(kit.changes("harbour", Some(good.clone()), 0).await.is_ok());

    let epoch = pb::FeedCursor { epoch: "77aa01fe".to_owned(), ..good.clone() };
    refused(kit.changes("harbour", Some(epoch), 0).await).is(
        Code::FailedPrecondition,
        "WRONG_EPOCH",
        &[("epoch", &good.epoch), ("asked", "77aa01fe")],
    );
    let at_start = pb::FeedCursor { epoch: "77aa01fe".to_owned(), ..Default::default() };
    refused(kit.changes("harbour", Some(at_start), 0).await).is(
        Code::FailedPrecondition,
        "WRONG_EPOCH",
        &[],
    );
    for position in [4, u64::MAX] {
        let ahead = pb::FeedCursor { position, ..good.clone() };
        refused(kit.changes("harbour", Some(ahead), 0).await).is(
            Code::OutOfRange,
            "FUTURE_POSITION",
            &[("head", "3"), ("asked", &position.to_string())],
        );
    }
    refused(kit.changes("millrace", Some(good.clone()), 0).await).is(
        Code::FailedPrecondition,
        "VIEW_CHANGED",
        &[("site", "millrace")],
    );
    refused(kit.changes("", Some(good.clone()), 0).await).is(
        Code::FailedPrecondition,
        "VIEW_CHANGED",
        &[],
    );
    let nameless = pb::FeedCursor { epoch: String::new(), ..good.clone() };
    refused(kit.changes("harbour", Some(nameless), 0).await)
        .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
        .at(&["after.epoch"]);
    refused(kit.changes("quayside", None, 0).await).is(
        Code::NotFound,
        "SITE_NOT_FOUND",
        &[("site", "quayside")],
    );

    let mut site = sample::book().sites[0].clone();
    site.groups.push("pilot".parse().unwrap());
    kit.release(&chef.release(&[DocumentContent::Site(site)], &Audience::All)).await;
    refused(kit.changes("harbour", Some(good), 0).await).is(
        Code::FailedPrecondition,
        "VIEW_CHANGED",
        &[("site", "harbour")],
    );
    let anew = kit.changes("harbour", None, 0).await.unwrap();
    assert_eq!(positions(&anew.entries), [1, 2, 4]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn the_cursor_passes_over_what_concerns_others(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let millrace = Audience::site("millrace".parse().unwrap());
    kit.release(&chef.release(&[sample::document("recipe/custard")], &millrace)).await;
    let page = kit.changes("harbour", None, 0).await.unwrap();
    assert_eq!(positions(&page.entries), [1, 2]);
    assert_eq!(page.next, Some(head(&mut kit, "harbour").await));
    assert_eq!(page.next.unwrap().position, 4);
}

#[tokio::test]
async fn a_restored_store_has_another_history() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let mut kit = Kit::start(Keeping::SqliteAt(path.clone())).await;
    kit.release_book().await;
    let before = head(&mut kit, "harbour").await;
    kit.hub.stop().await;
    let epoch = "restored-1".parse().unwrap();
    let restored = chablon_server::SqliteHub::open_restored(&path, epoch).await.unwrap();
    restored.close().await;
    let mut kit = Kit::start(Keeping::SqliteAt(path)).await;
    refused(kit.changes("harbour", Some(before), 0).await).is(
        Code::FailedPrecondition,
        "WRONG_EPOCH",
        &[("epoch", "restored-1")],
    );
    kit.hub.stop().await;
}
