//! Who did what when.

use std::sync::Arc;

use chablon_store::AuditEntry;
use chablon_wire::pb::audit_service_server::AuditService;
use chablon_wire::{AuditRecord, Wire, pb};
use tonic::{Request, Response, Status, async_trait};

use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many records a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 500);

/// The service over a hub.
pub(crate) struct Audit(pub(crate) Arc<Desk>);

#[async_trait]
impl AuditService for Audit {
    async fn list_audit_records(
        &self,
        request: Request<pb::ListAuditRecordsRequest>,
    ) -> Result<Response<pb::ListAuditRecordsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListAuditRecords", &request, "");
        call.answer(self.list(caller, request.into_inner())).await
    }
}

impl Audit {
    async fn list(
        &self,
        caller: Caller,
        request: pb::ListAuditRecordsRequest,
    ) -> Result<pb::ListAuditRecordsResponse, Refusal> {
        caller.may(Right::ReadAudit)?;
        let pb::ListAuditRecordsRequest { page_size, page_token } = request;
        let paged = Paged::new("ListAuditRecords", &[]);
        let place = paged.place::<1>(&page_token)?;
        let before = place.map(|[number]| part::<u64>(&number)).transpose()?;
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let entries = self.0.exchange.audit(before, limit).await?;
        let oldest = entries.last().map(|entry| entry.number).filter(|number| *number > 1);
        let next = oldest.map(|number| paged.token(&[&number.to_string()]));
        Ok(pb::ListAuditRecordsResponse {
            records: entries.into_iter().map(|entry| record(entry).to_pb()).collect(),
            next_page_token: next.unwrap_or_default(),
        })
    }
}

fn record(AuditEntry { number, record }: AuditEntry) -> AuditRecord {
    AuditRecord {
        number,
        at: record.at,
        by: record.by.name,
        role: record.by.role,
        act: record.act.as_str().to_owned(),
        subject: record.subject,
        detail: record.detail,
    }
}
