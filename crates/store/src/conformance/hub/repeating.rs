//! Requests that are sent again.

use std::sync::Arc;

use chablon_model::{Audience, NextStep, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    id, limit, parts, release, request, revision, using, withdrawal,
};
use crate::{Committed, Head, HubError, HubStore, ReleaseCommit};

/// The same request again is answered as the first time, even when much came after it.
pub async fn a_repeated_release_gets_the_first_answer(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    let parts = parts("first", &[(Audience::All, &[&pear]), (Audience::All, &[&pear])]);
    let commit = ReleaseCommit { revisions: vec![pear], ..parts };
    let first = hub.release(commit.clone()).await.unwrap();
    let epoch = hub.state().await.unwrap().epoch;
    let expected = Committed { epoch, first_position: 1, last_position: 2, repeated: false };
    assert_eq!(first, expected);
    let next = revision("recipe/pear", 2);
    hub.release(release("second", Audience::All, &[&next])).await.unwrap();
    let again = hub.release(commit).await.unwrap();
    assert_eq!(again, Committed { repeated: true, ..first });
    assert_eq!(hub.state().await.unwrap().position, 3);
    let notice = withdrawal("stop", &next, NextStep::MakeNone);
    let first = hub.withdraw(notice.clone()).await.unwrap();
    assert_eq!(hub.withdraw(notice).await.unwrap(), Committed { repeated: true, ..first });
    assert_eq!(hub.state().await.unwrap().position, 4);
}

/// A request's name for other content is a mistake, not a repetition.
pub async fn a_request_id_with_other_content_is_refused(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    let mut other = parts("second", &[(Audience::All, &[&pear])]);
    other.request = request("request-first", "other content");
    assert_refused!(
        hub.release(other).await,
        HubError::RequestIdReused(request) if request == id("request-first")
    );
    assert_eq!(hub.state().await.unwrap().position, 1);
}

/// A withdrawal can't use the name of a release's request.
pub async fn releases_and_withdrawals_share_request_ids(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    let mut notice = withdrawal("stop", &pear, NextStep::MakeNone);
    notice.request = request("request-first", "stop");
    assert_refused!(hub.withdraw(notice).await, HubError::RequestIdReused(_));
}

/// A refusal doesn't use up the request's name.
pub async fn a_refused_request_may_be_mended_and_sent_again(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let mut commit = release("first", Audience::All, &[&cream]);
    assert_refused!(hub.release(commit.clone()).await, HubError::MissingPin { .. });
    commit.revisions.push(honey);
    commit.request = request("request-first", "mended");
    assert!(!hub.release(commit).await.unwrap().repeated);
}

/// A commit may bring revisions that are there already: it then releases them.
pub async fn a_revision_that_is_held_is_passed_over(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let (pear, apple) = (revision("recipe/pear", 1), revision("recipe/apple", 1));
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    hub.release(release("pear-2", Audience::All, &[&revision("recipe/pear", 2)])).await.unwrap();
    hub.release(release("second", Audience::All, &[&pear, &apple])).await.unwrap();
    let heads = hub.heads(&View::Whole, None, limit(10)).await.unwrap();
    let numbers: Vec<u32> = heads.iter().map(|Head { reference, .. }| reference.number).collect();
    assert_eq!(numbers, [1, 2]);
    assert_eq!(hub.state().await.unwrap().position, 3);
}

/// Several revisions of one document, in order, in one commit; the same one twice is one.
pub async fn revisions_of_one_document_may_come_together(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let [one, two, three] = [1, 2, 3].map(|number| revision("recipe/pear", number));
    let mut commit = parts("first", &[(Audience::All, &[&three])]);
    commit.revisions = vec![one.clone(), three.clone()];
    assert_refused!(
        hub.release(commit.clone()).await,
        HubError::Conflict { expected: 2, found: 3, .. }
    );
    commit.revisions = vec![one.clone(), two, one, three.clone()];
    hub.release(commit).await.unwrap();
    let heads = hub.heads(&View::Whole, None, limit(10)).await.unwrap();
    assert_eq!(heads[0].reference, three.reference);
}
