//! After a restart.

use std::sync::Arc;

use chablon_model::{Audience, Moment, NextStep, View};

use crate::conformance::samples::{id, limit, release, revision, site, using, view, withdrawal};
use crate::{Ack, AckFilter, Committed, HubStore, Statement};

/// Everything that can be read before a restart can be read after it, and is the same.
pub async fn all_is_there_after_reopening(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let honey = revision("ingredient/honey", 1);
    let (cream, harbour) = (using("recipe/cream", 1, &[&honey]), site("harbour", 1, &["city"]));
    hub.release(release("first", Audience::All, &[&honey, &cream, &harbour])).await.unwrap();
    hub.withdraw(withdrawal("stop", &cream, NextStep::MakeNone)).await.unwrap();
    let page = hub.entries(&view("harbour"), 0, limit(10)).await.unwrap();
    let ack = Ack {
        site: id("harbour"),
        position: 1,
        body_digest: page.entries[0].body.digest,
        statement: Statement::InUse,
        at: Moment(4000),
        reason: None,
    };
    hub.acknowledge(vec![ack.clone()]).await.unwrap();
    let heads = hub.heads(&View::Whole, None, limit(10)).await.unwrap();
    let closure = hub.closure(&[cream.reference.digest]).await.unwrap();
    let sites = hub.sites().await.unwrap();
    drop(hub);

    let hub = open().await;
    assert_eq!(hub.entries(&view("harbour"), 0, limit(10)).await.unwrap(), page);
    assert_eq!(hub.heads(&View::Whole, None, limit(10)).await.unwrap(), heads);
    assert_eq!(hub.closure(&[cream.reference.digest]).await.unwrap(), closure);
    assert_eq!(hub.sites().await.unwrap(), sites);
    assert_eq!(hub.acks(&AckFilter { positions: 1..=2, site: None }).await.unwrap(), [ack]);
    let stored = hub.revisions(&[honey.reference.digest]).await.unwrap().remove(0);
    assert_eq!(stored.bytes, honey.bytes);
}

/// The epoch stays, positions and names go on where they were.
pub async fn positions_go_on_after_reopening(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let commit = release("first", Audience::All, &[&revision("recipe/pear", 1)]);
    let first = hub.release(commit.clone()).await.unwrap();
    let state = hub.state().await.unwrap();
    drop(hub);

    let hub = open().await;
    assert_eq!(hub.state().await.unwrap(), state);
    assert_eq!(*hub.subscribe().borrow(), 1, "a watcher that comes later starts at the end");
    assert_eq!(hub.release(commit).await.unwrap(), Committed { repeated: true, ..first });
    let next = release("second", Audience::All, &[&revision("recipe/pear", 2)]);
    assert_eq!(hub.release(next).await.unwrap().first_position, 2);
}
