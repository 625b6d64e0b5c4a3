//! Drafts: proposed, looked at by others, released.

use chablon_sdk::change::Class;
use chablon_sdk::drafts::{DraftState, Proposal, Proposed, Step};
use chablon_sdk::model::{
    AllergenState, Audience, Day, DocumentContent, Draft, DraftId, ReviewRule,
};
use chablon_sdk::{Client, Error, Reason};
use chablon_testkit::trust::{HUB_KEY, key};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{
    NOW, assert_equal, client, first_line, hub_with_book, note, quick, site, terms,
};
use crate::signing::{pinned, signed_hub};

fn today() -> Day {
    Day::new(2026, 10, 1).expect("a day")
}

fn id() -> DraftId {
    "less-milk".parse().expect("an id")
}

/// A client that says whose it is.
fn named(hub: &TestHub, name: &str) -> Client {
    let options = quick().with_caller(name.parse().expect("a name"));
    Client::connect([hub.url()], options).expect("an address")
}

/// The small book with another amount of milk in the custard.
fn with_milk(grams: i64) -> Vec<DocumentContent> {
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", grams);
    documents
}

async fn proposal(client: &Client, documents: &[DocumentContent]) -> Proposal {
    client.proposal(documents, "Less milk").await.expect("a proposal")
}

async fn take(client: &Client, step: &Step) -> Draft {
    client.take(step).await.expect("a step")
}

/// A draft in review.
async fn in_review(ada: &Client, documents: &[DocumentContent]) -> Draft {
    let proposal = proposal(ada, documents).await;
    let draft = take(ada, &Step::create(&id(), &proposal)).await;
    take(ada, &Step::submit(&draft)).await
}

async fn released(client: &Client) -> Result<(), Error> {
    let proposed = client.proposed(&id()).await?;
    let release = client.draft_release(&proposed, &terms("Less milk")).await?;
    client.release_draft(&release).await.map(|_| ())
}

#[track_caller]
fn because<T: std::fmt::Debug>(result: Result<T, Error>, reason: Reason) -> Error {
    let error = result.expect_err("this is refused");
    assert_eq!(error.reason(), Some(reason), "{error:?}");
    error
}

#[tokio::test]
async fn a_draft_goes_from_the_book_to_the_kitchens() {
    for keeping in [Keeping::Memory, Keeping::Sqlite] {
        let (hub, kitchens) = hub_with_book(keeping).await;
        let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
        let proposal = proposal(&ada, &with_milk(1040)).await;
        assert_eq!(proposal.comparison(today()).class(), Some(Class::Recipe));
        let create = Step::create(&id(), &proposal);
        let draft = take(&ada, &create).await;
        assert_eq!(take(&ada, &create).await, draft, "the same request again");
        let check = ben.check_draft(&id()).await.unwrap();
        assert_eq!((check.class.as_deref(), check.needed), (Some("recipe"), 1));
        assert_eq!((check.findings, check.outdated), (vec![], None));
        because(released(&ada).await, Reason::DraftState);
        let draft = take(&ada, &Step::submit(&draft)).await;
        because(ada.take(&Step::approve(&draft, "")).await, Reason::NotAReviewer);
        let proposed = ben.proposed(&id()).await.unwrap();
        let comparison = ben.comparison(&proposed, today()).await.unwrap();
        assert_eq!(comparison, proposal.comparison(today()), "both see the same");
        take(&ben, &Step::comment(&id(), "Why?")).await;
        let approved = take(&ben, &Step::approve(&proposed.draft, "Tasted it")).await;
        assert_eq!(approved.state, DraftState::Approved);
        released(&ada).await.unwrap();
        let harbour = site("harbour");
        let custard = "recipe/custard".parse().unwrap();
        let standard = kitchens.standard(&harbour, &custard, None).await.unwrap();
        let chablon_sdk::StandardState::InForce(standard) = standard.state else { panic!() };
        assert_eq!((standard.revision.number, standard.note.as_str()), (2, "Less milk"));
        assert_eq!(ben.drafts(&[]).try_collect::<Vec<_>>().await.unwrap(), []);
        let all: Vec<Draft> = ben.drafts(&DraftState::ALL).try_collect().await.unwrap();
        assert_eq!((all.len(), all[0].state), (1, DraftState::Released));
        let log: Vec<_> = ben.audit().try_collect().await.unwrap();
        let told: Vec<(&str, &str)> =
            log.iter().map(|one| (one.by.as_str(), one.act.as_str())).collect();
        assert_eq!(
            told,
            [
                ("Ada Quill", "release-draft"),
                ("Ben Harlow", "approve-draft"),
                ("Ben Harlow", "comment-draft"),
                ("Ada Quill", "submit-draft"),
                ("Ada Quill", "create-draft"),
                ("Group pastry chef", "release"),
            ]
        );
    }
}

#[tokio::test]
async fn who_writes_second_sees_both_sides() {
    let (hub, _) = hub_with_book(Keeping::Sqlite).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let draft = take(&ada, &Step::create(&id(), &proposal(&ada, &with_milk(1040)).await)).await;
    let theirs = proposal(&ben, &with_milk(1020)).await;
    let yours = proposal(&ada, &with_milk(1050)).await;
    take(&ben, &Step::update(&draft, &theirs)).await;
    let error = because(ada.take(&Step::update(&draft, &yours)).await, Reason::DraftChanged);
    assert!(error.is_conflict() && error.detail("by") == Some("Ben Harlow"), "{error:?}");
    let apart = ada.apart(&id(), &yours, today()).await.unwrap();
    assert_eq!(apart.theirs, theirs.comparison(today()));
    assert_eq!(apart.yours, yours.comparison(today()));
    assert_eq!(apart.between.class(), Some(Class::Recipe));
    take(&ada, &Step::update(&apart.draft, &yours)).await;
    let held = ben.proposed(&id()).await.unwrap();
    assert_eq!(held.contents().unwrap().len(), 2, "the custard, and the cream that uses it");
}

#[tokio::test]
async fn a_draft_that_rests_on_what_has_moved_is_made_anew() {
    let (hub, _) = hub_with_book(Keeping::Memory).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let draft = in_review(&ada, &with_milk(1040)).await;
    take(&ben, &Step::approve(&draft, "")).await;
    let mut other = sample::book().documents();
    note(&mut other, "custard", "Stir well");
    crate::common::release(&ben, &other, &terms("A note")).await;
    let error = because(released(&ada).await, Reason::DraftOutdated);
    assert_eq!(error.detail("document"), Some("recipe/custard"));
    assert_eq!(ada.check_draft(&id()).await.unwrap().outdated.as_deref(), Some("recipe/custard"));
    let draft = ada.proposed(&id()).await.unwrap().draft;
    let anew = proposal(&ada, &with_milk(1040)).await;
    let draft = take(&ada, &Step::update(&draft, &anew)).await;
    assert_eq!(draft.state, DraftState::Open, "what was approved was something else");
}

/// One draft approved by Ben, as Ada and Ben both see it.
async fn approved_by_ben(ada: &Client, ben: &Client, grams: i64) -> Proposed {
    let draft = in_review(ada, &with_milk(grams)).await;
    take(ben, &Step::approve(&draft, "")).await;
    ada.proposed(&id()).await.unwrap()
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[test_case(Keeping::Postgres; "postgres")]
#[tokio::test]
async fn of_two_releases_of_a_draft_one_wins(keeping: Keeping) {
    let (hub, kitchens) = hub_with_book(keeping).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let proposed = approved_by_ben(&ada, &ben, 1040).await;
    let one = ada.draft_release(&proposed, &terms("One")).await.unwrap();
    let other = ben.draft_release(&proposed, &terms("Other")).await.unwrap();
    let (mine, theirs) = tokio::join!(ada.release_draft(&one), ben.release_draft(&other));
    let (won, lost) = if mine.is_ok() { (&one, theirs) } else { (&other, mine) };
    because(lost, Reason::DraftState);
    ada.release_draft(won).await.expect("sent again it is the same release");
    let loser = if won.release() == one.release() { &other } else { &one };
    because(ben.release_draft(loser).await, Reason::DraftState);
    let releases: Vec<_> =
        kitchens.releases(&chablon_sdk::model::View::Whole).try_collect().await.unwrap();
    assert_eq!(releases.len(), 2, "the book's, and one of the two");
}

/// Of a draft and a release past it, both new for one recipe, what comes second isn't taken for
/// what was looked at.
#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[test_case(Keeping::Postgres; "postgres")]
#[tokio::test]
async fn of_a_draft_and_a_release_at_once_one_wins(keeping: Keeping) {
    let (hub, chef) = hub_with_book(keeping).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let proposed = approved_by_ben(&ada, &ben, 1040).await;
    let draft = ada.draft_release(&proposed, &terms("Looked at")).await.unwrap();
    let direct = chef.draft(&with_milk(1020), &terms("Past it")).await.unwrap();
    let (looked_at, past) = tokio::join!(ada.release_draft(&draft), chef.release(&direct));
    let grams = match (looked_at, past) {
        (Ok(_), past) => {
            because(past, Reason::RevisionConflict);
            1040
        }
        (Err(error), past) => {
            past.expect("one of the two is released");
            let why = [Some(Reason::DraftOutdated), Some(Reason::RevisionConflict)];
            assert!(why.contains(&error.reason()) && error.is_conflict(), "{error:?}");
            assert_eq!(ada.proposed(&id()).await.unwrap().draft.state, DraftState::Approved);
            1020
        }
    };
    let latest = chef.latest().await.unwrap();
    let empty = chef.draft(&with_milk(grams), &terms("The same")).await.unwrap();
    assert!(empty.is_empty() && !latest.is_empty(), "what won stands whole");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[test_case(Keeping::Postgres; "postgres")]
#[tokio::test]
async fn of_two_who_write_at_one_draft_at_once_one_is_told(keeping: Keeping) {
    let (hub, _) = hub_with_book(keeping).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let mut draft = take(&ada, &Step::create(&id(), &proposal(&ada, &with_milk(1040)).await)).await;
    for round in 0..5 {
        let mine = proposal(&ada, &with_milk(1041 + round)).await;
        let theirs = proposal(&ben, &with_milk(1061 + round)).await;
        let (my_step, their_step) = (Step::update(&draft, &mine), Step::update(&draft, &theirs));
        let (mine, theirs) = tokio::join!(ada.take(&my_step), ben.take(&their_step));
        let (won, lost, grams) = match (mine, theirs) {
            (Ok(won), lost) => (won, lost, 1041 + round),
            (lost, won) => (won.expect("one of the two"), lost, 1061 + round),
        };
        let error = because(lost, Reason::DraftChanged);
        assert_eq!(error.detail("by"), won.events.last().map(|event| event.by.as_str()));
        let held = ben.proposed(&id()).await.unwrap();
        assert_eq!(held.draft, won, "nothing of the other is in it");
        let says = held.contents().unwrap();
        assert!(with_milk(grams).iter().any(|content| says.contains(content)));
        draft = won;
    }
    assert_eq!(draft.events.len(), 6, "each that was taken is told, and no other");
}

/// Whoever of the two is first: what the approval was of is never released as something else.
#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[test_case(Keeping::Postgres; "postgres")]
#[tokio::test]
async fn an_approval_while_it_is_edited_counts_for_what_was_read(keeping: Keeping) {
    let (hub, _) = hub_with_book(keeping).await;
    let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
    let mut draft = in_review(&ada, &with_milk(1040)).await;
    for round in 0..5 {
        let read = ada.proposed(&id()).await.unwrap();
        let anew = Step::update(&draft, &proposal(&ada, &with_milk(1050 + round)).await);
        let approve = Step::approve(&draft, "As I read it");
        let (edited, approved) = tokio::join!(ada.take(&anew), ben.take(&approve));
        edited.expect("an approval changes nothing of what it holds");
        if let Err(error) = approved {
            because::<()>(Err(error), Reason::DraftChanged);
        }
        let held = ada.proposed(&id()).await.unwrap().draft;
        assert_eq!((held.state, held.approvals().len()), (DraftState::Open, 0));
        because(ben.take(&Step::approve(&draft, "Again")).await, Reason::DraftChanged);
        let release = ada.draft_release(&read, &terms("What was read")).await.unwrap();
        let error = because(ada.release_draft(&release).await, Reason::DraftChanged);
        assert!(error.is_conflict() && error.detail("by") == Some("Ada Quill"), "{error:?}");
        draft = take(&ada, &Step::submit(&held)).await;
        assert_eq!((draft.state, draft.approvals().len()), (DraftState::InReview, 0));
    }
}

#[tokio::test]
async fn what_is_not_stated_of_allergens_keeps_a_draft_back() {
    let (hub, _) = hub_with_book(Keeping::Memory).await;
    let ada = named(&hub, "Ada Quill");
    let mut documents = sample::book().documents();
    for content in &mut documents {
        if let DocumentContent::Ingredient(milk) = content
            && milk.id.as_str() == "milk-whole"
        {
            milk.other_allergens = Some(AllergenState::Unknown);
        }
    }
    let draft = take(&ada, &Step::create(&id(), &proposal(&ada, &documents).await)).await;
    let check = ada.check_draft(&id()).await.unwrap();
    assert_eq!(check.class.as_deref(), Some("safety"));
    let finding = &check.findings[0];
    assert!(finding.is_error && finding.document.to_string() == "ingredient/milk-whole");
    assert!(finding.message.contains("sesame"), "{}", finding.message);
    assert!(finding.message.contains("custard, custard-cream"), "{}", finding.message);
    let error = because(ada.take(&Step::submit(&draft)).await, Reason::DraftUnsound);
    assert_eq!(error.detail("errors"), Some("1"));
}

#[tokio::test]
async fn the_rule_of_the_book_says_how_many_and_whether_without() {
    let hub = TestHub::start(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    let rule = ReviewRule { safety: 2, direct: false, ..ReviewRule::default() };
    for content in &mut documents {
        if let DocumentContent::Book(book) = content {
            book.review = Some(rule.clone());
        }
    }
    let chef = client(&hub);
    crate::common::release(&chef, &documents, &terms("First standards")).await;
    first_line(&mut documents, "custard", 1040);
    let direct = chef.draft(&documents, &terms("Past everyone")).await.unwrap();
    because(chef.release(&direct).await, Reason::ReviewNeeded);
    let again = terms("For those who joined").of(chablon_sdk::publish::Scope::Everything);
    let unchanged: Vec<DocumentContent> = chef.latest().await.unwrap();
    let again = chef.draft(&unchanged, &again).await.unwrap();
    chef.release(&again).await.expect("what was looked at may be released again");

    for content in &mut documents {
        if let DocumentContent::Ingredient(milk) = content
            && milk.id.as_str() == "cream-35"
        {
            milk.allergens.insert("nuts".parse().unwrap(), AllergenState::MayContain);
        }
    }
    let [ada, ben, cleo] = ["Ada Quill", "Ben Harlow", "Cleo Marsh"].map(|name| named(&hub, name));
    because(chef.take(&Step::comment(&id(), "x")).await, Reason::NameMissing);
    let draft = in_review(&ada, &documents).await;
    assert_eq!(ada.check_draft(&id()).await.unwrap().needed, 2);
    let once = take(&ben, &Step::approve(&draft, "")).await;
    let twice = take(&ben, &Step::approve(&once, "")).await;
    assert_eq!(twice.state, DraftState::InReview, "one who says it twice is one");
    assert_eq!(take(&cleo, &Step::approve(&draft, "")).await.state, DraftState::Approved);
    let proposed = ada.proposed(&id()).await.unwrap();
    let coast = terms("Nuts").to(Audience::site(site("harbour")));
    let release = ada.draft_release(&proposed, &coast).await.unwrap();
    ada.release_draft(&release).await.unwrap();
}

/// Where a group signs, a release that was made of a draft is signed on the machine of whoever holds
/// the key, as any other.
#[tokio::test]
async fn a_release_of_a_draft_is_signed_like_any() {
    for keeping in [Keeping::Memory, Keeping::Sqlite] {
        let (hub, client) = signed_hub(keeping).await;
        let (ada, ben) = (named(&hub, "Ada Quill"), named(&hub, "Ben Harlow"));
        let replica = pinned("harbour", &client).await;
        replica.sync(&client).await.unwrap();
        let draft = in_review(&ada, &with_milk(1040)).await;
        take(&ben, &Step::approve(&draft, "Tasted it")).await;
        let proposed = ada.proposed(&id()).await.unwrap();
        let ready = async || ada.draft_release(&proposed, &terms("Less milk")).await.unwrap();

        let unsigned = ready().await;
        because(ada.release_draft(&unsigned).await, Reason::SignatureMissing);
        let mut strange = ready().await;
        strange.sign(&key(66));
        because(ada.release_draft(&strange).await, Reason::SignatureMissing);
        let mut hubs_own = ready().await;
        hubs_own.sign(&key(HUB_KEY));
        because(ada.release_draft(&hubs_own).await, Reason::SignatureMissing);
        let draft = ada.proposed(&id()).await.unwrap().draft;
        assert_eq!(draft.state, DraftState::Approved, "what is refused changes nothing");
        assert_eq!(replica.sync(&client).await.unwrap().progress.entries, 0);

        let mut signed = ready().await;
        signed.sign(&key(11));
        let recorded = ada.release_draft(&signed).await.unwrap();
        assert_eq!(
            ada.release_draft(&signed).await.unwrap().first_position,
            recorded.first_position
        );
        let synced = replica.sync(&client).await.unwrap();
        assert_eq!((synced.progress.entries, synced.relisted), (1, None));
        assert_equal(&replica, &client).await;
        let standard = replica.standard(&"custard".parse().unwrap(), NOW).await.unwrap();
        assert_eq!(standard.in_force().note, "Less milk");
    }
}
