//! What is in force, where and when.

use chablon_model::{Audience, Moment};
use chablon_testkit::{Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, digest, refused};

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_standard_comes_with_its_bytes_and_its_release(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, released) = kit.release_book().await;
    let answer = kit.standard("millrace", "recipe/custard", None).await.unwrap();
    let Some(pb::standard::State::InForce(in_force)) = answer.standard.unwrap().state else {
        panic!("the custard is in force")
    };
    assert_eq!(in_force.release_id, released.release_id);
    assert_eq!(in_force.position, 1);
    assert_eq!(in_force.holds_from_ms, chef.holds_from.0);
    assert_eq!(in_force.note, "For the test");
    let frozen = answer.revision.unwrap().frozen.unwrap();
    assert_eq!(frozen.digest, digest(chef.latest("recipe/custard")));
    assert_eq!(answer.at_ms, kit.hub.clock().now().0);
    let as_of = answer.as_of.unwrap();
    assert_eq!((as_of.position, &as_of.epoch), (3, &released.epoch));
    let after = kit.changes("millrace", Some(as_of), 0).await;
    assert_eq!(after.unwrap().entries, [], "a reader may go on from there");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_release_holds_from_its_moment(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let now = kit.hub.clock().now();
    chef.holds_from = Moment(now.0 + 1000);
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(1), "not yet");
    kit.hub.clock().advance(1000);
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(2), "the moment itself");
    let before = kit.standard("harbour", "recipe/custard", Some(now.0)).await.unwrap();
    assert_eq!(before.revision.unwrap().revision.unwrap().number, 1, "asked for the past");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn nothing_in_force_is_told_from_nothing_there(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    refused(kit.standard("harbour", "recipe/unheard-of", None).await).is(
        Code::NotFound,
        "DOCUMENT_NOT_FOUND",
        &[("document", "recipe/unheard-of")],
    );
    refused(kit.standard("quayside", "recipe/custard", None).await).is(
        Code::NotFound,
        "SITE_NOT_FOUND",
        &[("site", "quayside")],
    );
    refused(kit.standard("harbour", "recipe/custard", Some(0)).await).is(
        Code::NotFound,
        "NOT_IN_FORCE",
        &[("document", "recipe/custard"), ("site", "harbour"), ("at", "1970-01-01T00:00:00Z")],
    );
    let mut cream = sample::book().recipes[1].clone();
    cream.id = "harbour-cream".parse().unwrap();
    let harbour = Audience::site("harbour".parse().unwrap());
    let own = [chablon_model::DocumentContent::Recipe(cream)];
    kit.release(&chef.release(&own, &harbour)).await;
    refused(kit.standard("millrace", "recipe/harbour-cream", None).await).is(
        Code::NotFound,
        "NOT_IN_FORCE",
        &[("document", "recipe/harbour-cream"), ("site", "millrace")],
    );
}

fn list(site: &str, page_size: u32, page_token: String) -> pb::ListStandardsRequest {
    pb::ListStandardsRequest { site: site.to_owned(), page_size, page_token, ..Default::default() }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn all_pages_show_one_moment(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let request = list("harbour", 4, String::new());
    let first = kit.documents.list_standards(request).await.unwrap().into_inner();
    // What comes in between is for the next reading.
    kit.hub.clock().advance(60_000);
    kit.release(&chef.release(&sample::book().documents(), &Audience::All)).await;
    let (mut found, mut token) = (first.standards.clone(), first.next_page_token.clone());
    while !token.is_empty() {
        let request = list("harbour", 4, token);
        let page = kit.documents.list_standards(request).await.unwrap().into_inner();
        assert_eq!((page.at_ms, &page.as_of), (first.at_ms, &first.as_of));
        found.extend(page.standards);
        token = page.next_page_token;
    }
    let names: Vec<String> = found.iter().map(|one| one.document.clone().unwrap().id).collect();
    assert_eq!(
        names,
        [
            "group",
            "cream-35",
            "egg-yolk",
            "milk-whole",
            "sugar-caster",
            "custard",
            "custard-cream",
            "harbour",
            "group",
            "harbour"
        ]
    );
    for standard in found {
        let Some(pb::standard::State::InForce(in_force)) = standard.state else { panic!() };
        assert_eq!(in_force.revision.unwrap().number, 1);
    }
    let anew = kit.documents.list_standards(list("harbour", 100, String::new())).await.unwrap();
    assert_eq!(anew.get_ref().as_of.as_ref().unwrap().position, 6);
    assert_eq!(anew.into_inner().standards.len(), 10);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_list_whose_view_changed_is_begun_again(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let request = list("harbour", 4, String::new());
    let first = kit.documents.list_standards(request).await.unwrap().into_inner();
    let mut site = sample::book().sites[0].clone();
    site.groups.push("pilot".parse().unwrap());
    let moved = [chablon_model::DocumentContent::Site(site)];
    kit.release(&chef.release(&moved, &Audience::All)).await;
    let next = list("harbour", 4, first.next_page_token);
    refused(kit.documents.list_standards(next).await).is(
        Code::InvalidArgument,
        "INVALID_PAGE_TOKEN",
        &[],
    );
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_page_of_standards_is_bounded_by_bytes_as_well(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    chef.note = "n".repeat(400_000);
    kit.release(&chef.release(&sample::book().documents(), &Audience::All)).await;
    let (mut found, mut token) = (0, String::new());
    loop {
        let request = list("harbour", 1000, token);
        let page = kit.documents.list_standards(request).await.unwrap().into_inner();
        let bytes = prost::Message::encoded_len(&page);
        assert!(bytes < 2 * 1024 * 1024, "a page of {bytes} bytes");
        found += page.standards.len();
        token = page.next_page_token;
        if token.is_empty() {
            break;
        }
    }
    assert_eq!(found, 10);
}
