//! Taking entries out of sites' views.

use chablon_store::backend::check_compaction;
use chablon_store::{Compaction, FeedState};

use super::{Fault, audit, state};
use crate::database::Database;
use crate::values::sql;

pub(super) async fn compact(
    database: &Database,
    compaction: &Compaction,
) -> Result<FeedState, Fault> {
    let mut tx = database.write().await?;
    let before = state::read(&mut *tx).await?;
    check_compaction(compaction, &before)?;
    // All at once: no index leads from positions to these rows.
    let taken_out = sqlx::query(
        "DELETE FROM addressee WHERE position IN (SELECT CAST(value AS INTEGER) FROM json_each(?1))",
    )
    .bind(format!("{:?}", Vec::from_iter(&compaction.passed_over)))
    .execute(&mut *tx)
    .await?;
    sqlx::query("UPDATE feed SET oldest = ?1 WHERE only_row = 1")
        .bind(sql(compaction.up_to))
        .execute(&mut *tx)
        .await?;
    if taken_out.rows_affected() > 0 || compaction.up_to > before.oldest {
        audit::note(&mut tx, &compaction.record()).await?;
    }
    tx.commit().await?;
    Ok(FeedState { oldest: compaction.up_to, ..before })
}
