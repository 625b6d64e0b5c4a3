//! Withdrawals.

use std::sync::Arc;

use chablon_model::{NextStep, RevisionRef, Withdrawal};
use chablon_store::backend::{KnownToWithdraw, fits_withdrawal};
use chablon_store::{Committed, EntryKind, WithdrawalCommit};

use super::append::{NewEntry, Unplaced, answered, entry, finish};
use super::{release, sites};
use crate::database::{Database, Tx};
use crate::fault::Fault;

pub(super) async fn withdraw(
    database: Database,
    commit: Arc<WithdrawalCommit>,
) -> Result<Committed, Fault> {
    let mut tx = database.write().await?;
    if let Some(before) = answered(&mut tx, &commit.request).await? {
        return Ok(before);
    }
    let Withdrawal { revision, next, audience, .. } = &commit.withdrawal;
    fits_withdrawal(&commit.withdrawal, known(&mut tx, revision, next).await?)?;
    let new = NewEntry {
        recorded_at: commit.at,
        kind: EntryKind::Withdrawal,
        part: None,
        documents: vec![&revision.key],
        items: Vec::new(),
        body: &commit.body,
    };
    let mut entries = Unplaced::default();
    entries.push(entry(&mut tx, &commit.request, &new).await?, audience);
    if let NextStep::GoBackTo(target) = next {
        sites::follow_withdrawal(&mut tx, revision, target).await?;
    }
    finish(tx, &entries, &commit.record()).await
}

async fn known(
    tx: &mut Tx,
    revision: &RevisionRef,
    next: &NextStep,
) -> Result<KnownToWithdraw, Fault> {
    let target = match next {
        NextStep::GoBackTo(target) => Some(target),
        NextStep::MakeNone => None,
    };
    let named = [Some(revision), target].into_iter().flatten();
    let held = release::held(tx, named.map(|reference| reference.digest)).await?;
    let is_held = |reference: &RevisionRef| held.get(&reference.digest) == Some(reference);
    Ok(KnownToWithdraw {
        released: is_held(revision) && was_released(tx, revision).await?,
        target_held: target.is_none_or(is_held),
    })
}

async fn was_released(tx: &mut Tx, revision: &RevisionRef) -> Result<bool, Fault> {
    let found = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM entry_item WHERE revision = $1)")
        .bind(&revision.digest.0[..])
        .fetch_one(&mut **tx)
        .await?;
    Ok(found)
}
