//! Stores and values for the tests. Bodies and revisions are plain text: no store may mind.

use std::num::NonZeroU32;
use std::sync::Arc;
use std::time::Duration;

use chablon_model::{
    Audience, DocumentKey, DocumentKind, Manifest, Moment, NextStep, RevisionRef, View, Visibility,
    Withdrawal,
};
use chablon_store::{
    Actor, FeedEntry, Frozen, HubError, HubStore, NewPart, NewRevision, ReleaseCommit, Request,
    WithdrawalCommit, digest_of,
};
use chablon_store_postgres::{PostgresConfig, PostgresHub, migrate};
use chablon_testkit::postgres::TestDatabase;

/// Longer than any feed of these tests.
pub(crate) const PAGE: NonZeroU32 = NonZeroU32::new(10_000).unwrap();

/// What a hub has to come to within.
pub(crate) const SOON: Duration = Duration::from_secs(20);

/// A constant in the type that is wanted.
pub(crate) fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

/// An empty store.
pub(crate) async fn database() -> TestDatabase {
    let database = TestDatabase::create().await;
    migrate(database.url()).await.unwrap();
    database
}

/// Few connections, so that callers are in each other's way.
pub(crate) fn small() -> PostgresConfig {
    PostgresConfig { writers: 2, readers: 2, ..PostgresConfig::default() }
}

pub(crate) async fn open_with(url: &str, config: &PostgresConfig) -> Arc<PostgresHub> {
    Arc::new(PostgresHub::open(url, config, || id("first")).await.unwrap())
}

pub(crate) async fn open(database: &TestDatabase) -> Arc<PostgresHub> {
    open_with(database.url(), &small()).await
}

/// A revision whose bytes name it.
pub(crate) fn revision(key: &str, number: u32) -> NewRevision {
    revision_of(key, number, &format!("{key} {number}"))
}

pub(crate) fn revision_of(key: &str, number: u32, bytes: &str) -> NewRevision {
    let key: DocumentKey = id(key);
    let site_groups = (key.kind == DocumentKind::Site).then(|| [id("city")].into());
    NewRevision {
        reference: RevisionRef { key, number, digest: digest_of(bytes.as_bytes()) },
        bytes: bytes.to_owned().into(),
        visible_to: Visibility::Everyone,
        pins: Vec::new(),
        site_groups,
    }
}

pub(crate) fn request(name: &str) -> Request {
    Request { id: id(name), digest: digest_of(name.as_bytes()) }
}

/// A release that stores revisions and puts them in force, in some equal parts for all.
pub(crate) fn release_in(parts: u32, name: &str, revisions: &[NewRevision]) -> ReleaseCommit {
    let manifest = |part| Manifest {
        release: id(name),
        part,
        part_count: parts,
        audience: Audience::All,
        holds_from: Moment(0),
        at_sites: std::collections::BTreeMap::new(),
        items: revisions.iter().map(|revision| revision.reference.clone()).collect(),
        note: String::new(),
        author: "the chef".to_owned(),
    };
    let body = |part| Frozen::new(format!("release {name}, part {part}"));
    ReleaseCommit {
        request: request(name),
        at: Moment(500),
        by: Actor { name: "the chef".to_owned(), role: None },
        draft: None,
        revisions: revisions.to_vec(),
        parts: (1..=parts).map(|n| NewPart { manifest: manifest(n), body: body(n) }).collect(),
    }
}

/// A release in one part.
pub(crate) fn release(name: &str, revisions: &[NewRevision]) -> ReleaseCommit {
    release_in(1, name, revisions)
}

/// The release of a recipe's next revision.
pub(crate) fn next(recipe: &str, number: u32) -> ReleaseCommit {
    release(&format!("{recipe}-{number}"), &[revision(&format!("recipe/{recipe}"), number)])
}

pub(crate) fn withdrawal(name: &str, revision: &NewRevision, next: NextStep) -> WithdrawalCommit {
    WithdrawalCommit {
        request: request(name),
        at: Moment(600),
        by: Actor { name: "the chef".to_owned(), role: None },
        withdrawal: Withdrawal {
            revision: revision.reference.clone(),
            next,
            audience: Audience::All,
            holds_from: Moment(1000),
            reason: "a reason".to_owned(),
            author: "the chef".to_owned(),
        },
        body: Frozen::new(format!("withdrawal {name}")),
    }
}

/// The whole feed, which must be dense.
pub(crate) async fn feed(hub: &dyn HubStore) -> Vec<FeedEntry> {
    let page = hub.entries(&View::Whole, 0, PAGE).await.unwrap();
    assert!(page.entries.iter().map(|entry| entry.position).eq(1..=page.state.position));
    assert!(page.entries.iter().all(|entry| entry.previous_position == entry.position - 1));
    page.entries
}

/// Asks again, as a client does, until the store is there.
pub(crate) async fn insist<T, F>(mut ask: impl FnMut() -> F) -> T
where
    F: Future<Output = Result<T, HubError>>,
{
    let asking = async {
        loop {
            match ask().await {
                Err(HubError::Unavailable(_)) => {
                    tokio::time::sleep(Duration::from_millis(20)).await;
                }
                other => return other.unwrap(),
            }
        }
    };
    tokio::time::timeout(3 * SOON, asking).await.expect("the store comes back")
}

/// The whole of what an error says, causes included.
pub(crate) fn told(error: &dyn std::error::Error) -> String {
    let causes = std::iter::successors(Some(error), |error| error.source());
    causes.map(ToString::to_string).collect::<Vec<_>>().join(": ")
}
