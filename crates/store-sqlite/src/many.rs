//! Many rows in one statement. Each statement costs two turns between threads, which take longer than
//! a row does.

use sqlx::query_builder::Separated;
use sqlx::{QueryBuilder, Sqlite};

use crate::database::Tx;

/// How many values a statement has at most. SQLite takes 32,766.
const MOST_VALUES: usize = 8_000;

/// The values of a row as they are pushed.
pub(crate) type Row<'q> = Separated<'q, Sqlite, &'static str>;

/// Statements that insert rows, as few as there can be.
pub(crate) fn rows<R>(
    insert: Insert,
    rows: impl IntoIterator<Item = R>,
    mut push: impl FnMut(&mut Row<'_>, R),
) -> Vec<QueryBuilder<Sqlite>> {
    let mut rows = rows.into_iter().peekable();
    let mut statements = Vec::new();
    while rows.peek().is_some() {
        let mut statement = QueryBuilder::new(insert.into);
        let some = rows.by_ref().take(MOST_VALUES / insert.columns);
        statement.push_values(some, |mut row, values| push(&mut row, values));
        statement.push(insert.rest);
        statements.push(statement);
    }
    statements
}

/// Carries statements out, one after the other.
pub(crate) async fn insert(
    tx: &mut Tx,
    statements: Vec<QueryBuilder<Sqlite>>,
) -> Result<(), sqlx::Error> {
    for mut statement in statements {
        // It is as long as there were rows, so it is hardly ever needed again.
        statement.build().persistent(false).execute(&mut **tx).await?;
    }
    Ok(())
}

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
