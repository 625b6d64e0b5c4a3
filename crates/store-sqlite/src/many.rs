//! Many rows in one statement. Each statement costs two turns between threads, which take longer than
//! a row does.

use sqlx::query_builder::Separated;
use sqlx::sqlite::SqliteRow;
use sqlx::{QueryBuilder, Sqlite};

use crate::database::Tx;

/// How many values a statement has at most. SQLite takes 32,766.
const MOST_VALUES: usize = 8_000;

/// The values of a row as they are pushed.
pub(crate) type Row<'q> = Separated<'q, Sqlite, &'static str>;

/// What inserts rows.
#[derive(Clone, Copy)]
pub(crate) struct Insert {
    /// The statement up to the rows.
    pub(crate) into: &'static str,
    /// How many columns it names.
    pub(crate) columns: usize,
    /// What follows the rows.
    pub(crate) rest: &'static str,
}

/// How many values the statements of a batch have at most that is likely to be needed again.
const FEW_VALUES: usize = 200;

/// Statements that are carried out in one turn, one after the other.
#[derive(Default)]
pub(crate) struct Batch {
    statements: QueryBuilder<Sqlite>,
    values: usize,
}

impl Batch {
    /// Inserts rows. Where there are none it does nothing.
    pub(crate) fn insert<R>(
        &mut self,
        insert: Insert,
        rows: impl IntoIterator<Item = R>,
        mut push: impl FnMut(&mut Row<'_>, R),
    ) {
        let mut rows = rows.into_iter().peekable();
        while rows.peek().is_some() {
            let values = &mut self.values;
            let some = rows.by_ref().take(MOST_VALUES / insert.columns);
            self.statements.push(insert.into);
            self.statements.push_values(some, |mut row, one| {
                *values += insert.columns;
                push(&mut row, one);
            });
            self.statements.push(insert.rest).push("; ");
        }
    }

    /// Any other statement, of few values.
    pub(crate) fn then(&mut self, write: impl FnOnce(&mut QueryBuilder<Sqlite>)) {
        write(&mut self.statements);
        self.statements.push("; ");
    }

    /// Carries all of it out.
    pub(crate) async fn execute(mut self, tx: &mut Tx) -> Result<(), sqlx::Error> {
        if self.statements.sql().as_str().is_empty() {
            return Ok(());
        }
        let persistent = self.is_persistent();
        self.statements.build().persistent(persistent).execute(&mut **tx).await?;
        Ok(())
    }

    /// The same where the last statement gives one row, and no other gives any.
    pub(crate) async fn fetch(mut self, tx: &mut Tx) -> Result<Option<SqliteRow>, sqlx::Error> {
        let persistent = self.is_persistent();
        self.statements.build().persistent(persistent).fetch_optional(&mut **tx).await
    }

    /// Whether the statements are kept for the next time. Long ones hardly ever come again.
    fn is_persistent(&self) -> bool {
        self.values <= FEW_VALUES
    }
}

#[cfg(test)]
mod tests {
    use sqlx::sqlite::{SqlitePool, SqlitePoolOptions};
    use sqlx::{Row as _, query_scalar};

    use super::*;

    const NUMBERS: Insert =
        Insert { into: "INSERT INTO number (value, name) ", columns: 2, rest: "" };

    async fn table() -> SqlitePool {
        let pool = SqlitePoolOptions::new().max_connections(1);
        let file = pool.connect("sqlite::memory:").await.unwrap();
        let table =
            "CREATE TABLE number (value INTEGER NOT NULL UNIQUE, name TEXT NOT NULL) STRICT";
        sqlx::query(table).execute(&file).await.unwrap();
        file
    }

    fn numbers(batch: &mut Batch, numbers: impl IntoIterator<Item = i64>) {
        batch.insert(NUMBERS, numbers, |row, value| {
            row.push_bind(value);
            row.push_bind(format!("number {value}"));
        });
    }

    async fn last_of(file: &SqlitePool, until: i64) -> i64 {
        let mut batch = Batch::default();
        numbers(&mut batch, []);
        numbers(&mut batch, 1..=until);
        batch.then(|statement| {
            statement.push("UPDATE number SET name = ").push_bind("the last");
            statement.push(" WHERE value = ").push_bind(until).push(" RETURNING value");
        });
        let mut tx = file.begin().await.unwrap();
        let row = batch.fetch(&mut tx).await.unwrap().unwrap();
        tx.rollback().await.unwrap();
        row.get(0)
    }

    #[tokio::test]
    async fn values_reach_their_statements_however_many_there_are() {
        let file = table().await;
        for until in [1, 5, 5, 4_000, 4_001, 20_000] {
            assert_eq!(last_of(&file, until).await, until);
        }
        let mut batch = Batch::default();
        numbers(&mut batch, 1..=9_000);
        let mut tx = file.begin().await.unwrap();
        batch.execute(&mut tx).await.unwrap();
        let named = "SELECT count(*) FROM number WHERE name = 'number ' || value";
        let named: i64 = query_scalar(named).fetch_one(&mut *tx).await.unwrap();
        assert_eq!(named, 9_000);
    }

    #[tokio::test]
    async fn a_statement_that_fails_is_told() {
        let file = table().await;
        let mut batch = Batch::default();
        numbers(&mut batch, [1]);
        numbers(&mut batch, [1]);
        numbers(&mut batch, [2]);
        let mut tx = file.begin().await.unwrap();
        assert!(batch.execute(&mut tx).await.is_err());
    }
}
