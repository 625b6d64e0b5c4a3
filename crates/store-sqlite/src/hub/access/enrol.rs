//! Codes, and joining by them.

use chablon_model::{ActorName, SiteId};
use chablon_store::backend::{Verdict, fits_account, judge};
use chablon_store::{AccessRefusal, Account, Attempt, EnrolmentId, HubError, NewEnrolment};

use super::super::{Fault, audit};
use super::revoke::{note, repeated};
use super::rows::{AccountRow, EnrolmentRow};
use crate::database::Tx;
use crate::values::Place;

pub(super) async fn prepare(tx: &mut Tx, commit: &NewEnrolment) -> Result<Account, Fault> {
    if repeated(tx, &commit.request).await? {
        return account(tx, &commit.name).await?.ok_or_else(|| gone(&commit.name));
    }
    note(tx, &commit.request).await?;
    let account = match account(tx, &commit.name).await? {
        Some(found) => {
            fits_account(&found, &commit.name, commit.role, commit.site.as_ref())
                .map_err(HubError::from)?;
            found
        }
        None => insert_account(tx, commit).await?,
    };
    insert_code(tx, commit).await?;
    audit::note(tx, &commit.record()).await?;
    Ok(account)
}

/// Joins; a refusal is an answer here, since a wrong code is counted.
pub(super) async fn enrol(
    tx: &mut Tx,
    attempt: &Attempt,
) -> Result<Result<Account, HubError>, Fault> {
    let Some(row) = code(tx, &attempt.enrolment).await? else {
        return Ok(Err(AccessRefusal::CodeUnknown.into()));
    };
    let name: ActorName = Place::new("enrolment", &attempt.enrolment).id(&row.account)?;
    let account = account(tx, &name).await?.ok_or_else(|| gone(&name))?;
    let answer = match judge(&row.value()?, &account, attempt) {
        Verdict::Again => Ok(account),
        Verdict::Refused(refusal) => Err(refusal),
        Verdict::Counted(refusal) => {
            count(tx, &attempt.enrolment).await?;
            Err(refusal)
        }
        Verdict::Join => {
            join(tx, attempt, &row).await?;
            audit::note(tx, &attempt.record(&account)).await?;
            Ok(account)
        }
    };
    Ok(answer.map_err(HubError::from))
}

async fn account(tx: &mut Tx, name: &ActorName) -> Result<Option<Account>, Fault> {
    let row: Option<AccountRow> = sqlx::query_as(
        "SELECT name, role, site, created_at AS account_created_at, \
             revoked_at AS account_revoked_at \
         FROM account WHERE name = ?1",
    )
    .bind(name.as_str())
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row.map(|row| row.value()).transpose()?)
}

async fn insert_account(tx: &mut Tx, commit: &NewEnrolment) -> Result<Account, Fault> {
    sqlx::query("INSERT INTO account (name, role, site, created_at) VALUES (?1, ?2, ?3, ?4)")
        .bind(commit.name.as_str())
        .bind(commit.role.as_str())
        .bind(commit.site.as_ref().map(SiteId::as_str))
        .bind(commit.at.0)
        .execute(&mut **tx)
        .await?;
    let NewEnrolment { name, role, site, at, .. } = commit.clone();
    Ok(Account { name, role, site, created_at: at, revoked_at: None })
}

async fn insert_code(tx: &mut Tx, commit: &NewEnrolment) -> Result<(), Fault> {
    let inserted = sqlx::query(
        "INSERT INTO enrolment \
             (enrolment, account, code_digest, created_at, expires_at, token_expires_at) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT (enrolment) DO NOTHING",
    )
    .bind(commit.enrolment.as_str())
    .bind(commit.name.as_str())
    .bind(&commit.code_digest.0[..])
    .bind(commit.at.0)
    .bind(commit.expires_at.0)
    .bind(commit.token_expires_at.map(|at| at.0))
    .execute(&mut **tx)
    .await?;
    match inserted.rows_affected() {
        1 => Ok(()),
        _ => Err(HubError::from(AccessRefusal::CodeExists).into()),
    }
}

async fn code(tx: &mut Tx, id: &EnrolmentId) -> Result<Option<EnrolmentRow>, Fault> {
    let row = sqlx::query_as(
        "SELECT e.enrolment, e.account, e.code_digest, e.expires_at, e.token_expires_at, \
             e.failures, e.token, t.digest AS token_digest \
         FROM enrolment e LEFT JOIN access_token t ON t.token = e.token WHERE e.enrolment = ?1",
    )
    .bind(id.as_str())
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row)
}

async fn count(tx: &mut Tx, id: &EnrolmentId) -> Result<(), Fault> {
    sqlx::query("UPDATE enrolment SET failures = failures + 1 WHERE enrolment = ?1")
        .bind(id.as_str())
        .execute(&mut **tx)
        .await?;
    Ok(())
}

async fn join(tx: &mut Tx, attempt: &Attempt, row: &EnrolmentRow) -> Result<(), Fault> {
    let inserted = sqlx::query(
        "INSERT INTO access_token (token, account, digest, created_at, expires_at) \
         VALUES (?1, ?2, ?3, ?4, ?5) ON CONFLICT (token) DO NOTHING",
    )
    .bind(attempt.token.id.as_str())
    .bind(&row.account)
    .bind(&attempt.token.digest.0[..])
    .bind(attempt.at.0)
    .bind(row.token_expires_at)
    .execute(&mut **tx)
    .await?;
    if inserted.rows_affected() != 1 {
        return Err(HubError::from(AccessRefusal::TokenExists).into());
    }
    sqlx::query("UPDATE enrolment SET token = ?2 WHERE enrolment = ?1")
        .bind(attempt.enrolment.as_str())
        .bind(attempt.token.id.as_str())
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// An account that must be there.
fn gone(name: &ActorName) -> Fault {
    Place::new("account", name).damage("it is gone").into()
}
