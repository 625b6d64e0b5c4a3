//! Shutting out, and what all changes of access have in common.

use chablon_model::Moment;
use chablon_store::backend::same_request;
use chablon_store::{AccessRefusal, HubError, Request, Revocation, Revoked, TokenId};

use super::super::{Fault, audit};
use crate::database::Tx;
use crate::values::Place;

/// Whether a request was carried out before.
pub(super) async fn repeated(tx: &mut Tx, request: &Request) -> Result<bool, Fault> {
    let stored: Option<Vec<u8>> =
        sqlx::query_scalar("SELECT digest FROM access_request WHERE request_id = ?1")
            .bind(request.id.as_str())
            .fetch_optional(&mut **tx)
            .await?;
    let Some(stored) = stored else { return Ok(false) };
    let stored = Place::new("access_request", &request.id).digest(&stored)?;
    same_request(&request.id, request.digest, stored)?;
    Ok(true)
}

/// Notes that a request was carried out.
pub(super) async fn note(tx: &mut Tx, request: &Request) -> Result<(), Fault> {
    sqlx::query("INSERT INTO access_request (request_id, digest) VALUES (?1, ?2)")
        .bind(request.id.as_str())
        .bind(&request.digest.0[..])
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub(super) async fn revoke(tx: &mut Tx, commit: &Revocation) -> Result<(), Fault> {
    if repeated(tx, &commit.request).await? {
        return Ok(());
    }
    note(tx, &commit.request).await?;
    let (statement, name, refusal) = match &commit.what {
        Revoked::Token(id) => (
            "UPDATE access_token SET revoked_at = coalesce(revoked_at, ?2) WHERE token = ?1",
            id.as_str(),
            AccessRefusal::UnknownToken(id.clone()),
        ),
        Revoked::Account(name) => (
            "UPDATE account SET revoked_at = coalesce(revoked_at, ?2) WHERE name = ?1",
            name.as_str(),
            AccessRefusal::UnknownAccount(name.clone()),
        ),
    };
    let done = sqlx::query(statement).bind(name).bind(commit.at.0).execute(&mut **tx).await?;
    if done.rows_affected() != 1 {
        return Err(HubError::from(refusal).into());
    }
    audit::note(tx, &commit.record()).await
}

pub(super) async fn used(tx: &mut Tx, id: &TokenId, at: Moment) -> Result<(), Fault> {
    sqlx::query(
        "UPDATE access_token SET last_used_at = max(coalesce(last_used_at, ?2), ?2) \
         WHERE token = ?1",
    )
    .bind(id.as_str())
    .bind(at.0)
    .execute(&mut **tx)
    .await?;
    Ok(())
}
