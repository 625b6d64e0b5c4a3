//! Releases and withdrawals at a hub.

use std::time::Duration;

use chablon_sdk::Reason;
use chablon_sdk::figures::Authored;
use chablon_sdk::model::{Allergen, AllergenState, DocumentContent, View};
use chablon_sdk::publish::{GoOn, Scope, Taking};
use chablon_testkit::{Keeping, Proxy, TestHub, sample};
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{
    NOW, client, client_of, feed, first_line, hub_with_book, quick, release, terms, withdraw,
};

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_draft_sent_twice_is_one_release(keeping: Keeping) {
    let hub = TestHub::start(keeping).await;
    let client = client(&hub);
    let draft = client.draft(&sample::book().documents(), &terms("First")).await.unwrap();
    let first = client.release(&draft).await.unwrap();
    let again = client.release(&draft).await.unwrap();
    assert_eq!((first.first_position, first.last_position), (1, 3));
    assert_eq!(again, first);
    let releases: Vec<_> = client.releases(&View::Whole).try_collect().await.unwrap();
    assert_eq!(releases.len(), 1);
    assert_eq!((&releases[0].id, releases[0].parts.len()), (draft.release(), 3));
}

#[tokio::test]
async fn nothing_changed_says_so() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let draft = client.draft(&sample::book().documents(), &terms("Again")).await.unwrap();
    assert!(draft.is_empty());
    let refused = client.release(&draft).await.unwrap_err();
    assert!(refused.is_invalid() && refused.to_string().contains("nothing has changed"));
}

#[tokio::test]
async fn an_unknown_allergen_is_named_before_a_release_and_refused_by_it() {
    let hub = TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let mut documents = sample::book().documents();
    assert_eq!(Authored::new(&documents).unstated(), []);
    for content in &mut documents {
        if let DocumentContent::Ingredient(one) = content
            && one.id.as_str() == "sugar-caster"
        {
            one.other_allergens = None;
            let mut stated: Vec<Allergen> = Allergen::groups().collect();
            stated.retain(|group| group.code() != "nuts");
            one.allergens = stated.into_iter().map(|one| (one, AllergenState::Free)).collect();
        }
    }
    let unstated = Authored::new(&documents).unstated();
    assert_eq!(unstated.len(), 1);
    assert_eq!(unstated[0].to_string(), "`sugar-caster` doesn't state: nuts");
    let reached: Vec<String> =
        unstated[0].reached.iter().map(|(recipe, path)| format!("{recipe} {path:?}")).collect();
    assert_eq!(reached, ["custard []", "custard-cream [custard]"]);

    let draft = client.draft(&documents, &terms("First")).await.unwrap();
    let refused = client.release(&draft).await.unwrap_err();
    assert_eq!(refused.reason(), Some(Reason::AllergenUnknown));
    assert!(refused.is_precondition() && !refused.outcome_unknown());
    assert_eq!(refused.detail("allergens"), Some("nuts"));
    assert_eq!(refused.detail("ingredients"), Some("sugar-caster"));
    let said: Vec<&str> = refused.violations().iter().map(|one| one.description.as_str()).collect();
    assert_eq!(
        said,
        ["`sugar-caster` doesn't state: nuts", "`sugar-caster` (in custard) doesn't state: nuts"]
    );
}

#[tokio::test]
async fn who_releases_second_makes_the_draft_anew() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    let mine = client.draft(&documents, &terms("Mine")).await.unwrap();
    first_line(&mut documents, "custard", 950);
    release(&client, &documents, &terms("Theirs")).await;
    let refused = client.release(&mine).await.unwrap_err();
    assert!(refused.is_conflict() && !refused.may_retry() && !refused.outcome_unknown());
    assert_eq!(refused.reason(), Some(Reason::RevisionConflict));
    assert_eq!(refused.detail("document"), Some("recipe/custard"));
}

#[tokio::test]
async fn after_a_timeout_the_same_draft_tells_what_became_of_it() {
    let hub = TestHub::start(Keeping::Memory).await;
    let direct = client(&hub);
    let way = Proxy::to(hub.address()).await;
    let options = quick().with_deadline(Duration::from_millis(300)).with_retries(0);
    let stalling = chablon_sdk::Client::connect([way.url()], options).unwrap();
    let draft = stalling.draft(&sample::book().documents(), &terms("First")).await.unwrap();
    way.stall();
    let lost = stalling.release(&draft).await.unwrap_err();
    assert!(lost.is_timeout() && lost.may_retry() && lost.outcome_unknown(), "{lost:?}");
    way.mend();
    stalling.release(&draft).await.unwrap();
    direct.release(&draft).await.unwrap();
    assert_eq!(feed(&direct).await.len(), 3, "it was recorded once");
}

#[tokio::test]
async fn a_hub_that_never_was_leaves_no_doubt() {
    let nobody = client_of(["http://127.0.0.1:9".to_owned()]);
    let hub = TestHub::start(Keeping::Memory).await;
    let draft = client(&hub).draft(&sample::book().documents(), &terms("First")).await.unwrap();
    let lost = nobody.release(&draft).await.unwrap_err();
    assert!(lost.may_retry() && !lost.outcome_unknown(), "{lost:?}");
}

#[tokio::test]
async fn withdrawals_are_repeatable_and_checked() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let taking =
        Taking::back("recipe/custard".parse().unwrap(), GoOn::WithNone, NOW, "Thin", "Chef");
    let draft = client.draft_withdrawal(taking).await.unwrap();
    let first = client.withdraw(&draft).await.unwrap();
    assert_eq!(client.withdraw(&draft).await.unwrap(), first);
    assert_eq!(feed(&client).await.len(), 4);
    let unknown =
        Taking::back("recipe/choux".parse().unwrap(), GoOn::WithNone, NOW, "Thin", "Chef");
    assert!(client.draft_withdrawal(unknown).await.unwrap_err().is_not_found());
}

#[tokio::test]
async fn a_wider_release_of_the_same_revisions_overrules_a_withdrawal() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    withdraw(&client, "custard", GoOn::WithNone, "By mistake").await;
    let again = terms("It was right").of(Scope::Everything);
    let draft = client.draft(&sample::book().documents(), &again).await.unwrap();
    assert!(draft.revisions().is_empty());
    client.release(&draft).await.unwrap();
    let standard = client
        .standard(&"harbour".parse().unwrap(), &"recipe/custard".parse().unwrap(), Some(NOW))
        .await
        .unwrap();
    assert!(matches!(standard.state, chablon_sdk::StandardState::InForce(_)), "{standard:?}");
}

#[tokio::test]
async fn the_whole_book_is_released_and_read_back() {
    let hub = TestHub::start(Keeping::Sqlite).await;
    let client = client(&hub);
    let documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    let heads: Vec<_> = client.documents(&View::Whole).try_collect().await.unwrap();
    assert_eq!(heads.len(), documents.len());
    let wanted = heads.iter().map(|head| head.digest);
    let revisions: Vec<_> = client.revisions(&View::Whole, wanted).try_collect().await.unwrap();
    let mut read: Vec<_> = revisions.iter().map(|one| one.read().unwrap().content).collect();
    let mut written = documents;
    read.sort_by_key(DocumentContent::key);
    written.sort_by_key(DocumentContent::key);
    assert_eq!(read, written);
}
