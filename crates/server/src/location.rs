//! Where a hub keeps everything.

use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::Arc;

use chablon_store::{Epoch, HubError, HubStore};
use chablon_store_postgres::{PostgresConfig, PostgresHub, migrate};
use chablon_store_sqlite::SqliteHub;

use crate::{new_epoch, open_store};

/// How the URL of a database begins.
const DATABASE: [&str; 2] = ["postgres://", "postgresql://"];

/// Where a hub keeps everything.
///
/// As text a file is its path, or `sqlite:` and its path; a database is its URL. What is shown of a
/// URL has neither password nor parameters.
#[derive(Clone, PartialEq, Eq)]
pub enum Location {
    /// An SQLite file, of one hub.
    File(PathBuf),
    /// A PostgreSQL database, of one hub or several, by a URL such as
    /// `postgres://hub@db.example/chablon`.
    Database(String),
}

/// Why a text is no [`Location`].
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` names no store; give a file such as `hub.db`, or a database such as \
     `postgres://hub@db.example/chablon`"
)]
pub struct LocationError(String);

impl FromStr for Location {
    type Err = LocationError;

    fn from_str(text: &str) -> Result<Self, LocationError> {
        if DATABASE.iter().any(|scheme| text.starts_with(scheme)) {
            return Ok(Self::Database(text.to_owned()));
        }
        let file = text.strip_prefix("sqlite://").or_else(|| text.strip_prefix("sqlite:"));
        match file.unwrap_or(text) {
            path if path.is_empty() || path.contains("://") => Err(LocationError(text.to_owned())),
            path => Ok(Self::File(path.into())),
        }
    }
}

impl fmt::Display for Location {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(path) => path.display().fmt(f),
            Self::Database(url) => f.pad(&without_secrets(url)),
        }
    }
}

impl fmt::Debug for Location {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A database's URL without what follows the user's name and without parameters, either of which
/// may hold a password.
fn without_secrets(url: &str) -> String {
    let url = url.split(['?', '#']).next().unwrap_or_default();
    let Some((scheme, rest)) = url.split_once("://") else { return String::new() };
    match rest.rsplit_once('@') {
        None => format!("{scheme}://{rest}"),
        Some((who, place)) => {
            let user = who.split(':').next().unwrap_or_default();
            format!("{scheme}://{user}@{place}")
        }
    }
}

/// A hub's store that is open.
#[derive(Clone, Debug)]
pub enum OpenStore {
    /// In a file.
    File(Arc<SqliteHub>),
    /// In a database.
    Database(Arc<PostgresHub>),
}

impl OpenStore {
    /// Opens a store.
    ///
    /// A file is made where there is none, and its tables are brought up to date. A database must
    /// have been [prepared](Self::prepare): several hubs may have it open.
    ///
    /// # Errors
    /// [`HubError::Unavailable`] with the reason, [`HubError::Damaged`].
    pub async fn open(location: &Location) -> Result<Self, HubError> {
        Ok(match location {
            Location::File(path) => Self::File(open_store(path).await?),
            Location::Database(url) => {
                let hub = PostgresHub::open(url, &PostgresConfig::default(), new_epoch).await?;
                Self::Database(Arc::new(hub))
            }
        })
    }

    /// Makes the tables of a store, or brings them up to date. Hubs that have it open go on.
    ///
    /// # Errors
    /// [`HubError::Unavailable`] with the reason; each step is made wholly or not at all.
    pub async fn prepare(location: &Location) -> Result<(), HubError> {
        match location {
            Location::File(path) => {
                open_store(path).await?.close().await;
                Ok(())
            }
            Location::Database(url) => migrate(url).await,
        }
    }

    /// Opens a store that was restored from a backup, under a new epoch. Do so once, before any hub
    /// opens it.
    ///
    /// # Errors
    /// As [`OpenStore::open`].
    pub async fn open_restored(location: &Location) -> Result<Self, HubError> {
        let epoch: Epoch = new_epoch();
        Ok(match location {
            Location::File(path) => {
                Self::File(Arc::new(SqliteHub::open_restored(path, epoch).await?))
            }
            Location::Database(url) => {
                let hub =
                    PostgresHub::open_restored(url, &PostgresConfig::default(), epoch).await?;
                Self::Database(Arc::new(hub))
            }
        })
    }

    /// The store, for a [`Hub`](crate::Hub).
    pub fn store(&self) -> Arc<dyn HubStore> {
        match self {
            Self::File(hub) => hub.clone(),
            Self::Database(hub) => hub.clone(),
        }
    }

    /// Ends all work and closes it.
    pub async fn close(&self) {
        match self {
            Self::File(hub) => hub.close().await,
            Self::Database(hub) => hub.close().await,
        }
    }
}

#[cfg(test)]
mod tests {
    use test_case::test_case;

    use super::Location;

    #[test_case("hub.db", "hub.db"; "a path")]
    #[test_case("sqlite:hub.db", "hub.db"; "a path with its kind")]
    #[test_case("sqlite:///srv/hub.db", "/srv/hub.db"; "a URL of a file")]
    #[test_case("postgres://hub:s3cret@db/chablon?password=x", "postgres://hub@db/chablon"; "a database")]
    #[test_case("postgresql://db/chablon", "postgresql://db/chablon"; "a database without a user")]
    fn a_location_is_shown_without_secrets(text: &str, shown: &str) {
        let location: Location = text.parse().unwrap();
        assert_eq!(location.to_string(), shown);
        assert_eq!(format!("{location:?}"), shown);
    }

    #[test_case(""; "nothing")]
    #[test_case("sqlite:"; "a file without a path")]
    #[test_case("ftp://db/chablon"; "another kind of place")]
    fn what_names_no_store_is_refused(text: &str) {
        let refused = text.parse::<Location>().unwrap_err();
        assert!(refused.to_string().contains("postgres://"), "{refused}");
    }
}
