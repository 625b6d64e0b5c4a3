//! Taking back.

use std::collections::BTreeSet;

use chablon_model::{Audience, NextStep};
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::{BodyKind, FeedEntry, Wire, pb};
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, refused};

async fn two_custards(kit: &mut Kit) -> Chef {
    let (mut chef, _) = kit.release_book().await;
    let release = chef.release(&[sample::document("recipe/custard")], &Audience::All);
    kit.release(&release).await;
    chef
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn going_back_to_an_earlier_revision(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let first = chef.latest("recipe/custard").clone();
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(2));
    let request = chef.withdrawal(
        chef.latest("recipe/custard"),
        NextStep::GoBackTo(first.clone()),
        Audience::All,
    );
    let answer = kit.releases.create_withdrawal(request.clone()).await.unwrap().into_inner();
    assert_eq!(answer.position, 5);
    let again = kit.releases.create_withdrawal(request.clone()).await.unwrap().into_inner();
    assert_eq!(answer, again, "the same request gets the same answer");
    let standard = kit.standard("harbour", "recipe/custard", None).await.unwrap();
    let Some(pb::standard::State::InForce(in_force)) = standard.standard.unwrap().state else {
        panic!("the custard is in force")
    };
    assert_eq!(in_force.revision.unwrap(), first.to_pb());
    assert_eq!(in_force.because.unwrap().reason, "Gelatine entered ten times over");

    let page = kit.changes("millrace", None, 0).await.unwrap();
    let entry = FeedEntry::from_pb(page.entries.last().unwrap().clone()).unwrap();
    assert_eq!(entry.kind, BodyKind::Withdrawal);
    assert_eq!(entry.body.bytes, request.notice.unwrap().body, "byte for byte");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn making_none_is_an_answer_and_no_error(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = two_custards(&mut kit).await;
    let request = chef.withdrawal(chef.latest("recipe/custard"), NextStep::MakeNone, Audience::All);
    kit.releases.create_withdrawal(request).await.unwrap();
    let answer = kit.standard("harbour", "recipe/custard", None).await.unwrap();
    assert!(matches!(answer.standard.unwrap().state, Some(pb::standard::State::Stopped(_))));
    assert_eq!(answer.revision, None);
    kit.release(&chef.release(&[sample::document("recipe/custard")], &Audience::All)).await;
    assert_eq!(kit.in_force("harbour", "recipe/custard").await, Some(3), "released anew");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn what_was_never_released_cannot_be_withdrawn(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = two_custards(&mut kit).await;
    let mut never = chef.clone();
    let unknown = never.freeze(&sample::document("recipe/custard")).reference;
    let request = chef.withdrawal(&unknown, NextStep::MakeNone, Audience::All);
    let details = [("document", "recipe/custard"), ("number", "3")];
    refused(kit.releases.create_withdrawal(request).await).is(
        Code::FailedPrecondition,
        "NEVER_RELEASED",
        &details,
    );

    // Released, but to others.
    let harbour = Audience::site("harbour".parse().unwrap());
    let millrace = Audience::site("millrace".parse().unwrap());
    kit.release(&chef.release(&[sample::document("recipe/custard")], &harbour)).await;
    let request = chef.withdrawal(chef.latest("recipe/custard"), NextStep::MakeNone, millrace);
    refused(kit.releases.create_withdrawal(request).await).is(
        Code::FailedPrecondition,
        "NEVER_RELEASED",
        &details,
    );
    // A group to which the site belongs is not others.
    let coast = Audience::Of { groups: ["coast".parse().unwrap()].into(), sites: BTreeSet::new() };
    let request = chef.withdrawal(chef.latest("recipe/custard"), NextStep::MakeNone, coast);
    kit.releases.create_withdrawal(request).await.unwrap();
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn others_are_not_told_of_a_sites_own_prices(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let prices = chef.latest("prices/harbour");
    let request = chef.withdrawal(prices, NextStep::MakeNone, Audience::All);
    refused(kit.releases.create_withdrawal(request).await)
        .is(
            Code::InvalidArgument,
            "AUDIENCE_TOO_WIDE",
            &[("document", "prices/harbour"), ("site", "harbour")],
        )
        .at(&["notice.audience"]);
    let harbour = Audience::site("harbour".parse().unwrap());
    let request = chef.withdrawal(prices, NextStep::MakeNone, harbour);
    kit.releases.create_withdrawal(request).await.unwrap();
    let other = kit.changes("millrace", None, 0).await.unwrap();
    assert_eq!(other.entries.len(), 2, "the other kitchen's view is as it was");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_notice_is_checked_like_all_else(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let chef = two_custards(&mut kit).await;
    let good = chef.withdrawal(chef.latest("recipe/custard"), NextStep::MakeNone, Audience::All);

    let missing = pb::CreateWithdrawalRequest { notice: None, ..good.clone() };
    refused(kit.releases.create_withdrawal(missing).await)
        .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
        .at(&["notice"]);
    let unnamed = pb::CreateWithdrawalRequest { request_id: String::new(), ..good.clone() };
    refused(kit.releases.create_withdrawal(unnamed).await).at(&["request_id"]);

    let latest = chef.latest("recipe/custard").clone();
    let to_itself = chef.withdrawal(&latest, NextStep::GoBackTo(latest.clone()), Audience::All);
    refused(kit.releases.create_withdrawal(to_itself).await)
        .is(Code::InvalidArgument, "INVALID_CONTENT", &[])
        .at(&["notice.action.go_back_to.number"]);

    let mut damaged = good.clone();
    let notice = damaged.notice.as_mut().unwrap();
    notice.digest = vec![7; 32].into();
    refused(kit.releases.create_withdrawal(damaged).await)
        .is(Code::InvalidArgument, "DIGEST_MISMATCH", &[])
        .at(&["notice"]);

    kit.releases.create_withdrawal(good.clone()).await.unwrap();
    let mut reused =
        chef.withdrawal(chef.latest("recipe/custard-cream"), NextStep::MakeNone, Audience::All);
    reused.request_id.clone_from(&good.request_id);
    refused(kit.releases.create_withdrawal(reused).await).is(
        Code::AlreadyExists,
        "REQUEST_ID_REUSED",
        &[("request_id", &good.request_id)],
    );
}
