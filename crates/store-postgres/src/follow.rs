//! News of other hubs' commits.
//!
//! A hub tells the others of its own commits after the fact, outside the transaction: news takes a
//! lock that all commits of the server share, and a full queue of it would refuse the commit. So a
//! word may get lost, and the counter is looked at from time to time regardless.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use sqlx::postgres::{PgListener, PgPool};
use tokio::sync::{Notify, watch};
use tokio::time::{sleep, timeout};
use tokio_util::task::AbortOnDropHandle;

use crate::database::Database;
use crate::fault::Fault;
use crate::hub::state;

/// On which channel hubs tell each other. It is the database's own.
const CHANNEL: &str = "chablon_feed";

/// How long the listener rests when the server can't be reached.
const PAUSE: Duration = Duration::from_secs(1);

/// The last positions that were heard of.
#[derive(Clone, Debug)]
pub(crate) struct News {
    /// Committed by whomever.
    committed: watch::Sender<u64>,
    /// Committed here, and to be told to others.
    own: watch::Sender<u64>,
}

impl News {
    pub(crate) fn new(position: u64) -> Self {
        Self { committed: watch::Sender::new(position), own: watch::Sender::new(position) }
    }

    pub(crate) fn subscribe(&self) -> watch::Receiver<u64> {
        self.committed.subscribe()
    }

    /// Notes a commit of this hub's.
    pub(crate) fn note(&self, position: u64) {
        raise(&self.committed, position);
        raise(&self.own, position);
    }
}

fn raise(last: &watch::Sender<u64>, position: u64) {
    last.send_if_modified(|last| {
        let later = position > *last;
        *last = position.max(*last);
        later
    });
}

/// The tasks that carry news, as long as it is kept.
#[derive(Debug)]
pub(crate) struct Follower {
    _tasks: [AbortOnDropHandle<()>; 3],
}

impl Follower {
    pub(crate) fn start(database: &Database, news: &News, poll_every: Duration) -> Self {
        let wake = Arc::new(Notify::new());
        let listening = listen(database.listener().clone(), Arc::clone(&wake));
        let looking = look(database.clone(), news.committed.clone(), wake, poll_every);
        let telling = tell(database.clone(), news.own.subscribe());
        let tasks = [tokio::spawn(listening), tokio::spawn(looking), tokio::spawn(telling)];
        Self { _tasks: tasks.map(AbortOnDropHandle::new) }
    }
}

/// Wakes the looker when another hub says that the counter moved.
async fn listen(pool: PgPool, wake: Arc<Notify>) {
    while !pool.is_closed() {
        let Err(error) = hear(&pool, &wake).await;
        tracing::debug!(%error, "not listening for other hubs; looking at the counter instead");
        sleep(PAUSE).await;
    }
}

/// Wakes once it listens, too: what was said before then was said to nobody.
async fn hear(pool: &PgPool, wake: &Notify) -> Result<Infallible, sqlx::Error> {
    let mut listener = PgListener::connect_with(pool).await?;
    listener.listen(CHANNEL).await?;
    loop {
        wake.notify_one();
        listener.try_recv().await?;
    }
}

/// Looks at the counter, when woken and from time to time.
async fn look(
    database: Database,
    committed: watch::Sender<u64>,
    wake: Arc<Notify>,
    poll_every: Duration,
) {
    while !database.readers().is_closed() {
        _ = timeout(poll_every, wake.notified()).await;
        match database.in_time(state::state(&database)).await {
            Ok(state) => raise(&committed, state.position),
            Err(fault) => tracing::debug!(?fault, "the counter could not be looked at"),
        }
    }
}

/// Tells other hubs of the last commit. While one word is on its way the next ones become one.
async fn tell(database: Database, mut own: watch::Receiver<u64>) {
    while own.changed().await.is_ok() {
        let position = own.borrow_and_update().to_string();
        if let Err(fault) = database.in_time(notify(&database, &position)).await {
            tracing::debug!(?fault, "other hubs could not be told; they look for themselves");
        }
    }
}

async fn notify(database: &Database, position: &str) -> Result<(), Fault> {
    sqlx::query("SELECT pg_notify($1, $2)")
        .bind(CHANNEL)
        .bind(position)
        .execute(database.readers())
        .await?;
    Ok(())
}
