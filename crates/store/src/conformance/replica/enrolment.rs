//! Whose replica it is, and what stays.

use std::sync::Arc;

use chablon_model::Moment;

use super::kitchen_with;
use crate::conformance::assert_refused;
use crate::conformance::samples::{
    cursor, held, id, identity, released, revision, said, stretch, using,
};
use crate::{CatchUp, Identity, Integrity, ReplicaError, ReplicaStore, Statement};

/// A new replica holds nothing and belongs to nobody.
pub async fn a_new_replica_is_nobodys(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    assert_eq!(store.identity().await.unwrap(), None);
    assert_eq!(store.cursor().await.unwrap(), None);
    assert_eq!(store.last_contact().await.unwrap(), None);
    assert_eq!(store.entries().await.unwrap(), []);
    assert_eq!(store.outbox(10).await.unwrap(), []);
    assert_eq!(store.check().await.unwrap(), Integrity { revisions: 0, entries: 0 });
}

/// The same site again changes nothing, another one is refused.
pub async fn a_replica_is_enrolled_once(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    store.enrol(identity("harbour")).await.unwrap();
    store.enrol(Identity { enrolled_at: Moment(99), ..identity("harbour") }).await.unwrap();
    assert_refused!(
        store.enrol(identity("station")).await,
        ReplicaError::EnrolledElsewhere { site, asked }
            if (&site, &asked) == (&id("harbour"), &id("station"))
    );
    assert_eq!(store.identity().await.unwrap(), Some(identity("harbour")));
}

/// Revisions may be kept before it is known whose they are; entries and contacts may not.
pub async fn nothing_is_applied_before_enrolment(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    store.put_revisions(vec![held(&pear)]).await.unwrap();
    let first = stretch(vec![released(1, 0, &[&pear])]);
    assert_refused!(store.apply(first.clone()).await, ReplicaError::NotEnrolled);
    assert_refused!(store.replace(first.clone()).await, ReplicaError::NotEnrolled);
    assert_refused!(store.caught_up(Moment(1)).await, ReplicaError::NotEnrolled);
    store.enrol(identity("harbour")).await.unwrap();
    store.apply(first).await.unwrap();
}

/// Contacts may be noted out of order; the latest counts.
pub async fn the_last_contact_never_goes_back(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    store.enrol(identity("harbour")).await.unwrap();
    for (noted, last) in [(-5, -5), (70, 70), (60, 70), (71, 71)] {
        store.caught_up(Moment(noted)).await.unwrap();
        assert_eq!(store.last_contact().await.unwrap(), Some(Moment(last)));
    }
}

/// Everything that can be read before a restart can be read after it, and is the same.
pub async fn all_is_there_after_reopening(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    kitchen_with(&*store, &[&honey, &cream]).await;
    let said = vec![said(3, Statement::Received, 50)];
    store.apply(CatchUp { said, ..stretch(vec![released(3, 0, &[&cream])]) }).await.unwrap();
    store.caught_up(Moment(60)).await.unwrap();
    let entries = store.entries().await.unwrap();
    let outbox = store.outbox(9).await.unwrap();
    drop(store);

    let store = open().await;
    assert_eq!(store.identity().await.unwrap(), Some(identity("harbour")));
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", 3)));
    assert_eq!(store.last_contact().await.unwrap(), Some(Moment(60)));
    assert_eq!(store.entries().await.unwrap(), entries);
    assert_eq!((outbox.len(), store.outbox(9).await.unwrap()), (1, outbox));
    assert_eq!(store.revision(honey.reference.digest).await.unwrap().unwrap().bytes, honey.bytes);
    assert_eq!(store.missing(&[cream.reference.digest]).await.unwrap(), []);
    assert_eq!(store.check().await.unwrap(), Integrity { revisions: 2, entries: 1 });
}
