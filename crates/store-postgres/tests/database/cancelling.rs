//! Callers that give up at any point.

use std::future::poll_fn;
use std::pin::pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::task::Poll;
use std::time::Duration;

use chablon_model::{DraftState, LotEvent, LotNote, Moment, NextStep, View};
use chablon_store::{
    Ack, AckFilter, Act, Actor, AuditLog, Committed, DraftCommit, DraftStep, DraftStore, Frozen,
    HubError, HubStore, LotCommit, LotFilter, Request, Statement, digest_of,
};
use chablon_store_postgres::{PostgresConfig, PostgresHub};
use rand::rngs::SmallRng;
use rand::{RngExt as _, SeedableRng as _};
use sqlx::PgConnection;
use tokio::task::JoinSet;

use crate::samples::{
    PAGE, database, feed, id, open_with, release_in, revision, small, withdrawal,
};

const CALLERS: u64 = 24;
const CALLS_EACH: u64 = 100;

/// As often as the longest call waits, where nobody is in its way.
const MOST_WAITS: u32 = 5;

/// In which what was sent to the server has arrived and the connection is back.
const A_MOMENT: Duration = Duration::from_millis(5);

/// Drops a future when it has waited a number of times, wherever it then is.
async fn give_up_after<T>(waits: u32, future: impl Future<Output = T>) -> Option<T> {
    let mut future = pin!(future);
    let mut left = waits;
    poll_fn(|context| match (future.as_mut().poll(context), left.checked_sub(1)) {
        (Poll::Ready(done), _) => Poll::Ready(Some(done)),
        (Poll::Pending, None) => Poll::Ready(None),
        (Poll::Pending, Some(fewer)) => {
            left = fewer;
            Poll::Pending
        }
    })
    .await
}

/// A change by number: two in three release a document of their own in two parts, the third
/// withdraws the one that every test's feed begins with.
async fn change(hub: &PostgresHub, number: u64) -> Result<Committed, HubError> {
    if number.is_multiple_of(3) {
        let notice =
            withdrawal(&format!("w-{number}"), &revision("site/pear", 1), NextStep::MakeNone);
        return hub.withdraw(notice).await;
    }
    let document = revision(&format!("recipe/r-{number}"), 1);
    hub.release(release_in(2, &format!("r-{number}"), &[document])).await
}

/// A read by number. None shows less than was answered before it began, as a connection would that
/// is left in a moment of the past.
async fn read(hub: &PostgresHub, which: u64, answered: &AtomicU64) {
    let site = View::Site(id("pear"));
    let answered = answered.load(Ordering::SeqCst);
    match which % 6 {
        0 => assert!(hub.state().await.unwrap().position >= answered),
        1 => drop(hub.entries(&site, 0, PAGE).await.unwrap()),
        2 => drop(hub.history(&site, &id("site/pear")).await.unwrap()),
        3 => drop(hub.heads(&View::Whole, None, PAGE).await.unwrap()),
        4 => {
            let page = hub.entries(&View::Whole, answered, PAGE).await.unwrap();
            assert!(page.state.position >= answered);
        }
        _ => drop(hub.sites().await.unwrap()),
    }
}

/// What a caller did.
#[derive(Default)]
struct Done {
    given_up: usize,
    /// The changes that it asked for, and the answer where it waited for it.
    changes: Vec<(u64, Option<Committed>)>,
}

/// Calls, and gives up most of the time: a third of the calls are changes.
async fn call(hub: Arc<PostgresHub>, caller: u64, answered: Arc<AtomicU64>) -> Done {
    let mut random = SmallRng::seed_from_u64(caller);
    let mut done = Done::default();
    for number in (caller * CALLS_EACH..).take(usize::try_from(CALLS_EACH).unwrap()) {
        let waits = random.random_range(0..MOST_WAITS);
        if random.random_ratio(1, 3) {
            let answer = give_up_after(waits, change(&hub, number)).await;
            done.given_up += usize::from(answer.is_none());
            let answer = answer.map(Result::unwrap);
            let last = answer.as_ref().map_or(0, |committed| committed.last_position);
            answered.fetch_max(last, Ordering::SeqCst);
            done.changes.push((number, answer));
        } else {
            let answer = give_up_after(waits, read(&hub, number, &answered)).await;
            done.given_up += usize::from(answer.is_none());
        }
    }
    done
}

/// Sends every change again: what was answered must be there still, where it was said to be.
async fn nothing_vanished(hub: &PostgresHub, changes: &[(u64, Option<Committed>)]) {
    let mut entries = 1;
    for (number, answer) in changes {
        let again = change(hub, *number).await.unwrap();
        entries += 1 + again.last_position - again.first_position;
        if let Some(answer) = answer {
            assert_eq!(again, Committed { repeated: true, ..answer.clone() });
        }
    }
    assert_eq!(feed(hub).await.len() as u64, entries, "half a change, or one done twice");
}

/// No connection of the store is in the middle of anything.
async fn no_connection_is_poisoned(outside: &mut PgConnection) {
    let count = "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() \
                 AND pid <> pg_backend_pid() AND state <> 'idle'";
    for _ in 0..100 {
        let busy: i64 = sqlx::query_scalar(count).fetch_one(&mut *outside).await.unwrap();
        if busy == 0 {
            return;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("a connection is left in the middle of a transaction")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn calls_given_up_anywhere_poison_no_connection_and_lose_no_write() {
    let database = database().await;
    let mut outside = database.connect().await;
    let config = PostgresConfig { poll_every: Duration::from_hours(1), ..small() };
    let hub = open_with(database.url(), &config).await;
    hub.release(release_in(1, "first", &[revision("site/pear", 1)])).await.unwrap();
    let answered = Arc::new(AtomicU64::new(1));
    let callers: JoinSet<_> =
        (0..CALLERS).map(|caller| call(hub.clone(), caller, answered.clone())).collect();
    let done = callers.join_all().await;
    let given_up: usize = done.iter().map(|done| done.given_up).sum();
    assert!(given_up >= 500, "only {given_up} calls were given up");
    let changes: Vec<_> = done.into_iter().flat_map(|done| done.changes).collect();
    let answered = changes.iter().filter(|(_, answer)| answer.is_some()).count();
    assert!((50..changes.len() - 50).contains(&answered), "{answered} of {}", changes.len());
    no_connection_is_poisoned(&mut outside).await;
    nothing_vanished(&hub, &changes).await;
    // Every connection shows the present: none is left in a moment of the past.
    let position = hub.state().await.unwrap().position;
    for round in 1..=20 {
        change(&hub, 999_999 + 3 * round).await.unwrap();
        let page = hub.entries(&View::Site(id("pear")), position, PAGE).await.unwrap();
        assert_eq!(page.entries.len() as u64, round);
    }
    no_connection_is_poisoned(&mut outside).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn calls_given_up_while_they_begin_leave_nothing_begun() {
    let database = database().await;
    let mut outside = database.connect().await;
    let config = PostgresConfig { poll_every: Duration::from_hours(1), ..small() };
    let hub = open_with(database.url(), &config).await;
    let mut given_up = 0;
    // How many of a round's waits a call needs depends on the machine: enough of them are made.
    for round in 0..2400 {
        if given_up == 400 {
            break;
        }
        // A connection is at hand then, so that the first wait is for its transaction to begin.
        hub.state().await.unwrap();
        tokio::time::sleep(A_MOMENT).await;
        let answer = give_up_after(round % 4, hub.entries(&View::Whole, 0, PAGE)).await;
        given_up += usize::from(answer.is_none());
        tokio::time::sleep(A_MOMENT).await;
        no_connection_is_poisoned(&mut outside).await;
    }
    assert_eq!(given_up, 400, "only {given_up} calls were given up");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn acknowledgements_given_up_anywhere_are_kept_wholly_or_not_at_all() {
    let database = database().await;
    let mut outside = database.connect().await;
    let hub = open_with(database.url(), &small()).await;
    hub.release(release_in(2, "first", &[revision("site/pear", 1)])).await.unwrap();
    let bodies: Vec<_> = feed(&*hub).await.into_iter().map(|entry| entry.body.digest).collect();
    let both = |site: u32| {
        let ack = |(position, body_digest): (u64, &_)| Ack {
            site: id(&format!("site-{site}")),
            position,
            body_digest: *body_digest,
            statement: Statement::Received,
            at: Moment(700),
            reason: None,
        };
        (1..).zip(&bodies).map(ack).collect::<Vec<_>>()
    };
    for site in 0..200 {
        give_up_after(site % 4, hub.acknowledge(both(site))).await;
    }
    no_connection_is_poisoned(&mut outside).await;
    let kept = hub.acks(&AckFilter { positions: 1..=2, site: None }).await.unwrap();
    let (one, two): (Vec<_>, Vec<_>) = kept.iter().partition(|ack| ack.position == 1);
    assert!(one.iter().map(|ack| &ack.site).eq(two.iter().map(|ack| &ack.site)));
}

fn request(name: &str) -> Request {
    Request { id: id(name), digest: digest_of(name.as_bytes()) }
}

fn lot(number: u32) -> LotCommit {
    let note = LotNote {
        site: id("pear"),
        ingredient: id("butter"),
        supplier: None,
        lot: format!("L {number}"),
        event: LotEvent::Used,
        at: Moment(700),
        author: "the kitchen".to_owned(),
    };
    let by = Actor { name: "the cook".to_owned(), role: None };
    LotCommit { request: request(&format!("lot-{number}")), at: Moment(710), by, note }
}

fn proposal(number: u32) -> DraftCommit {
    let (by, note) = (Actor { name: "ada".to_owned(), role: None }, "Less honey".to_owned());
    let (request, draft) = (request(&format!("d-{number}")), id(&format!("draft-{number}")));
    let step = DraftStep::Create { note, content: Frozen::new("less") };
    DraftCommit { request, at: Moment(700), by, draft, step }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn notes_and_drafts_given_up_anywhere_are_made_once_or_not_at_all() {
    const EACH: u32 = 200;
    let database = database().await;
    let mut outside = database.connect().await;
    let hub = open_with(database.url(), &small()).await;
    hub.release(release_in(1, "first", &[revision("site/pear", 1)])).await.unwrap();
    let (mut answers, mut given_up) = (Vec::new(), 0);
    for number in 0..EACH {
        let note = give_up_after(number % MOST_WAITS, hub.note_lot(lot(number))).await;
        let draft = give_up_after(number / 5 % MOST_WAITS, hub.take_step(proposal(number))).await;
        given_up += usize::from(note.is_none()) + usize::from(draft.is_none());
        answers.push(note.map(Result::unwrap));
    }
    assert!(given_up >= 50, "only {given_up} calls were given up");
    no_connection_is_poisoned(&mut outside).await;
    for (number, answer) in (0..).zip(answers) {
        let again = hub.note_lot(lot(number)).await.unwrap();
        assert!(answer.is_none_or(|answer| answer == again), "an answered note is kept");
        assert_eq!(hub.take_step(proposal(number)).await.unwrap().events.len(), 1);
    }
    let notes = hub.lot_notes(&LotFilter::default(), 0, PAGE).await.unwrap();
    let drafts = hub.drafts(&DraftState::ALL, None, PAGE).await.unwrap();
    let log = hub.audit(None, PAGE).await.unwrap();
    let told = |act| log.iter().filter(|entry| entry.record.act == act).count();
    let told = [told(Act::CreateDraft), told(Act::NoteLot)];
    assert_eq!(
        (notes.len(), drafts.len(), told),
        (EACH as usize, EACH as usize, [EACH as usize; 2])
    );
    no_connection_is_poisoned(&mut outside).await;
}
