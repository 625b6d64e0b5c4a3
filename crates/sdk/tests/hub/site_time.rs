//! Releases that hold from a time on each kitchen's own clock.

use chablon_sdk::model::{DocumentContent, DocumentKey, Moment};
use chablon_sdk::publish::{Terms, moment_in};
use chablon_sdk::{Client, Replica, StandardState};
use chablon_testkit::{Keeping, TestHub, sample};
use test_case::test_case;

use crate::common::{assert_equal, client, first_line, group, kitchen, release, site, terms};

/// The small book with its kitchens in zones five and a half hours apart.
fn zoned() -> Vec<DocumentContent> {
    let mut documents = sample::book().documents();
    for content in &mut documents {
        if let DocumentContent::Site(site) = content {
            let zone = if site.id.as_str() == "harbour" { "Europe/Paris" } else { "Asia/Kolkata" };
            site.time_zone = Some(zone.parse().unwrap());
        }
    }
    documents
}

fn at_six(note: &str) -> Terms {
    terms(note).at_site_time("2026-12-01 06:00".parse().unwrap())
}

/// Which custard is in force, as the hub has it and as the replica has it.
async fn custard(client: &Client, replica: &Replica, at: Moment) -> u32 {
    let key: DocumentKey = "recipe/custard".parse().unwrap();
    let number = |state: &StandardState| match state {
        StandardState::InForce(one) => one.revision.number,
        StandardState::Stopped(_) => 0,
    };
    let by_hub = client.standard(replica.site(), &key, Some(at)).await.unwrap();
    let own = replica.standards(at).await.unwrap();
    let own = own.iter().find(|one| one.document == key).unwrap();
    assert_eq!(*own, by_hub, "at {at:?}");
    number(&own.state)
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn each_kitchen_changes_at_its_own_six_and_the_hub_agrees(keeping: Keeping) {
    let hub = TestHub::start(keeping).await;
    let client = client(&hub);
    let mut documents = zoned();
    release(&client, &documents, &terms("First standards")).await;
    first_line(&mut documents, "custard", 900);
    let recorded = release(&client, &documents, &at_six("Less milk")).await;
    assert_eq!(recorded.first_position, recorded.last_position, "one part for all");
    for (name, zone) in [("harbour", "Europe/Paris"), ("millrace", "Asia/Kolkata")] {
        let replica = kitchen(name).await;
        replica.sync(&client).await.unwrap();
        assert_equal(&replica, &client).await;
        let six = moment_in(&zone.parse().unwrap(), "2026-12-01 06:00".parse().unwrap()).unwrap();
        assert_eq!(custard(&client, &replica, Moment(six.0 - 1)).await, 1, "{name}");
        assert_eq!(custard(&client, &replica, six).await, 2, "{name}");
    }
}

#[tokio::test]
async fn a_kitchens_own_part_holds_from_its_own_moment() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let draft = client.draft(&zoned(), &at_six("First standards")).await.unwrap();
    let paris = moment_in(&"Europe/Paris".parse().unwrap(), "2026-12-01 06:00".parse().unwrap());
    let paris = paris.unwrap();
    let [common, rest @ ..] = draft.parts() else { panic!("parts") };
    assert_eq!(common.holds_from, paris, "the last of the moments is the one elsewhere");
    assert_eq!(common.at_sites.keys().collect::<Vec<_>>(), [&site("millrace")]);
    for part in rest {
        let own = part.audience.only_site().expect("a part for one site");
        assert_eq!(part.holds_from, common.holds_from_at(own), "{own}");
        assert!(part.at_sites.is_empty());
    }
    client.release(&draft).await.unwrap();
    client.release(&draft).await.expect("sent again it is one release");
}

#[tokio::test]
async fn a_kitchen_without_a_zone_refuses_the_whole_unless_it_isnt_addressed() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let mut documents = zoned();
    for content in &mut documents {
        if let DocumentContent::Site(one) = content
            && one.id == site("millrace")
        {
            one.time_zone = None;
        }
    }
    let refused = client.draft(&documents, &at_six("First standards")).await.unwrap_err();
    assert!(refused.is_invalid(), "{refused:?}");
    assert!(refused.to_string().contains("`millrace`"), "{refused}");
    let coast = at_six("First standards").to(group("coast"));
    assert!(client.draft(&documents, &coast).await.is_ok());
}

#[tokio::test]
async fn a_site_that_the_book_no_longer_has_is_asked_of_the_hub() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let mut documents = zoned();
    release(&client, &documents, &terms("First standards")).await;
    documents.retain(|one| one.key().id.as_str() != "millrace");
    first_line(&mut documents, "custard", 900);
    let draft = client.draft(&documents, &at_six("Less milk")).await.unwrap();
    assert!(draft.parts()[0].at_sites.contains_key(&site("millrace")));
}
