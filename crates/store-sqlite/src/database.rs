//! Connections and transactions.

use std::future::ready;
use std::panic;
use std::path::Path;
use std::time::Duration;

use sqlx::migrate::{MigrateError, Migrator};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{Connection as _, Sqlite, Transaction};
use tokio::time::{Instant, sleep};
use tracing::Instrument as _;

/// How long a writer waits for one of another process. Ours queue for the one connection instead.
const BUSY_TIMEOUT: Duration = Duration::from_secs(10);

/// Putting a new file into write-ahead mode takes a few milliseconds.
const RETRY_PAUSE: Duration = Duration::from_millis(10);

/// How long anyone queues for a connection before being told that the store is unavailable.
const ACQUIRE_TIMEOUT: Duration = Duration::from_secs(30);

/// Readers never wait for the writer, and each takes a thread and a page cache.
const READERS: u32 = 4;

pub(crate) type Tx = Transaction<'static, Sqlite>;

/// Why a file can't be opened.
#[derive(Debug, thiserror::Error)]
pub(crate) enum OpenError {
    /// The database failed.
    #[error(transparent)]
    Database(#[from] sqlx::Error),
    /// Its tables are ahead of those that are known here.
    #[error("the file was written by a newer version of this program; open it with that one")]
    Newer,
    /// Its tables are others.
    #[error("the file is a store of another kind; give the path of the right one")]
    OtherKind,
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

/// An open file.
#[derive(Clone, Debug)]
pub(crate) struct Database {
    writer: SqlitePool,
    readers: SqlitePool,
}

impl Database {
    /// Opens a file, made where it is missing, and brings its tables up to date.
    pub(crate) async fn open(path: &Path, migrations: &Migrator) -> Result<Self, OpenError> {
        let options = SqliteConnectOptions::new()
            .filename(path)
            .foreign_keys(true)
            .busy_timeout(BUSY_TIMEOUT);
        let writing = options
            .clone()
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            // What a savepoint would take back. In a file it is written with every change.
            .pragma("temp_store", "MEMORY");
        let writer = connect(writing).await?;
        // Under the write lock, for two processes that find a new file would else both make tables.
        // `run` takes no connection of a transaction in a future that is to be `Send`.
        let mut tx = writer.begin_with("BEGIN IMMEDIATE").await?;
        if let Err(error) = migrations.run_direct(None, &mut *tx, false).await {
            return Err(match error {
                MigrateError::VersionMissing(_) if other_kind(&mut tx, migrations).await? => {
                    OpenError::OtherKind
                }
                other => other.into(),
            });
        }
        tx.commit().await?;
        let readers = pool(READERS).connect_lazy_with(options.read_only(true));
        Ok(Self { writer, readers })
    }

    /// Begins a change. It holds the write lock from here on.
    pub(crate) async fn write(&self) -> Result<Tx, sqlx::Error> {
        self.writer.begin_with("BEGIN IMMEDIATE").await
    }

    /// Begins changes that share a transaction, the first of them behind its savepoint.
    pub(crate) async fn write_together(&self) -> Result<Tx, sqlx::Error> {
        self.writer.begin_with("BEGIN IMMEDIATE; SAVEPOINT change").await
    }

    /// Begins reading: all of it sees one moment.
    pub(crate) async fn read(&self) -> Result<Tx, sqlx::Error> {
        self.readers.begin().await
    }

    /// The connections for single reads.
    pub(crate) fn readers(&self) -> &SqlitePool {
        &self.readers
    }

    /// Ends all work and closes the file.
    pub(crate) async fn close(&self) {
        self.readers.close().await;
        self.writer.close().await;
    }
}

/// Whether the tables began as others did. A store of another kind may be ahead in number, too.
async fn other_kind(tx: &mut Tx, migrations: &Migrator) -> Result<bool, sqlx::Error> {
    let first: Option<Vec<u8>> =
        sqlx::query_scalar("SELECT checksum FROM _sqlx_migrations ORDER BY version LIMIT 1")
            .fetch_optional(&mut **tx)
            .await?;
    let own = migrations.iter().next().map(|first| first.checksum.to_vec());
    Ok(first != own)
}

/// Connects the writer. The first one to do so puts the file into write-ahead mode, and for that
/// alone SQLite doesn't wait its turn: who comes second is told at once that the file is locked.
async fn connect(writing: SqliteConnectOptions) -> Result<SqlitePool, sqlx::Error> {
    let turn = Instant::now() + BUSY_TIMEOUT;
    loop {
        match pool(1).connect_with(writing.clone()).await {
            Err(error) if is_locked(&error) && Instant::now() < turn => sleep(RETRY_PAUSE).await,
            done => return done,
        }
    }
}

fn is_locked(error: &sqlx::Error) -> bool {
    const BUSY: u32 = 5;
    let code = error.as_database_error().and_then(|error| error.code()?.parse::<u32>().ok());
    code.is_some_and(|code| code & 0xff == BUSY)
}

/// Connections are kept: a new one would have to read the schema again. Nor is one asked whether it
/// still answers before it is used: the file is in this process, and asking takes as long as a read.
/// One whose transaction SQLite ended by itself, as it does when the disk is full, is taken for still
/// being in it and can't begin another.
fn pool(size: u32) -> SqlitePoolOptions {
    SqlitePoolOptions::new()
        .max_connections(size)
        .acquire_timeout(ACQUIRE_TIMEOUT)
        .test_before_acquire(false)
        .before_acquire(|connection, _| Box::pin(ready(Ok(!connection.is_in_transaction()))))
        .idle_timeout(None)
        .max_lifetime(None)
}

/// Runs a change in a task of its own, so that it ends even when the caller gives up half-way: a
/// transaction is then never left open, and the writer's connection comes back.
pub(crate) async fn in_task<T: Send + 'static>(
    change: impl Future<Output = T> + Send + 'static,
) -> Result<T, sqlx::Error> {
    match tokio::spawn(change.in_current_span()).await {
        Ok(done) => Ok(done),
        Err(error) => match error.try_into_panic() {
            Ok(panicked) => panic::resume_unwind(panicked),
            // The runtime is shutting down.
            Err(_) => Err(sqlx::Error::WorkerCrashed),
        },
    }
}
