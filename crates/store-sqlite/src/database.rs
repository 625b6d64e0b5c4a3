//! Connections and transactions.

use std::panic;
use std::path::Path;
use std::time::Duration;

use sqlx::migrate::{MigrateError, Migrator};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{Sqlite, Transaction};

/// How long a writer waits for one of another process. Ours queue for the one connection instead.
const BUSY_TIMEOUT: Duration = Duration::from_secs(10);

/// How long anyone queues for a connection before being told that the store is unavailable.
const ACQUIRE_TIMEOUT: Duration = Duration::from_secs(30);

/// Readers never wait for the writer, and each takes a thread and a page cache.
const READERS: u32 = 4;

pub(crate) type Tx = Transaction<'static, Sqlite>;

/// An open file.
#[derive(Clone, Debug)]
pub(crate) struct Database {
    writer: SqlitePool,
    readers: SqlitePool,
}

impl Database {
    /// Opens a file, made where it is missing, and brings its tables up to date.
    pub(crate) async fn open(path: &Path, migrations: &Migrator) -> Result<Self, sqlx::Error> {
        let options = SqliteConnectOptions::new()
            .filename(path)
            .foreign_keys(true)
            .busy_timeout(BUSY_TIMEOUT);
        let writing = options
            .clone()
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full);
        let writer = pool(1).connect_with(writing).await?;
        migrations.run(&writer).await.map_err(migration_error)?;
        let readers = pool(READERS).connect_lazy_with(options.read_only(true));
        Ok(Self { writer, readers })
    }

    /// Begins a change. It holds the write lock from here on.
    pub(crate) async fn write(&self) -> Result<Tx, sqlx::Error> {
        self.writer.begin_with("BEGIN IMMEDIATE").await
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

/// Connections are kept: a new one would have to read the schema again.
fn pool(size: u32) -> SqlitePoolOptions {
    SqlitePoolOptions::new()
        .max_connections(size)
        .acquire_timeout(ACQUIRE_TIMEOUT)
        .idle_timeout(None)
        .max_lifetime(None)
}

fn migration_error(error: MigrateError) -> sqlx::Error {
    match error {
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => error,
        other => sqlx::Error::Migrate(Box::new(other)),
    }
}

/// Runs a change in a task of its own, so that it ends even when the caller gives up half-way: a
/// transaction is then never left open, and the writer's connection comes back.
pub(crate) async fn in_task<T: Send + 'static>(
    change: impl Future<Output = T> + Send + 'static,
) -> Result<T, sqlx::Error> {
    match tokio::spawn(change).await {
        Ok(done) => Ok(done),
        Err(error) => match error.try_into_panic() {
            Ok(panicked) => panic::resume_unwind(panicked),
            // The runtime is shutting down.
            Err(_) => Err(sqlx::Error::WorkerCrashed),
        },
    }
}
