//! Releasing: what is recorded, once, whole or not at all.

use std::collections::BTreeSet;
use std::time::Duration;

use chablon_model::{Audience, DocumentContent};
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::{BodyKind, FeedEntry, Wire, pb};
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, positions, refused};

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_release_stands_in_the_feed_as_it_was_sent(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let release = chef.release(&sample::book().documents(), &Audience::All);
    let answer = kit.release(&release).await;
    assert_eq!((answer.first_position, answer.last_position), (1, 3));
    assert_eq!(answer.release_id, release.parts[0].manifest.release.as_str());
    let page = kit.changes("", None, 0).await.unwrap();
    assert_eq!(page.next.unwrap().epoch, answer.epoch);
    for (entry, part) in page.entries.into_iter().zip(&release.parts) {
        let entry = FeedEntry::from_pb(entry).unwrap();
        assert_eq!(entry.kind, BodyKind::Release);
        assert_eq!(entry.body.bytes, part.bytes);
        assert_eq!(entry.recorded_at, kit.hub.clock().now());
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn the_whole_saltmarsh_book_is_taken(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let release = chef.release(&sample::saltmarsh().documents(), &Audience::All);
    let answer = kit.release(&release).await;
    assert_eq!(answer.last_position, 4, "one part for all and one for each of three kitchens");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn the_same_request_gets_the_same_answer(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let request = chef.release(&sample::book().documents(), &Audience::All).request();
    let first = kit.releases.create_release(request.clone()).await.unwrap().into_inner();
    let again = kit.releases.create_release(request.clone()).await.unwrap().into_inner();
    assert_eq!(first, again);
    assert_eq!(kit.changes("", None, 0).await.unwrap().entries.len(), 3);

    let mut other = chef.release(&[sample::document("recipe/custard")], &Audience::All).request();
    other.request_id.clone_from(&request.request_id);
    refused(kit.releases.create_release(other).await).is(
        Code::AlreadyExists,
        "REQUEST_ID_REUSED",
        &[("request_id", &request.request_id)],
    );
    let renamed = pb::CreateReleaseRequest { request_id: "another".to_owned(), ..request };
    refused(kit.releases.create_release(renamed).await).is(
        Code::AlreadyExists,
        "RELEASE_EXISTS",
        &[("release", &first.release_id)],
    );
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn revisions_may_come_in_any_order(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let mut first = chef.release(&sample::book().documents(), &Audience::All);
    let second = chef.release(&[renamed("recipe/custard", "Rich custard")], &Audience::All);
    first.revisions.extend(second.revisions);
    first.revisions.reverse();
    kit.release(&first).await;
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(1), "as its manifest says");
    let again = chef.release_again([chef.latest("recipe/custard").clone()], Audience::All);
    kit.release(&again).await;
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(2));
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn of_two_who_release_at_once_one_is_told_to_look_again(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let (mut one, mut other) = (chef.clone(), chef);
    let first = one.release(&[renamed("recipe/custard", "One custard")], &Audience::All);
    let second = other.release(&[renamed("recipe/custard", "Other custard")], &Audience::All);
    let mut clients = [kit.releases.clone(), kit.releases.clone()];
    let [client, second_client] = &mut clients;
    let (a, b) = tokio::join!(
        client.create_release(first.request()),
        second_client.create_release(second.request())
    );
    let (won, lost) = if a.is_ok() { (a, b) } else { (b, a) };
    assert!(won.is_ok());
    refused(lost).is(
        Code::Aborted,
        "REVISION_CONFLICT",
        &[("document", "recipe/custard"), ("number", "2"), ("latest", "2")],
    );
    assert_eq!(kit.changes("", None, 0).await.unwrap().entries.len(), 4);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn many_at_once_get_a_place_each(keeping: Keeping) {
    const CHEFS: u64 = 16;
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let again = |index: u64| {
        let name = if index.is_multiple_of(2) { "recipe/custard" } else { "recipe/custard-cream" };
        chef.release_again([chef.latest(name).clone()], Audience::All).request()
    };
    let calls = (0..CHEFS).map(|index| {
        let (mut client, request) = (kit.releases.clone(), again(index));
        tokio::spawn(async move { client.create_release(request).await.unwrap().into_inner() })
    });
    let mut places = BTreeSet::new();
    for call in calls.collect::<Vec<_>>() {
        let answer = call.await.unwrap();
        assert_eq!(answer.first_position, answer.last_position);
        places.insert(answer.first_position);
    }
    assert_eq!(places, (4..4 + CHEFS).collect());
    let page = kit.changes("", None, 1000).await.unwrap();
    assert_eq!(positions(&page.entries), (1..=3 + CHEFS).collect::<Vec<_>>());
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_call_that_is_given_up_is_made_whole_or_not_at_all(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    kit.release(&chef.release(&sample::saltmarsh().documents(), &Audience::All)).await;
    for patience in 0..40 {
        let before = kit.changes("", None, 1000).await.unwrap().entries.len();
        let mut trial = chef.clone();
        let request = trial.release(&sample::saltmarsh().documents(), &Audience::All).request();
        let call = kit.releases.create_release(request.clone());
        let given_up = tokio::time::timeout(Duration::from_micros(700 * patience), call).await;
        if let Ok(answer) = given_up {
            answer.unwrap();
        }
        // The same request says what became of it, and makes it if nothing did.
        let answer = kit.releases.create_release(request).await.unwrap().into_inner();
        assert_eq!(answer.last_position - answer.first_position, 3);
        let after = kit.changes("", None, 1000).await.unwrap().entries.len();
        assert_eq!(after, before + 4, "once, and whole");
        chef = trial;
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn releases_are_listed_as_a_reader_sees_them(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, first) = kit.release_book().await;
    let coast = chef.release(&[sample::document("recipe/custard")], &to_group("coast"));
    let second = kit.release(&coast).await;
    let withdrawn = chef.withdrawal(
        chef.latest("recipe/custard"),
        chablon_model::NextStep::MakeNone,
        Audience::All,
    );
    kit.releases.create_withdrawal(withdrawn).await.unwrap();
    let third = kit.release(&chef.release(&sample::book().documents(), &Audience::All)).await;

    let seen = |releases: Vec<pb::Release>| -> Vec<(String, usize)> {
        releases.into_iter().map(|one| (one.release_id, one.parts.len())).collect()
    };
    let all = list(&mut kit, "").await;
    let ids = [first.release_id, second.release_id, third.release_id];
    let [first, second, third] = ids;
    assert_eq!(seen(all), [(first.clone(), 3), (second.clone(), 1), (third.clone(), 3)]);
    let harbour = list(&mut kit, "harbour").await;
    assert_eq!(seen(harbour), [(first.clone(), 2), (second, 1), (third.clone(), 2)]);
    let millrace = list(&mut kit, "millrace").await;
    assert_eq!(seen(millrace), [(first, 2), (third, 2)]);
}

/// All pages, one release each.
async fn list(kit: &mut Kit, site: &str) -> Vec<pb::Release> {
    let (mut found, mut page_token) = (Vec::new(), String::new());
    loop {
        let request = pb::ListReleasesRequest { site: site.to_owned(), page_size: 1, page_token };
        let page = kit.releases.list_releases(request).await.unwrap().into_inner();
        assert!(page.releases.len() <= 1);
        found.extend(page.releases);
        if page.next_page_token.is_empty() {
            return found;
        }
        page_token = page.next_page_token;
    }
}

fn to_group(group: &str) -> Audience {
    Audience::Of { groups: [group.parse().unwrap()].into(), sites: BTreeSet::new() }
}

fn renamed(recipe: &str, title: &str) -> DocumentContent {
    let DocumentContent::Recipe(mut recipe) = sample::document(recipe) else {
        panic!("{recipe} is no recipe")
    };
    recipe.title.0.insert("en".parse().unwrap(), title.to_owned());
    DocumentContent::Recipe(recipe)
}
