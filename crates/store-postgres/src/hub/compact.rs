//! Taking entries out of sites' views.

use std::sync::Arc;

use chablon_store::backend::check_compaction;
use chablon_store::{Compaction, FeedState};

use super::{audit, state};
use crate::database::Database;
use crate::fault::Fault;
use crate::values::sql;

/// The counter's row comes last here too, so that nobody who writes waits for long.
pub(super) async fn compact(
    database: Database,
    compaction: Arc<Compaction>,
) -> Result<FeedState, Fault> {
    let mut tx = database.write().await?;
    let before = state::read(&mut *tx).await?;
    check_compaction(&compaction, &before)?;
    let passed_over: Vec<i64> = compaction.passed_over.iter().copied().map(sql).collect();
    let taken_out = sqlx::query("DELETE FROM addressee WHERE position = ANY ($1)")
        .bind(passed_over)
        .execute(&mut *tx)
        .await?;
    // Of two at once the one that goes further counts, whichever comes first.
    sqlx::query("UPDATE feed SET oldest = greatest(oldest, $1)")
        .bind(sql(compaction.up_to))
        .execute(&mut *tx)
        .await?;
    let after = state::read(&mut *tx).await?;
    if taken_out.rows_affected() > 0 || after.oldest > before.oldest {
        audit::finish(tx, &compaction.record()).await?;
    } else {
        tx.commit().await?;
    }
    Ok(after)
}
