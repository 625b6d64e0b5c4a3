//! Reading accounts and tokens.

use std::collections::HashMap;
use std::num::NonZeroU32;

use chablon_model::{ActorName, Moment};
use chablon_store::{AccountRecord, KeptToken, MAX_FAILURES, TokenId, TokenRecord};

use super::super::Fault;
use super::rows::{AccountRow, KeptRow, TokenRow};
use crate::database::{Database, Tx};

pub(super) async fn token(database: &Database, id: &TokenId) -> Result<Option<KeptToken>, Fault> {
    let row: Option<KeptRow> = sqlx::query_as(
        "SELECT t.token, t.account, t.digest, t.created_at, t.expires_at, t.last_used_at, \
             t.revoked_at, a.name, a.role, a.site, a.created_at AS account_created_at, \
             a.revoked_at AS account_revoked_at \
         FROM access_token t JOIN account a ON a.name = t.account WHERE t.token = ?1",
    )
    .bind(id.as_str())
    .fetch_optional(database.readers())
    .await?;
    Ok(row.map(|row| row.value()).transpose()?)
}

pub(super) async fn accounts(
    database: &Database,
    after: Option<&ActorName>,
    limit: NonZeroU32,
) -> Result<Vec<AccountRecord>, Fault> {
    let mut tx = database.read().await?;
    let accounts: Vec<AccountRow> = sqlx::query_as(
        "SELECT name, role, site, created_at AS account_created_at, \
             revoked_at AS account_revoked_at \
         FROM account WHERE ?1 IS NULL OR name > ?1 ORDER BY name LIMIT ?2",
    )
    .bind(after.map(ActorName::as_str))
    .bind(limit.get())
    .fetch_all(&mut *tx)
    .await?;
    let (Some(first), Some(last)) = (accounts.first(), accounts.last()) else {
        return Ok(Vec::new());
    };
    let mut tokens = tokens(&mut tx, &first.name, &last.name).await?;
    let open = open_until(&mut tx, &first.name, &last.name).await?;
    let record = |row: &AccountRow| {
        Ok(AccountRecord {
            account: row.value()?,
            tokens: tokens.remove(&row.name).unwrap_or_default(),
            open_until: open.get(&row.name).copied().map(Moment),
        })
    };
    accounts.iter().map(record).collect()
}

/// The tokens of the accounts between two names, by account.
async fn tokens(
    tx: &mut Tx,
    first: &str,
    last: &str,
) -> Result<HashMap<String, Vec<TokenRecord>>, Fault> {
    let rows: Vec<TokenRow> = sqlx::query_as(
        "SELECT token, account, created_at, expires_at, last_used_at, revoked_at \
         FROM access_token WHERE account BETWEEN ?1 AND ?2 ORDER BY created_at, token",
    )
    .bind(first)
    .bind(last)
    .fetch_all(&mut **tx)
    .await?;
    let mut tokens: HashMap<String, Vec<TokenRecord>> = HashMap::new();
    for row in rows {
        tokens.entry(row.account.clone()).or_default().push(row.record()?);
    }
    Ok(tokens)
}

/// Until when the codes of the accounts between two names may be used, by account.
async fn open_until(tx: &mut Tx, first: &str, last: &str) -> Result<HashMap<String, i64>, Fault> {
    let rows: Vec<(String, i64)> = sqlx::query_as(
        "SELECT account, max(expires_at) FROM enrolment \
         WHERE account BETWEEN ?1 AND ?2 AND token IS NULL AND failures < ?3 GROUP BY account",
    )
    .bind(first)
    .bind(last)
    .bind(i64::from(MAX_FAILURES))
    .fetch_all(&mut **tx)
    .await?;
    Ok(rows.into_iter().collect())
}
