//! Withdrawals.

use std::sync::Arc;

use chablon_model::{Audience, NextStep, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    go_back_to, groups, limit, parts, positions, release, request, revision, revision_of, root,
    site, view, withdrawal,
};
use crate::{HubError, HubStore, NewRevision, WithdrawalCommit, digest_of};

/// Two revisions of a recipe, both released.
async fn two_released(hub: &dyn HubStore) -> [NewRevision; 2] {
    let both = [1, 2].map(|number| revision("recipe/pear", number));
    for (name, revision) in ["r1", "r2"].into_iter().zip(&both) {
        hub.release(release(name, Audience::All, &[revision])).await.unwrap();
    }
    both
}

/// A withdrawal takes the next position and is shown to those whom it addresses.
pub async fn a_withdrawal_is_an_entry(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let [one, two] = two_released(&*hub).await;
    let sites = [site("harbour", 1, &["city"]), site("station", 1, &[])];
    hub.release(release("sites", groups(&["nobody"]), &sites.each_ref())).await.unwrap();
    let mut notice = withdrawal("back", &two, go_back_to(&one));
    notice.withdrawal.audience = groups(&["city"]);
    let committed = hub.withdraw(notice).await.unwrap();
    assert_eq!((committed.first_position, committed.last_position), (4, 4));
    let seen = async |site: &str| {
        positions(&hub.entries(&view(site), 0, limit(10)).await.unwrap().entries)
    };
    assert_eq!(seen("harbour").await, [1, 2, 4]);
    assert_eq!(seen("station").await, [1, 2]);
    assert_eq!(hub.entries(&View::Whole, 3, limit(10)).await.unwrap().entries[0].position, 4);
}

/// What was signed once doesn't count twice: where a group signs, the very same notice under another
/// request's name is refused.
pub async fn the_very_same_notice_is_refused(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let [_, two] = two_released(&*hub).await;
    let notice = withdrawal("stop", &two, NextStep::MakeNone);
    hub.withdraw(notice.clone()).await.unwrap();
    let again = |name| WithdrawalCommit { request: request(name, "stop"), ..notice.clone() };
    hub.withdraw(again("unsigned")).await.unwrap();
    hub.add_root(root(1, "root")).await.unwrap();
    assert_refused!(hub.withdraw(again("another")).await, HubError::Malformed(_));
    assert!(hub.withdraw(notice).await.unwrap().repeated);
    assert_eq!(hub.state().await.unwrap().position, 4);
}

/// A revision that is stored but was never in a release, or isn't stored, can't be withdrawn.
pub async fn only_what_was_released_can_be_withdrawn(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let [one, _] = two_released(&*hub).await;
    let stored = revision("recipe/apple", 1);
    let mut commit = parts("store", &[(Audience::All, &[&one])]);
    commit.revisions.push(stored.clone());
    hub.release(commit).await.unwrap();
    let mut misnumbered = one.clone();
    misnumbered.reference.number = 2;
    for revision in [stored, revision("recipe/absent", 1), misnumbered] {
        assert_refused!(
            hub.withdraw(withdrawal("stop", &revision, NextStep::MakeNone)).await,
            HubError::NotReleased(named) if *named == revision.reference
        );
    }
}

/// A withdrawal goes back to another revision of the same document, and to one that is stored.
pub async fn going_back_needs_a_held_revision_of_the_document(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let [one, two] = two_released(&*hub).await;
    let apple = revision("recipe/apple", 1);
    hub.release(release("apple", Audience::All, &[&apple])).await.unwrap();
    let absent = revision_of("recipe/pear", 1, "bytes of another epoch");
    assert_refused!(
        hub.withdraw(withdrawal("back", &two, go_back_to(&absent))).await,
        HubError::MissingRevision(target) if *target == absent.reference
    );
    for target in [&apple, &two] {
        let notice = withdrawal("back", &two, go_back_to(target));
        assert_refused!(hub.withdraw(notice).await, HubError::Malformed(_));
    }
    let mut odd = withdrawal("back", &two, go_back_to(&one));
    odd.body.digest = digest_of(b"something else");
    assert_refused!(hub.withdraw(odd).await, HubError::DigestMismatch { .. });
    hub.withdraw(withdrawal("back", &two, go_back_to(&one))).await.unwrap();
}

/// A refused withdrawal takes no position and doesn't use up its request's name.
pub async fn a_refused_withdrawal_leaves_nothing(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let [one, two] = two_released(&*hub).await;
    let absent = revision_of("recipe/pear", 1, "absent");
    let mut notice = withdrawal("back", &two, go_back_to(&absent));
    hub.withdraw(notice.clone()).await.unwrap_err();
    assert_eq!(hub.state().await.unwrap().position, 2);
    notice.withdrawal.next = go_back_to(&one);
    assert_eq!(hub.withdraw(notice).await.unwrap().first_position, 3);
}
