//! Taking entries out of sites' views.

use chablon_store::backend::check_compaction;
use chablon_store::{Compaction, FeedState};

use super::{Fault, audit, state};
use crate::database::Tx;
use crate::values::sql;

pub(super) async fn compact(tx: &mut Tx, compaction: &Compaction) -> Result<FeedState, Fault> {
    let before = state::read(&mut **tx).await?;
    check_compaction(compaction, &before)?;
    // All at once: no index leads from positions to these rows.
    let taken_out = sqlx::query(
        "DELETE FROM addressee WHERE position IN (SELECT CAST(value AS INTEGER) FROM json_each(?1))",
    )
    .bind(format!("{:?}", Vec::from_iter(&compaction.passed_over)))
    .execute(&mut **tx)
    .await?;
    sqlx::query("UPDATE feed SET oldest = ?1 WHERE only_row = 1")
        .bind(sql(compaction.up_to))
        .execute(&mut **tx)
        .await?;
    if taken_out.rows_affected() > 0 || compaction.up_to > before.oldest {
        audit::note(tx, &compaction.record()).await?;
    }
    Ok(FeedState { oldest: compaction.up_to, ..before })
}
