//! What goes wrong beneath the traits.

use std::fmt::Display;
use std::sync::Arc;

use chablon_store::{HubError, ReplicaError};

use crate::database::OpenError;

/// Why an operation ended early.
#[derive(Debug)]
pub(crate) enum Fault<E> {
    /// It doesn't fit what is stored.
    Refused(E),
    /// What is stored makes no sense.
    Damaged(Damage),
    /// The database failed: several changes that shared a transaction, maybe.
    Database(Arc<sqlx::Error>),
    /// The file can't be opened as this store.
    Unopened(OpenError),
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

impl<E> From<sqlx::Error> for Fault<E> {
    fn from(error: sqlx::Error) -> Self {
        Self::Database(error.into())
    }
}

impl<E> From<OpenError> for Fault<E> {
    fn from(error: OpenError) -> Self {
        match error {
            OpenError::Database(error) => error.into(),
            other => Self::Unopened(other),
        }
    }
}

impl<E> From<Damage> for Fault<E> {
    fn from(damage: Damage) -> Self {
        Self::Damaged(damage)
    }
}

impl From<HubError> for Fault<HubError> {
    fn from(error: HubError) -> Self {
        Self::Refused(error)
    }
}

impl From<ReplicaError> for Fault<ReplicaError> {
    fn from(error: ReplicaError) -> Self {
        Self::Refused(error)
    }
}

impl From<Fault<HubError>> for HubError {
    fn from(fault: Fault<HubError>) -> Self {
        match fault {
            Fault::Refused(error) => error,
            Fault::Damaged(Damage(what)) => Self::Damaged(what),
            Fault::Database(error) => match damage(&error) {
                Some(what) => Self::Damaged(what),
                None => Self::Unavailable(error.into()),
            },
            Fault::Unopened(error) => Self::Unavailable(error.into()),
        }
    }
}

impl From<Fault<ReplicaError>> for ReplicaError {
    fn from(fault: Fault<ReplicaError>) -> Self {
        match fault {
            Fault::Refused(error) => error,
            Fault::Damaged(Damage(what)) => Self::Damaged(what),
            Fault::Database(error) => match damage(&error) {
                Some(what) => Self::Damaged(what),
                None => Self::Unavailable(error.into()),
            },
            Fault::Unopened(error) => Self::Unavailable(error.into()),
        }
    }
}

/// Whether a database's error means that the file itself is broken, and how.
fn damage(error: &sqlx::Error) -> Option<String> {
    const CORRUPT: u32 = 11;
    const NOT_A_DATABASE: u32 = 26;
    match error {
        sqlx::Error::Database(database) => {
            // The low byte is the primary code; the rest says where SQLite noticed.
            let code: u32 = database.code()?.parse().ok()?;
            matches!(code & 0xff, CORRUPT | NOT_A_DATABASE).then(|| database.message().to_owned())
        }
        sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) => Some(error.to_string()),
        _ => None,
    }
}
