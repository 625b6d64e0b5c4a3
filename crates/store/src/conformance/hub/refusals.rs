//! Releases that don't fit.

use std::sync::Arc;

use chablon_model::{Audience, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    id, limit, parts, release, request, revision, revision_of, using,
};
use crate::{HubError, HubStore, ReleaseCommit, digest_of};

/// A new revision has the number after the latest, and no number is given out twice.
pub async fn a_number_must_follow_the_latest(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = |name, number, bytes| {
        release(name, Audience::All, &[&revision_of("recipe/pear", number, bytes)])
    };
    let refused = async |commit: ReleaseCommit, wanted: u32| {
        let given = commit.revisions[0].reference.number;
        assert_refused!(
            hub.release(commit).await,
            HubError::Conflict { key, expected, found }
                if key == id("recipe/pear") && (expected, found) == (wanted, given)
        );
    };
    refused(pear("r2", 2, "two"), 1).await;
    hub.release(pear("r1", 1, "one")).await.unwrap();
    refused(pear("r3", 3, "three"), 2).await;
    refused(pear("r1-again", 1, "another one"), 2).await;
    refused(pear("r0", 0, "zero"), 2).await;
    hub.release(pear("r2", 2, "two")).await.unwrap();
    refused(pear("late", 2, "late"), 3).await;
}

/// What a revision uses is stored, or in the same commit, under exactly that number and digest.
pub async fn a_pin_must_be_held_with_its_number_and_digest(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let refused = async |name: &str, pinned: &crate::NewRevision| {
        let cream = using("recipe/cream", 1, &[pinned]);
        assert_refused!(
            hub.release(release(name, Audience::All, &[&cream])).await,
            HubError::MissingPin { revision, pin }
                if *revision == cream.reference && *pin == pinned.reference
        );
    };
    refused("alone", &honey).await;
    hub.release(release("honey", Audience::All, &[&honey])).await.unwrap();
    let mut misnamed = honey.clone();
    misnamed.reference.number = 2;
    refused("misnumbered", &misnamed).await;
    misnamed.reference = revision("ingredient/sugar", 1).reference;
    misnamed.reference.digest = honey.reference.digest;
    refused("misnamed", &misnamed).await;
    refused("other-bytes", &revision_of("ingredient/honey", 1, "other bytes")).await;
    hub.release(release("stored", Audience::All, &[&cream])).await.unwrap();
    let sugar = revision("ingredient/sugar", 1);
    let syrup = using("recipe/syrup", 1, &[&sugar]);
    hub.release(release("together", Audience::All, &[&syrup, &sugar])).await.unwrap();
}

/// What is put in force is stored, or in the same commit, under exactly that number and digest.
pub async fn an_item_must_be_held_with_its_number_and_digest(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let honey = revision("ingredient/honey", 1);
    assert_refused!(
        hub.release(parts("absent", &[(Audience::All, &[&honey])])).await,
        HubError::MissingRevision(item) if *item == honey.reference
    );
    hub.release(release("honey", Audience::All, &[&honey])).await.unwrap();
    hub.release(parts("again", &[(Audience::All, &[&honey])])).await.unwrap();
    let mut misnumbered = honey.clone();
    misnumbered.reference.number = 2;
    assert_refused!(
        hub.release(parts("misnumbered", &[(Audience::All, &[&misnumbered])])).await,
        HubError::MissingRevision(_)
    );
}

/// The bytes of revisions and bodies are hashed before anything is believed.
pub async fn bytes_must_have_their_digest(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let whole = release("first", Audience::All, &[&revision("recipe/pear", 1)]);
    let mut bad_revision = whole.clone();
    bad_revision.revisions[0].bytes = "something else".into();
    let mut bad_body = whole.clone();
    bad_body.parts[0].body.bytes = "something else".into();
    for commit in [bad_revision, bad_body] {
        assert_refused!(
            hub.release(commit).await,
            HubError::DigestMismatch { computed, .. } if computed == digest_of(b"something else")
        );
    }
    hub.release(whole).await.unwrap();
}

/// A release that contradicts itself is refused before anything is looked up.
pub async fn a_release_must_be_whole_in_itself(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let (pear, pear_2) = (revision("recipe/pear", 1), revision("recipe/pear", 2));
    let whole = parts("whole", &[(Audience::All, &[&pear]), (Audience::All, &[&pear])]);
    let whole = ReleaseCommit { revisions: vec![pear.clone()], ..whole };
    let broken = |breaking: &dyn Fn(&mut ReleaseCommit)| {
        let mut commit = whole.clone();
        breaking(&mut commit);
        commit
    };
    for (what, commit) in [
        ("no part", broken(&|commit| commit.parts.clear())),
        ("a part is missing", broken(&|commit| drop(commit.parts.remove(0)))),
        ("parts are swapped", broken(&|commit| commit.parts.swap(0, 1))),
        ("another count", broken(&|commit| commit.parts[1].manifest.part_count = 3)),
        ("another release", broken(&|commit| commit.parts[1].manifest.release = id("other"))),
        ("an empty part", broken(&|commit| commit.parts[1].manifest.items.clear())),
        (
            "a document twice",
            broken(&|commit| commit.parts[0].manifest.items.push(pear_2.reference.clone())),
        ),
        ("groups of a recipe", broken(&|commit| commit.revisions[0].site_groups = Some([].into()))),
    ] {
        let result = hub.release(commit).await;
        assert!(matches!(result, Err(HubError::Malformed(_))), "{what}: {result:?}");
    }
    hub.release(whole).await.unwrap();
}

/// Another request can't add to a release, or make it once more.
pub async fn a_release_id_is_used_once(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    let first = release("first", Audience::All, &[&pear]);
    hub.release(first.clone()).await.unwrap();
    let second = ReleaseCommit { request: request("another", "another"), ..first };
    assert_refused!(
        hub.release(second).await,
        HubError::ReleaseIdReused(release) if release == id("first")
    );
}

/// The same bytes can't be two revisions: one of the two would lie about what it is.
pub async fn bytes_belong_to_one_revision(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision_of("recipe/pear", 1, "the bytes");
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    for (name, key, number) in [("other", "recipe/apple", 1), ("next", "recipe/pear", 2)] {
        let same = revision_of(key, number, "the bytes");
        let commit = release(name, Audience::All, &[&same]);
        assert_refused!(hub.release(commit).await, HubError::Malformed(_));
    }
}

/// A refused release stores no revision, takes no position and uses up no name.
pub async fn a_refused_release_leaves_nothing(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.release(release("first", Audience::All, &[&revision("recipe/pear", 1)])).await.unwrap();
    let heads = hub.heads(&View::Whole, None, limit(10)).await.unwrap();
    let good = [revision("recipe/pear", 2), revision("recipe/apple", 1)];
    let absent = revision("recipe/absent", 1);
    let mut bad = parts("second", &[(Audience::All, &[&good[0], &good[1], &absent])]);
    bad.revisions = good.to_vec();
    assert_refused!(hub.release(bad.clone()).await, HubError::MissingRevision(_));
    assert_eq!(hub.state().await.unwrap().position, 1);
    assert_eq!(hub.heads(&View::Whole, None, limit(10)).await.unwrap(), heads);
    for revision in &good {
        assert_eq!(hub.revisions(&[revision.reference.digest]).await.unwrap(), []);
    }
    assert_eq!(hub.release_positions(&id("second")).await.unwrap(), None);
    assert_eq!(hub.entries(&View::Whole, 0, limit(10)).await.unwrap().entries.len(), 1);
    bad.parts[0].manifest.items.pop();
    assert_eq!(hub.release(bad).await.unwrap().first_position, 2);
}
