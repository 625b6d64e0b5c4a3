//! Changes that wait at the same time share a transaction, and so one wait for the disk.
//!
//! Whoever is there when the connection that writes is free goes along; nobody is waited for. Each
//! change is made behind a savepoint of its own, so that one that is refused leaves the others as they
//! are. Nobody is answered before the commit, not even with a refusal: that may rest on a change before
//! it, which a failed commit takes back.

use std::collections::VecDeque;
use std::fmt;
use std::pin::Pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use async_trait::async_trait;
use tokio::sync::oneshot;
use tracing::{Instrument as _, Span};

use super::Fault;
use crate::database::{Database, Tx};

/// How many changes share a transaction at most: a failed commit fails them all.
const MOST: usize = 64;

/// What a change comes to, once it is made in a transaction.
pub(super) type Made<'t, T> = Pin<Box<dyn Future<Output = Result<T, Fault>> + Send + 't>>;

/// How a change is made.
pub(super) type Make<C, T> = for<'t> fn(&'t mut Tx, &'t C) -> Made<'t, T>;

/// Makes changes, one after the other.
pub(super) struct Writer {
    database: Database,
    waiting: Mutex<VecDeque<Box<dyn Change>>>,
    /// Whoever has it writes. The connection alone wouldn't do: who finds that others took the change
    /// along would have begun a transaction for nothing.
    turn: tokio::sync::Mutex<()>,
}

impl Writer {
    pub(super) fn new(database: Database) -> Arc<Self> {
        Arc::new(Self { database, waiting: Mutex::default(), turn: tokio::sync::Mutex::default() })
    }

    /// Makes a change, and answers once it lasts. It ends even when the caller gives up half-way: a
    /// transaction is then never left open.
    pub(super) async fn change<C, T>(
        self: &Arc<Self>,
        commit: C,
        make: Make<C, T>,
    ) -> Result<T, Fault>
    where
        C: Send + Sync + 'static,
        T: Send + 'static,
    {
        let (caller, answer) = oneshot::channel();
        let change = Waiting { commit, make, caller, outcome: None, span: Span::current() };
        self.waiting().push_back(Box::new(change));
        tokio::spawn(Arc::clone(self).take_turn());
        // Nobody answers where one of those together panicked, or the runtime is shutting down.
        answer.await.unwrap_or_else(|_| Err(sqlx::Error::WorkerCrashed.into()))
    }

    /// Makes what is waiting by then, which the change of whoever takes this turn may not be among: it
    /// went along with others, or will.
    async fn take_turn(self: Arc<Self>) {
        let _turn = self.turn.lock().await;
        let mut together = self.next();
        if together.is_empty() {
            return;
        }
        let ended = self.make(&mut together).await;
        for change in together {
            change.answer(&ended);
        }
    }

    fn next(&self) -> Vec<Box<dyn Change>> {
        let mut waiting = self.waiting();
        let some = waiting.len().min(MOST);
        waiting.drain(..some).collect()
    }

    async fn make(&self, together: &mut [Box<dyn Change>]) -> Result<(), Arc<sqlx::Error>> {
        let mut tx = self.database.write_together().await?;
        for (place, change) in together.iter_mut().enumerate() {
            if place > 0 {
                sqlx::query(NEXT).execute(&mut *tx).await?;
            }
            change.make(&mut tx).await;
            if let Some(fault) = change.fault() {
                take_back(&mut tx, fault).await?;
            }
        }
        Ok(tx.commit().await?)
    }

    fn waiting(&self) -> MutexGuard<'_, VecDeque<Box<dyn Change>>> {
        // A change is put there and taken away whole, so whoever panicked left a sound queue.
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl fmt::Debug for Writer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Writer").field("waiting", &self.waiting().len()).finish_non_exhaustive()
    }
}

/// What was made before stays, if the commit comes about.
const NEXT: &str = "RELEASE change; SAVEPOINT change";

const TAKE_BACK: &str = "ROLLBACK TO change";

/// Takes back what one change wrote. Where a fault ended the whole transaction, as a full disk does,
/// there is nothing to go back to, and it is the end of all of them.
async fn take_back(tx: &mut Tx, fault: &Fault) -> Result<(), Arc<sqlx::Error>> {
    match (sqlx::query(TAKE_BACK).execute(&mut **tx).await, fault) {
        (Ok(_), _) => Ok(()),
        (Err(_), Fault::Database(cause)) => Err(Arc::clone(cause)),
        (Err(error), _) => Err(error.into()),
    }
}

/// A change whose caller waits, whatever it is of.
#[async_trait]
trait Change: Send {
    async fn make(&mut self, tx: &mut Tx);

    /// Why it isn't made.
    fn fault(&self) -> Option<&Fault>;

    /// Tells the caller, now that the transaction ended.
    fn answer(self: Box<Self>, ended: &Result<(), Arc<sqlx::Error>>);
}

struct Waiting<C, T> {
    commit: C,
    make: Make<C, T>,
    caller: oneshot::Sender<Result<T, Fault>>,
    outcome: Option<Result<T, Fault>>,
    /// The caller's, in which the change is logged whoever makes it.
    span: Span,
}

#[async_trait]
impl<C: Send + Sync, T: Send> Change for Waiting<C, T> {
    async fn make(&mut self, tx: &mut Tx) {
        let made = (self.make)(tx, &self.commit).instrument(self.span.clone());
        self.outcome = Some(made.await);
    }

    fn fault(&self) -> Option<&Fault> {
        self.outcome.as_ref()?.as_ref().err()
    }

    fn answer(self: Box<Self>, ended: &Result<(), Arc<sqlx::Error>>) {
        let answer = match ended {
            Ok(()) => self.outcome.expect("all were made before the commit"),
            Err(error) => Err(Fault::Database(Arc::clone(error))),
        };
        // A caller who gave up isn't there any more.
        self.caller.send(answer).ok();
    }
}

#[cfg(test)]
mod tests {
    use chablon_model::Moment;
    use chablon_store::{Act, Actor, AuditRecord, HubError};
    use tempfile::TempDir;
    use tokio::sync::Semaphore;
    use tokio::task::JoinHandle;

    use super::super::{MIGRATIONS, audit};
    use super::*;

    /// A change that has begun says so, and goes on when it may.
    #[derive(Clone)]
    struct Gate(Arc<(Semaphore, Semaphore)>);

    impl Gate {
        fn new() -> Self {
            Self(Arc::new((Semaphore::new(0), Semaphore::new(0))))
        }

        async fn passed(&self) {
            self.0.0.add_permits(1);
            self.0.1.acquire().await.unwrap().forget();
        }

        async fn reached(&self) {
            self.0.0.acquire().await.unwrap().forget();
        }

        fn open(&self) {
            self.0.1.add_permits(1);
        }
    }

    type Answer = JoinHandle<Result<(), Fault>>;

    struct Place {
        _folder: TempDir,
        writer: Arc<Writer>,
    }

    impl Place {
        async fn new() -> Self {
            let folder = tempfile::tempdir().unwrap();
            let database = Database::open(&folder.path().join("hub.db"), &MIGRATIONS).await;
            Self { writer: Writer::new(database.unwrap()), _folder: folder }
        }

        /// Sends a change after all that wait already, while none is taken.
        async fn send<C: Send + Sync + 'static>(&self, commit: C, make: Make<C, ()>) -> Answer {
            let waiting = self.writer.waiting().len();
            let writer = Arc::clone(&self.writer);
            let answer = tokio::spawn(async move { writer.change(commit, make).await });
            while self.writer.waiting().len() == waiting {
                tokio::task::yield_now().await;
            }
            answer
        }

        /// Keeps all that is sent from now on waiting, till the gate is opened.
        async fn hold(&self) -> (Gate, Answer) {
            let gate = Gate::new();
            let writer = Arc::clone(&self.writer);
            let commit = gate.clone();
            let held = tokio::spawn(async move { writer.change(commit, noting_at_gate).await });
            gate.reached().await;
            (gate, held)
        }

        async fn note(&self, word: &'static str) -> Answer {
            self.send(word, |tx, word| Box::pin(noted(tx, word))).await
        }

        async fn refuse(&self) -> Answer {
            self.send((), |tx, ()| {
                Box::pin(async {
                    noted(tx, "refused").await?;
                    Err(HubError::UnknownEntry { position: 7 }.into())
                })
            })
            .await
        }

        /// What readers see of the notes.
        async fn notes(&self) -> Vec<(i64, String)> {
            sqlx::query_as("SELECT number, subject FROM audit ORDER BY number")
                .fetch_all(self.writer.database.readers())
                .await
                .unwrap()
        }
    }

    async fn noted(tx: &mut Tx, word: &str) -> Result<(), Fault> {
        let by = Actor { name: "the chef".to_owned(), role: None };
        let (subject, detail) = (word.to_owned(), String::new());
        let record = AuditRecord { at: Moment(0), by, act: Act::Release, subject, detail };
        audit::note(tx, &record).await
    }

    fn noting_at_gate<'t>(tx: &'t mut Tx, gate: &'t Gate) -> Made<'t, ()> {
        Box::pin(async {
            noted(tx, "gate").await?;
            gate.passed().await;
            Ok(())
        })
    }

    fn numbered(words: &[&str]) -> Vec<(i64, String)> {
        (1..).zip(words.iter().map(|word| (*word).to_owned())).collect()
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn those_who_wait_share_a_transaction_and_hear_after_it() {
        let place = Place::new().await;
        let (gate, held) = place.hold().await;
        let first = place.note("first").await;
        let refused = place.refuse().await;
        let second = place.note("second").await;
        let last = Gate::new();
        let at_last = place.send(last.clone(), noting_at_gate).await;
        gate.open();
        held.await.unwrap().unwrap();
        last.reached().await;
        // All but the last one are made by now, and nothing of it lasts.
        assert!(!first.is_finished() && !refused.is_finished() && !second.is_finished());
        assert_eq!(place.notes().await, numbered(&["gate"]));
        last.open();
        for made in [first, second, at_last] {
            made.await.unwrap().unwrap();
        }
        let refused = refused.await.unwrap();
        assert!(matches!(refused, Err(Fault::Refused(HubError::UnknownEntry { position: 7 }))));
        assert_eq!(place.notes().await, numbered(&["gate", "first", "second", "gate"]));
    }

    /// Sends what ends badly among others; gives how all of them ended.
    async fn together_with(bad: Make<(), ()>) -> (Place, Vec<Result<(), Fault>>) {
        let place = Place::new().await;
        let (gate, held) = place.hold().await;
        let all = [
            place.note("before").await,
            place.refuse().await,
            place.send((), bad).await,
            place.note("after").await,
        ];
        gate.open();
        held.await.unwrap().unwrap();
        let mut ended = Vec::new();
        for one in all {
            ended.push(one.await.unwrap());
        }
        (place, ended)
    }

    /// That all were told of a failure, nothing of them is there, and who comes later gets on.
    async fn failed_together(bad: Make<(), ()>, why: &str) {
        let (place, ended) = together_with(bad).await;
        for one in ended {
            let Err(Fault::Database(error)) = one else { panic!("{one:?}") };
            assert!(error.to_string().contains(why), "{error}");
        }
        assert_eq!(place.notes().await, numbered(&["gate"]));
        place.writer.change("later", |tx, word| Box::pin(noted(tx, word))).await.unwrap();
        assert_eq!(place.notes().await, numbered(&["gate", "later"]));
    }

    /// A reference that leads nowhere, which the commit alone notices.
    async fn lost_reference(tx: &mut Tx) -> Result<(), Fault> {
        sqlx::query("PRAGMA defer_foreign_keys = ON").execute(&mut **tx).await?;
        let lost = "INSERT INTO pin (revision, pinned) VALUES (zeroblob(32), zeroblob(32))";
        sqlx::query(lost).execute(&mut **tx).await?;
        Ok(())
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn a_commit_that_fails_is_told_to_all() {
        failed_together(|tx, ()| Box::pin(lost_reference(tx)), "FOREIGN KEY").await;
    }

    /// What SQLite does by itself then.
    async fn full_disk(tx: &mut Tx) -> Result<(), Fault> {
        sqlx::query("ROLLBACK").execute(&mut **tx).await?;
        Err(sqlx::Error::Protocol("the disk is full".to_owned()).into())
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn a_fault_that_ends_the_transaction_is_told_to_all() {
        failed_together(|tx, ()| Box::pin(full_disk(tx)), "the disk is full").await;
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn whoever_panics_takes_the_others_along_and_nobody_after_them() {
        failed_together(|_, ()| Box::pin(async { panic!("a slip") }), "background worker").await;
    }

    async fn half_done(tx: &mut Tx) -> Result<(), Fault> {
        noted(tx, "half").await?;
        sqlx::query("UPDATE audit SET subject = 'other'").execute(&mut **tx).await?;
        Ok(())
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn a_fault_of_one_change_is_its_own() {
        let (place, ended) = together_with(|tx, ()| Box::pin(half_done(tx))).await;
        assert!(matches!(
            &ended[..],
            [Ok(()), Err(Fault::Refused(_)), Err(Fault::Database(_)), Ok(())]
        ));
        assert_eq!(place.notes().await, numbered(&["gate", "before", "after"]));
    }

    #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
    async fn more_than_may_go_along_go_later() {
        let place = Place::new().await;
        let (gate, held) = place.hold().await;
        let mut all = vec![held];
        for _ in 0..=2 * MOST {
            all.push(place.note("one of many").await);
        }
        gate.open();
        for one in all {
            one.await.unwrap().unwrap();
        }
        let numbers: Vec<i64> = place.notes().await.into_iter().map(|(number, _)| number).collect();
        assert!(numbers.into_iter().eq(1..=2 * i64::try_from(MOST).unwrap() + 2));
    }
}
