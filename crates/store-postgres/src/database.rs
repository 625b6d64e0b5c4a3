//! Connections and transactions.

use std::panic;
use std::sync::Arc;
use std::time::Duration;

use backon::{ExponentialBuilder, Retryable as _};
use sqlx::migrate::MigrateError;
use sqlx::postgres::{PgConnectOptions, PgConnection, PgPool, PgPoolOptions};
use sqlx::{Connection as _, Postgres, Transaction};
use tokio::time::timeout;
use tracing::Instrument as _;

use crate::config::PostgresConfig;
use crate::fault::Fault;
use crate::migrations;

/// How the connections are called in the server's lists, unless the URL says otherwise.
const APPLICATION: &str = "chablon-hub";

/// How long the server keeps the locks of a change whose hub fell silent. A hub itself never rests
/// in the middle of one.
const SILENCE: Duration = Duration::from_secs(10);

/// How long a connection that was sound is taken to be so. Asking it takes as long as a small read,
/// and a caller who gives up while it is asked costs the connection.
const FRESH: Duration = Duration::from_secs(1);

/// How long a connection that comes back may take to become as new.
const TIDYING: Duration = Duration::from_secs(5);

/// How often something is tried again. Each time somebody else got on, so that a few suffice.
const RETRIES: usize = 6;

pub(crate) type Tx = Transaction<'static, Postgres>;

/// Why a database can't be opened.
#[derive(Debug, thiserror::Error)]
pub(crate) enum OpenError {
    /// The database failed.
    #[error(transparent)]
    Database(#[from] sqlx::Error),
    /// Its tables are behind those that are known here.
    #[error("the database lacks migration {0}; bring its tables up to date, then start the hub")]
    Behind(i64),
    /// Its tables are ahead of those that are known here.
    #[error("the tables were made by a newer version of this program; open them with that one")]
    Newer,
    /// Its tables are others.
    #[error("the database holds something else; give the URL of the right one")]
    OtherKind,
    /// The server is too old.
    #[error("the server is PostgreSQL {0}; the store needs 15 or later")]
    OldServer(u32),
    /// Anything else about the tables.
    #[error("the tables could not be brought up to date")]
    Tables(#[source] MigrateError),
}

impl From<MigrateError> for OpenError {
    fn from(error: MigrateError) -> Self {
        match error {
            MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => error.into(),
            MigrateError::VersionMissing(_) => Self::Newer,
            MigrateError::VersionMismatch(_) => Self::OtherKind,
            other => Self::Tables(other),
        }
    }
}

/// An open database.
#[derive(Clone, Debug)]
pub(crate) struct Database {
    writers: PgPool,
    readers: PgPool,
    listener: PgPool,
    time_limit: Duration,
}

impl Database {
    /// Opens a database whose tables are up to date.
    pub(crate) async fn open(url: &str, config: &PostgresConfig) -> Result<Self, OpenError> {
        let options = options(url)?.options([
            ("statement_timeout", milliseconds(config.time_limit)),
            ("idle_in_transaction_session_timeout", milliseconds(SILENCE)),
            // Every query is a few look-ups in indexes; compiling one takes longer than it runs.
            ("jit", "off".to_owned()),
        ]);
        let wait = config.time_limit / 2;
        let readers = pool(config.readers, wait).connect_with(options.clone()).await?;
        migrations::check(&mut *readers.acquire().await?).await?;
        Ok(Self {
            writers: pool(config.writers, wait).connect_lazy_with(options.clone()),
            readers,
            listener: pool(1, wait).connect_lazy_with(options),
            time_limit: config.time_limit,
        })
    }

    /// Begins a change. Each statement sees what is committed by then.
    pub(crate) async fn write(&self) -> Result<Tx, sqlx::Error> {
        self.writers.begin_with("BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE").await
    }

    /// Begins reading: all of it sees one moment.
    pub(crate) async fn read(&self) -> Result<Tx, sqlx::Error> {
        self.readers.begin_with("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY").await
    }

    /// The connections for single reads.
    pub(crate) fn readers(&self) -> &PgPool {
        &self.readers
    }

    /// The one connection that hears of other hubs.
    pub(crate) fn listener(&self) -> &PgPool {
        &self.listener
    }

    /// Ends all work and closes the connections.
    pub(crate) async fn close(&self) {
        self.listener.close().await;
        self.readers.close().await;
        self.writers.close().await;
    }

    /// Reads, from the beginning again where the connection is lost.
    pub(crate) async fn reading<T, F>(&self, mut attempt: impl FnMut() -> F) -> Result<T, Fault>
    where
        F: Future<Output = Result<T, Fault>>,
    {
        again(|| self.in_time(attempt())).await
    }

    /// Does something within the time limit: where the way to the database is cut without a word,
    /// nothing else would ever end it.
    pub(crate) async fn in_time<T>(
        &self,
        work: impl Future<Output = Result<T, Fault>>,
    ) -> Result<T, Fault> {
        let overdue = |_| Err(Fault::Overdue(self.time_limit));
        timeout(self.time_limit, work).await.unwrap_or_else(overdue)
    }

    /// Carries a change out in a task of its own, so that it ends even when the caller gives up
    /// half-way, and from the beginning again where another one was in its way.
    pub(crate) async fn change<C, T, F>(
        &self,
        commit: C,
        attempt: fn(Self, Arc<C>) -> F,
    ) -> Result<T, Fault>
    where
        C: Send + Sync + 'static,
        T: Send + 'static,
        F: Future<Output = Result<T, Fault>> + Send + 'static,
    {
        let (database, commit) = (self.clone(), Arc::new(commit));
        let attempts = async move {
            again(|| database.in_time(attempt(database.clone(), Arc::clone(&commit)))).await
        };
        in_task(attempts).await?
    }
}

/// How to connect by a URL.
pub(crate) fn options(url: &str) -> Result<PgConnectOptions, sqlx::Error> {
    let options: PgConnectOptions = url.parse()?;
    Ok(match options.get_application_name() {
        None => options.application_name(APPLICATION),
        Some(_) => options,
    })
}

fn milliseconds(duration: Duration) -> String {
    duration.as_millis().to_string()
}

fn pool(size: u32, wait: Duration) -> PgPoolOptions {
    PgPoolOptions::new()
        .max_connections(size)
        .acquire_timeout(wait)
        .after_connect(|connection, _| Box::pin(durable(connection)))
        .test_before_acquire(false)
        .before_acquire(|connection, used| Box::pin(sound(connection, used.idle_for)))
        .after_release(|connection, _| Box::pin(as_new(connection)))
}

/// A change that was answered must outlive a loss of power, whatever the server's habit. Stricter
/// settings, which wait for other machines too, stay.
async fn durable(connection: &mut PgConnection) -> Result<(), sqlx::Error> {
    let overrule = "SELECT set_config('synchronous_commit', 'on', false) \
                    WHERE current_setting('synchronous_commit') = 'off'";
    sqlx::query(overrule).execute(connection).await?;
    Ok(())
}

async fn sound(connection: &mut PgConnection, idle_for: Duration) -> Result<bool, sqlx::Error> {
    if idle_for > FRESH {
        connection.ping().await?;
    }
    Ok(true)
}

/// Ends the transaction that a connection may be in the middle of when it comes back: where a call
/// is dropped while `BEGIN` is under way, the server has begun and the pool doesn't know.
///
/// `ROLLBACK` alone would put a warning into the server's log each time that all is well.
async fn as_new(connection: &mut PgConnection) -> Result<bool, sqlx::Error> {
    let tidying = sqlx::raw_sql("BEGIN; ROLLBACK").execute(connection);
    match timeout(TIDYING, tidying).await {
        Ok(done) => done.map(|_| true),
        Err(_) => Err(sqlx::Error::WorkerCrashed),
    }
}

/// Does something again, after a pause, as long as that may help.
async fn again<T, F>(attempt: impl FnMut() -> F) -> Result<T, Fault>
where
    F: Future<Output = Result<T, Fault>>,
{
    let patience = ExponentialBuilder::default()
        .with_min_delay(Duration::from_millis(10))
        .with_max_delay(Duration::from_secs(1))
        .with_max_times(RETRIES)
        .with_jitter();
    let note = |fault: &Fault, pause| tracing::debug!(?fault, ?pause, "trying again");
    attempt.retry(patience).when(Fault::may_pass).notify(note).await
}

async fn in_task<T: Send + 'static>(
    work: impl Future<Output = T> + Send + 'static,
) -> Result<T, sqlx::Error> {
    match tokio::spawn(work.in_current_span()).await {
        Ok(done) => Ok(done),
        Err(error) => match error.try_into_panic() {
            Ok(panicked) => panic::resume_unwind(panicked),
            // The runtime is shutting down.
            Err(_) => Err(sqlx::Error::WorkerCrashed),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chablon_testkit::postgres::TestDatabase;

    async fn setting(name: &str) -> String {
        let database = TestDatabase::create().await;
        let mut outside = database.connect().await;
        let habit = "DO $$ BEGIN EXECUTE format('ALTER DATABASE %I SET synchronous_commit = off', \
                     current_database()); END $$";
        sqlx::raw_sql(habit).execute(&mut outside).await.unwrap();
        let wait = Duration::from_secs(10);
        let pool = pool(1, wait).connect_with(options(database.url()).unwrap()).await.unwrap();
        let show = sqlx::query_scalar("SELECT current_setting($1)").bind(name);
        show.fetch_one(&pool).await.unwrap()
    }

    #[tokio::test]
    async fn a_server_that_answers_before_it_wrote_is_overruled() {
        assert_eq!(setting("synchronous_commit").await, "on");
    }

    #[tokio::test]
    async fn connections_are_named_unless_the_url_names_them() {
        assert_eq!(setting("application_name").await, APPLICATION);
        let named = options("postgres://db.example/chablon?application_name=north").unwrap();
        assert_eq!(named.get_application_name(), Some("north"));
    }
}
