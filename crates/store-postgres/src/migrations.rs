//! The tables, and whether they are those that are known here.

use std::collections::BTreeMap;

use chablon_store::HubError;
use sqlx::migrate::{Migrate, Migrator};
use sqlx::postgres::PgConnection;
use sqlx::{ConnectOptions, Connection};

use crate::database::{OpenError, options};
use crate::fault::Fault;

static MIGRATIONS: Migrator = sqlx::migrate!("../../migrations/postgres/hub");

/// The first version of the server that is supported, as the server numbers it.
const OLDEST_SERVER: u32 = 150_000;

/// Brings the tables of a database up to date, for a hub's store. Where there are none they are
/// made.
///
/// Of several at once one does the work and the others wait. Hubs that have the store open go on.
///
/// # Errors
/// [`HubError::Unavailable`] with the reason; each migration is made wholly or not at all.
pub async fn migrate(url: &str) -> Result<(), HubError> {
    run(url).await.map_err(|error| Fault::from(error).into())
}

async fn run(url: &str) -> Result<(), OpenError> {
    let mut connection = options(url)?.connect().await?;
    check_server(&connection)?;
    MIGRATIONS.run_direct(None, &mut connection, false).await?;
    Ok(connection.close().await?)
}

/// Whether a database can be worked with as it is.
pub(crate) async fn check(connection: &mut PgConnection) -> Result<(), OpenError> {
    check_server(connection)?;
    let mut applied = applied(connection).await?;
    for migration in MIGRATIONS.iter() {
        match applied.remove(&migration.version) {
            None => return Err(OpenError::Behind(migration.version)),
            Some(checksum) if checksum != *migration.checksum => return Err(OpenError::OtherKind),
            Some(_) => {}
        }
    }
    if applied.is_empty() { Ok(()) } else { Err(OpenError::Newer) }
}

fn check_server(connection: &PgConnection) -> Result<(), OpenError> {
    match connection.server_version_num() {
        Some(old @ ..OLDEST_SERVER) => Err(OpenError::OldServer(old / 10_000)),
        _ => Ok(()),
    }
}

/// The version and the checksum of each migration that was made.
async fn applied(connection: &mut PgConnection) -> Result<BTreeMap<i64, Vec<u8>>, OpenError> {
    let table = &*MIGRATIONS.table_name;
    let any: bool = sqlx::query_scalar("SELECT to_regclass($1) IS NOT NULL")
        .bind(table)
        .fetch_one(&mut *connection)
        .await?;
    if !any {
        return Ok(BTreeMap::new());
    }
    let applied = connection.list_applied_migrations(table).await?;
    Ok(applied.into_iter().map(|one| (one.version, one.checksum.into_owned())).collect())
}
