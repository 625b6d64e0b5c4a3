//! The log of changes.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{Moment, Role};
use chablon_store::{Act, Actor, AuditEntry, AuditLog, AuditRecord, HubError};

use super::{Fault, SqliteHub};
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{Place, sql};

#[derive(sqlx::FromRow)]
struct AuditRow {
    number: i64,
    at: i64,
    by_name: String,
    role: Option<String>,
    act: String,
    subject: String,
    detail: String,
}

impl AuditRow {
    fn value(self) -> Result<AuditEntry, Damage> {
        let place = Place::new("audit", &self.number);
        let unknown = || place.damage("the role or the act is unknown");
        let role = self.role.as_deref().map(|role| Role::parse(role).ok_or_else(unknown));
        let record = AuditRecord {
            at: Moment(self.at),
            by: Actor { name: self.by_name, role: role.transpose()? },
            act: Act::parse(&self.act).ok_or_else(unknown)?,
            subject: self.subject,
            detail: self.detail,
        };
        Ok(AuditEntry { number: place.position(self.number)?, record })
    }
}

#[async_trait]
impl AuditLog for SqliteHub {
    async fn audit(
        &self,
        before: Option<u64>,
        limit: NonZeroU32,
    ) -> Result<Vec<AuditEntry>, HubError> {
        Ok(list(&self.database, before, limit).await?)
    }
}

async fn list(
    database: &Database,
    before: Option<u64>,
    limit: NonZeroU32,
) -> Result<Vec<AuditEntry>, Fault> {
    let rows: Vec<AuditRow> = sqlx::query_as(
        "SELECT number, at, by_name, role, act, subject, detail FROM audit \
         WHERE number < ?1 ORDER BY number DESC LIMIT ?2",
    )
    .bind(sql(before.unwrap_or(u64::MAX)))
    .bind(limit.get())
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(AuditRow::value).collect::<Result<_, _>>()?)
}

const RECORDS: Insert = Insert {
    into: "INSERT INTO audit (number, at, by_name, role, act, subject, detail) ",
    columns: 7,
    rest: "",
};

/// Notes a change among its statements. There is one writer, so the numbers have no gaps.
pub(super) fn noted(change: &mut Batch, record: &AuditRecord) {
    change.insert(RECORDS, [record], |row, record| {
        row.push("(SELECT coalesce(max(number), 0) + 1 FROM audit)");
        row.push_bind(record.at.0);
        row.push_bind(&record.by.name);
        row.push_bind(record.by.role.map(Role::as_str));
        row.push_bind(record.act.as_str());
        row.push_bind(&record.subject);
        row.push_bind(&record.detail);
    });
}

/// Notes a change in its own transaction.
pub(super) async fn note(tx: &mut Tx, record: &AuditRecord) -> Result<(), Fault> {
    let mut change = Batch::default();
    noted(&mut change, record);
    Ok(change.execute(tx).await?)
}
