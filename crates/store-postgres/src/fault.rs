//! What goes wrong beneath the trait.

use std::fmt::Display;
use std::time::Duration;

use chablon_store::HubError;
use sqlx::error::DatabaseError;

use crate::database::OpenError;

/// Why an operation ended early.
#[derive(Debug)]
pub(crate) enum Fault {
    /// It doesn't fit what is stored.
    Refused(HubError),
    /// What is stored makes no sense.
    Damaged(Damage),
    /// The database failed.
    Database(sqlx::Error),
    /// The database can't be opened as this store.
    Unopened(OpenError),
    /// The database didn't answer within this time.
    Overdue(Duration),
}

/// Stored data that makes no sense: where it stands and what is wrong with it.
#[derive(Debug)]
pub(crate) struct Damage(pub(crate) String);

impl Damage {
    /// Of a value in a table.
    pub(crate) fn at(table: &str, key: impl Display, what: impl Display) -> Self {
        Self(format!("table `{table}`, row `{key}`: {what}"))
    }
}

#[derive(Debug, thiserror::Error)]
#[error("the database did not answer within {} ms", .0.as_millis())]
struct Overdue(Duration);

impl Fault {
    /// Whether the same change may go through when it is tried again from its beginning: another
    /// one was in its way, or the connection was lost.
    pub(crate) fn may_pass(&self) -> bool {
        match self {
            Self::Database(sqlx::Error::Io(_)) => true,
            Self::Database(sqlx::Error::Database(error)) => {
                error.code().is_some_and(|code| collided(&code) || lost(&code))
            }
            _ => false,
        }
    }
}

impl From<sqlx::Error> for Fault {
    fn from(error: sqlx::Error) -> Self {
        Self::Database(error)
    }
}

impl From<OpenError> for Fault {
    fn from(error: OpenError) -> Self {
        match error {
            OpenError::Database(error) => Self::Database(error),
            other => Self::Unopened(other),
        }
    }
}

impl From<Damage> for Fault {
    fn from(damage: Damage) -> Self {
        Self::Damaged(damage)
    }
}

impl From<HubError> for Fault {
    fn from(error: HubError) -> Self {
        Self::Refused(error)
    }
}

impl From<Fault> for HubError {
    fn from(fault: Fault) -> Self {
        match fault {
            Fault::Refused(error) => error,
            Fault::Damaged(Damage(what)) => Self::Damaged(what),
            Fault::Database(error) => match damage(&error) {
                Some(what) => Self::Damaged(what),
                None => Self::Unavailable(error.into()),
            },
            Fault::Unopened(error) => Self::Unavailable(error.into()),
            Fault::Overdue(limit) => Self::Unavailable(Overdue(limit).into()),
        }
    }
}

/// Whether another change was in the way: serialization failure, deadlock, and a unique value that
/// somebody else stored between the look and the writing.
fn collided(code: &str) -> bool {
    matches!(code, "40001" | "40P01" | "23505")
}

/// Whether the connection ended: the class of connection exceptions, the server going down or
/// coming up, and a session that the server ended for its silence.
fn lost(code: &str) -> bool {
    code.starts_with("08") || matches!(code, "57P01" | "57P02" | "57P03" | "25P03")
}

/// Whether a database's error means that what is stored is broken, and how.
fn damage(error: &sqlx::Error) -> Option<String> {
    match error {
        sqlx::Error::Database(database) => broken(&**database),
        sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) => Some(error.to_string()),
        _ => None,
    }
}

/// Constraints are broken by nobody who came by the checks, and not for long by those who raced; so
/// what is stored must be at fault. The other codes are of pages and indexes that can't be read.
fn broken(error: &dyn DatabaseError) -> Option<String> {
    let code = error.code()?;
    let broken = code.starts_with("23") || matches!(&*code, "XX001" | "XX002");
    let table = || error.table().map(|table| format!("table `{table}`: ")).unwrap_or_default();
    broken.then(|| format!("{}{}", table(), error.message()))
}
