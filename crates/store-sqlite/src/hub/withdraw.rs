//! Withdrawals.

use chablon_model::{DocumentKey, NextStep, RevisionRef, Withdrawal};
use chablon_store::backend::{KnownToWithdraw, fits_withdrawal};
use chablon_store::{Committed, EntryKind, Frozen, WithdrawalCommit};

use super::append::{NewEntry, Turn, entries, finish, turn};
use super::{Fault, audit, release, sites};
use crate::database::Tx;
use crate::many::Batch;

pub(super) async fn withdraw(tx: &mut Tx, commit: &WithdrawalCommit) -> Result<Committed, Fault> {
    let before = match turn(tx, &commit.request).await? {
        Turn::Answered(answer) => return Ok(answer),
        Turn::After(standing) => standing,
    };
    let Withdrawal { revision, next, audience, .. } = &commit.withdrawal;
    fits_withdrawal(&commit.withdrawal, known(tx, commit).await?)?;
    if let NextStep::GoBackTo(target) = next {
        sites::follow_withdrawal(tx, revision, target).await?;
    }
    let committed = before.span(1);
    let new = NewEntry {
        position: committed.first_position,
        recorded_at: commit.at,
        kind: EntryKind::Withdrawal,
        part: None,
        audience,
        documents: vec![&revision.key],
        body: &commit.body,
    };
    let mut change = Batch::default();
    entries(&mut change, &[new], committed.last_position);
    audit::noted(&mut change, &commit.record());
    finish(tx, change, &commit.request, committed).await
}

async fn known(tx: &mut Tx, commit: &WithdrawalCommit) -> Result<KnownToWithdraw, Fault> {
    let Withdrawal { revision, next, .. } = &commit.withdrawal;
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
        recorded: was_recorded(tx, &revision.key, &commit.body).await?,
    })
}

/// Whether an entry about a document has these very bytes, where there is a root of trust.
pub(super) async fn was_recorded(
    tx: &mut Tx,
    key: &DocumentKey,
    body: &Frozen,
) -> Result<bool, Fault> {
    let found = sqlx::query_scalar(
        "SELECT EXISTS (SELECT 1 FROM entry_document d JOIN entry e USING (position) \
         WHERE d.kind = ?1 AND d.id = ?2 AND e.body_digest = ?3) \
         AND EXISTS (SELECT 1 FROM trust_root)",
    )
    .bind(key.kind.as_str())
    .bind(key.id.as_str())
    .bind(&body.digest.0[..])
    .fetch_one(&mut **tx)
    .await?;
    Ok(found)
}

async fn was_released(tx: &mut Tx, revision: &RevisionRef) -> Result<bool, Fault> {
    let found = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM entry_item WHERE revision = ?1)")
        .bind(&revision.digest.0[..])
        .fetch_one(&mut **tx)
        .await?;
    Ok(found)
}
