//! Several at once, and those who give up.

use std::collections::BTreeSet;
use std::sync::Arc;

use chablon_model::{Audience, View};
use tokio::task::JoinSet;

use crate::conformance::samples::{
    id, limit, parts, positions, release, request, revision, revision_of, using, view,
};
use crate::conformance::{drop_after, samples};
use crate::{Committed, Head, HubError, HubStore, ReleaseCommit};

const WRITERS: u32 = 8;
const RELEASES_EACH: u32 = 25;

/// One writer's releases of one document, one after the other; gives their positions.
async fn write(hub: Arc<dyn HubStore>, writer: u32) -> Vec<u64> {
    let mut positions = Vec::new();
    for number in 1..=RELEASES_EACH {
        let revision = revision(&format!("recipe/writer-{writer}"), number);
        let commit = release(&format!("w{writer}-{number}"), Audience::All, &[&revision]);
        positions.push(hub.release(commit).await.unwrap().first_position);
    }
    positions
}

/// Reads on from what it saw until all is there; whatever it sees must join without a gap.
async fn read_all(hub: Arc<dyn HubStore>, total: u64) {
    let mut seen = 0;
    while seen < total {
        let page = hub.entries(&View::Whole, seen, limit(7)).await.unwrap();
        for entry in &page.entries {
            assert_eq!(entry.position, seen + 1, "a reader missed an entry");
            seen = entry.position;
        }
        assert!(page.state.position >= seen);
        tokio::task::yield_now().await;
    }
}

/// Eight writers get dense and unique positions, each in the order of its own releases, and a
/// reader that polls all the while misses nothing.
pub async fn writers_get_dense_positions_and_readers_see_no_gap(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let total = WRITERS * RELEASES_EACH;
    let reader = tokio::spawn(read_all(hub.clone(), u64::from(total)));
    let mut writers = JoinSet::new();
    for writer in 0..WRITERS {
        writers.spawn(write(hub.clone(), writer));
    }
    let mut all = BTreeSet::new();
    while let Some(positions) = writers.join_next().await {
        let positions = positions.unwrap();
        assert!(positions.is_sorted(), "a later release got an earlier position");
        all.extend(positions);
    }
    assert!(all.into_iter().eq(1..=u64::from(total)));
    reader.await.unwrap();
    let heads = hub.heads(&View::Whole, None, limit(100)).await.unwrap();
    assert!(heads.iter().all(|Head { reference, .. }| reference.number == RELEASES_EACH));
}

/// Of those who give a document its next number at once, one wins and the others hear who they are.
pub async fn one_of_those_who_race_for_a_number_wins(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let mut racers = JoinSet::new();
    for racer in 0..WRITERS {
        let hub = hub.clone();
        let mine = revision_of("recipe/pear", 1, &format!("by racer {racer}"));
        let commit = release(&format!("racer-{racer}"), Audience::All, &[&mine]);
        racers.spawn(async move { hub.release(commit).await });
    }
    let mut won = 0;
    while let Some(result) = racers.join_next().await {
        match result.unwrap() {
            Ok(_) => won += 1,
            Err(HubError::Conflict { expected: 2, found: 1, .. }) => {}
            Err(other) => panic!("neither won nor lost: {other}"),
        }
    }
    assert_eq!(won, 1);
    assert_eq!(hub.state().await.unwrap().position, 1);
}

/// A request that is sent eight times at once is carried out once.
pub async fn one_request_sent_many_times_is_done_once(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let commit = release("first", Audience::All, &[&revision("recipe/pear", 1)]);
    let mut senders = JoinSet::new();
    for _ in 0..WRITERS {
        let (hub, commit) = (hub.clone(), commit.clone());
        senders.spawn(async move { hub.release(commit).await.unwrap() });
    }
    let answers = senders.join_all().await;
    assert!(answers.iter().all(|answer| (answer.first_position, answer.last_position) == (1, 1)));
    assert_eq!(answers.iter().filter(|answer| !answer.repeated).count(), 1);
    assert_eq!(hub.state().await.unwrap().position, 1);
}

/// Who is refused among others who write at once leaves nothing and takes nobody along.
pub async fn refused_ones_leave_others_as_they_are(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let first = release("first", Audience::All, &[&revision("recipe/first", 1)]);
    hub.release(first.clone()).await.unwrap();
    let mut callers = JoinSet::new();
    for round in 0..WRITERS {
        for (turn, commit) in mixed(round, &first).into_iter().enumerate() {
            let hub = hub.clone();
            callers.spawn(async move { (turn, hub.release(commit).await) });
        }
    }
    let mut taken = BTreeSet::new();
    while let Some(ended) = callers.join_next().await {
        match ended.unwrap() {
            (0 | 5, Ok(Committed { first_position, repeated: false, .. })) => {
                taken.insert(first_position);
            }
            (1, Err(HubError::Conflict { .. }))
            | (2, Err(HubError::RequestIdReused(_)))
            | (3, Err(HubError::MissingPin { .. }))
            | (4, Ok(Committed { first_position: 1, repeated: true, .. })) => {}
            (turn, other) => panic!("{turn}: {other:?}"),
        }
    }
    assert!(taken.into_iter().eq(2..=u64::from(2 * WRITERS + 1)));
    let page = hub.entries(&View::Whole, 0, limit(1000)).await.unwrap();
    assert!(positions(&page.entries).into_iter().eq(1..=u64::from(2 * WRITERS + 1)));
}

/// Two releases that are taken, and between them a number that doesn't follow, a request's name for
/// other content, a pin that isn't held, and the first request once more.
fn mixed(round: u32, first: &ReleaseCommit) -> [ReleaseCommit; 6] {
    let named = |name: &str| (format!("{name}-{round}"), format!("recipe/{name}-{round}"));
    let new = |name: &str, number| {
        let (name, document) = named(name);
        release(&name, Audience::All, &[&revision(&document, number)])
    };
    let (name, document) = named("pinning");
    let pinning = using(&document, 1, &[&revision("recipe/nowhere", 1)]);
    let reused = ReleaseCommit { request: request("request-first", "other"), ..new("reused", 1) };
    let pinning = release(&name, Audience::All, &[&pinning]);
    [new("taken", 1), new("skipping", 2), reused, pinning, first.clone(), new("also-taken", 1)]
}

/// A release in two parts, of a document of its own.
fn two_parts(number: u64) -> ReleaseCommit {
    let one = revision(&format!("recipe/dropped-{number}"), 1);
    let both = [(Audience::All, &[&one][..]), (Audience::All, &[&one][..])];
    let commit = parts(&format!("dropped-{number}"), &both);
    ReleaseCommit { revisions: vec![one], ..commit }
}

/// Changes whose callers give up at any time are there as a whole or not at all, and nobody after
/// them is held up.
pub async fn dropped_changes_happen_wholly_or_not_at_all(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    const CHANGES: u64 = 60;
    let hub = open().await;
    let mut callers = JoinSet::new();
    for number in 0..CHANGES {
        let hub = hub.clone();
        callers.spawn(async move {
            drop_after(number * 97 % 3000, hub.release(two_parts(number))).await;
        });
    }
    callers.join_all().await;
    let mut taken = BTreeSet::new();
    for number in 0..CHANGES {
        let Committed { first_position, last_position, .. } =
            hub.release(two_parts(number)).await.unwrap();
        assert_eq!(last_position, first_position + 1);
        taken.extend([first_position, last_position]);
    }
    assert!(taken.into_iter().eq(1..=2 * CHANGES), "half a change, or one done twice");
    let page = hub.entries(&View::Whole, 0, limit(1000)).await.unwrap();
    assert!(positions(&page.entries).into_iter().eq(1..=2 * CHANGES));
}

/// Readers that give up don't leave a connection behind that the next one stumbles over.
pub async fn dropped_reads_leave_the_store_usable(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let harbour = samples::site("harbour", 1, &["city"]);
    hub.release(release("site", Audience::All, &[&harbour])).await.unwrap();
    for round in 0..200 {
        drop_after(round * 13 % 400, hub.entries(&view("harbour"), 0, limit(5))).await;
    }
    for number in 1..=5 {
        let pear = revision("recipe/pear", number);
        let mut commit = release(&format!("r{number}"), Audience::All, &[&pear]);
        commit.request = request(&format!("later-{number}"), "later");
        hub.release(commit).await.unwrap();
        let page = hub.entries(&view("harbour"), 0, limit(50)).await.unwrap();
        assert_eq!(page.entries.len() as u64, page.state.position);
    }
    assert!(hub.release_positions(&id("r5")).await.unwrap().is_some());
}
