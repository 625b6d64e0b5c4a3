//! Who is on what.

use std::collections::BTreeSet;

use chablon_model::Audience;
use chablon_testkit::{Keeping, sample};
use chablon_wire::pb;
use test_case::test_case;
use tonic::Code;

use crate::support::{Inner, Kit, refused};

use pb::AdoptionStatement::{InUse, Received, Refused};

/// What a site says about the entry at a position of its view.
async fn ack(
    kit: &mut Kit,
    site: &str,
    position: u64,
    statement: pb::AdoptionStatement,
    at_ms: i64,
) -> pb::Acknowledgement {
    let page = kit.changes("", None, 1000).await.unwrap();
    let entry = page.entries.into_iter().find(|entry| entry.position == position).unwrap();
    let (pb::feed_entry::Body::ReleasePart(frozen)
    | pb::feed_entry::Body::Withdrawal(frozen)
    | pb::feed_entry::Body::Deviation(frozen)) = entry.body.unwrap();
    pb::Acknowledgement {
        site: site.to_owned(),
        position,
        body_digest: frozen.digest,
        statement: statement.into(),
        at_ms,
        reason: String::new(),
    }
}

async fn say(kit: &mut Kit, said: Vec<pb::Acknowledgement>) -> Result<(), tonic::Status> {
    let request = pb::AcknowledgeRequest { acknowledgements: said };
    kit.adoption.acknowledge(request).await.inner().map(|_| ())
}

type Line = (u64, String, Option<i64>, Option<i64>);

async fn list(kit: &mut Kit, mut request: pb::ListAdoptionRequest) -> Vec<Line> {
    let mut found = Vec::new();
    loop {
        let page = kit.adoption.list_adoption(request.clone()).await.unwrap().into_inner();
        found.extend(
            page.adoptions
                .into_iter()
                .map(|one| (one.position, one.site, one.received_at_ms, one.in_use_at_ms)),
        );
        if page.next_page_token.is_empty() {
            return found;
        }
        request.page_token = page.next_page_token;
    }
}

fn line(position: u64, site: &str, received: Option<i64>, in_use: Option<i64>) -> Line {
    (position, site.to_owned(), received, in_use)
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn each_addressed_site_is_listed_with_what_it_said(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let coast = Audience::Of { groups: ["coast".parse().unwrap()].into(), sites: BTreeSet::new() };
    kit.release(&chef.release(&[sample::document("recipe/custard")], &coast)).await;
    let said = vec![
        ack(&mut kit, "harbour", 4, Received, 70).await,
        ack(&mut kit, "harbour", 1, Received, 50).await,
        ack(&mut kit, "millrace", 1, Received, 60).await,
        ack(&mut kit, "harbour", 1, InUse, 80).await,
    ];
    say(&mut kit, said).await.unwrap();
    let later = vec![ack(&mut kit, "harbour", 1, Received, 99).await];
    say(&mut kit, later.clone()).await.unwrap();
    say(&mut kit, later).await.unwrap();

    let all = [
        line(1, "harbour", Some(50), Some(80)),
        line(1, "millrace", Some(60), None),
        line(2, "harbour", None, None),
        line(3, "millrace", None, None),
        line(4, "harbour", Some(70), None),
    ];
    for page_size in [0, 1, 2, 4] {
        let request = pb::ListAdoptionRequest { page_size, ..Default::default() };
        assert_eq!(list(&mut kit, request).await, all, "pages of {page_size}");
    }
    let site = "harbour".to_owned();
    let harbour = pb::ListAdoptionRequest { site, page_size: 1, ..Default::default() };
    assert_eq!(list(&mut kit, harbour).await, [all[0].clone(), all[2].clone(), all[4].clone()]);
    let middle = pb::ListAdoptionRequest { from_position: 2, to_position: 3, ..Default::default() };
    assert_eq!(list(&mut kit, middle).await, all[2..4]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_refusal_is_told_with_its_reason_and_needs_one(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    kit.release_book().await;
    let silent = ack(&mut kit, "harbour", 1, Refused, 50).await;
    let why = |reason: String| pb::Acknowledgement { reason, ..silent.clone() };
    let chatty = pb::Acknowledgement {
        reason: "for fun".to_owned(),
        ..ack(&mut kit, "harbour", 1, Received, 50).await
    };
    for wrong in [silent.clone(), why(" ".to_owned()), why("x".repeat(2001)), chatty] {
        let status = say(&mut kit, vec![wrong]).await.unwrap_err();
        assert_eq!(status.code(), Code::InvalidArgument, "{status}");
        assert!(format!("{status:?}").contains("reason"), "{status:?}");
    }
    say(&mut kit, vec![why("No mixer".to_owned())]).await.unwrap();
    let site = "harbour".to_owned();
    let request = pb::ListAdoptionRequest { site, to_position: 1, ..Default::default() };
    let page = kit.adoption.list_adoption(request).await.unwrap().into_inner();
    let told: Vec<_> =
        page.adoptions.into_iter().map(|one| (one.refused_at_ms, one.refusal_reason)).collect();
    assert_eq!(told, [(Some(50), "No mixer".to_owned())]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn of_a_refused_batch_nothing_is_kept(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    kit.release_book().await;
    let good = ack(&mut kit, "harbour", 1, Received, 50).await;
    let others = ack(&mut kit, "harbour", 3, Received, 50).await;
    let missing = pb::Acknowledgement { position: 9, ..good.clone() };
    let far = pb::Acknowledgement { position: u64::MAX, ..good.clone() };
    for (bad, position) in [(others, "3"), (missing, "9"), (far, "18446744073709551615")] {
        refused(say(&mut kit, vec![good.clone(), bad]).await).is(
            Code::NotFound,
            "ENTRY_NOT_FOUND",
            &[("site", "harbour"), ("position", position)],
        );
    }
    let other_history = pb::Acknowledgement { body_digest: vec![7; 32].into(), ..good.clone() };
    refused(say(&mut kit, vec![good.clone(), other_history]).await).is(
        Code::FailedPrecondition,
        "WRONG_EPOCH",
        &[("position", "1")],
    );
    let unknown = pb::Acknowledgement { site: "quayside".to_owned(), ..good.clone() };
    refused(say(&mut kit, vec![good.clone(), unknown]).await).is(
        Code::NotFound,
        "SITE_NOT_FOUND",
        &[("site", "quayside")],
    );
    let listed = list(&mut kit, pb::ListAdoptionRequest::default()).await;
    assert!(listed.iter().all(|line| line.2.is_none() && line.3.is_none()), "{listed:?}");
}

#[tokio::test]
async fn fields_of_statements_are_checked() {
    let mut kit = Kit::start(Keeping::Memory).await;
    kit.release_book().await;
    let good = ack(&mut kit, "harbour", 1, Received, 50).await;
    refused(say(&mut kit, Vec::new()).await)
        .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
        .at(&["acknowledgements"]);
    refused(say(&mut kit, vec![good.clone(); 1001]).await).at(&["acknowledgements"]);
    let cases = [
        ("site", pb::Acknowledgement { site: String::new(), ..good.clone() }),
        ("position", pb::Acknowledgement { position: 0, ..good.clone() }),
        ("body_digest", pb::Acknowledgement { body_digest: vec![1].into(), ..good.clone() }),
        ("statement", pb::Acknowledgement { statement: 0, ..good.clone() }),
        ("statement", pb::Acknowledgement { statement: 77, ..good.clone() }),
        ("at_ms", pb::Acknowledgement { at_ms: i64::MAX, ..good.clone() }),
    ];
    for (field, bad) in cases {
        let refusal = refused(say(&mut kit, vec![good.clone(), bad]).await);
        refusal.at(&[&format!("acknowledgements[1].{field}")]);
    }
    let site = "quayside".to_owned();
    let unknown = pb::ListAdoptionRequest { site, ..Default::default() };
    refused(kit.adoption.list_adoption(unknown).await).is(Code::NotFound, "SITE_NOT_FOUND", &[]);
    let page_token = "00".to_owned();
    let odd = pb::ListAdoptionRequest { page_token, ..Default::default() };
    refused(kit.adoption.list_adoption(odd).await).is(
        Code::InvalidArgument,
        "INVALID_PAGE_TOKEN",
        &[],
    );
}
