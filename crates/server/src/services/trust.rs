//! Roots of trust, and signatures that come later.

use std::sync::Arc;

use chablon_model::Digest;
use chablon_store::EntrySignatures;
use chablon_wire::pb::trust_service_server::TrustService;
use chablon_wire::{At, Violation, Wire, pb, signatures_from_pb};
use tonic::{Request, Response, Status, async_trait};

use super::to_wire;
use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::status::Refusal;

/// How many roots an answer has at most: 16 of 64 KiB make a mebibyte.
const ROOTS: usize = 16;

/// How many entries are signed at once.
const MAX_ENTRIES: usize = 1000;

/// The service over a hub.
pub(crate) struct Trust(pub(crate) Arc<Desk>);

#[async_trait]
impl TrustService for Trust {
    async fn list_roots(
        &self,
        request: Request<pb::ListRootsRequest>,
    ) -> Result<Response<pb::ListRootsResponse>, Status> {
        let call = self.0.call("ListRoots", &request, "");
        call.answer(self.roots(request.into_inner())).await
    }

    async fn add_root(
        &self,
        request: Request<pb::AddRootRequest>,
    ) -> Result<Response<pb::AddRootResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("AddRoot", &request, "");
        call.answer(self.add(caller, request.into_inner())).await
    }

    async fn sign_entries(
        &self,
        request: Request<pb::SignEntriesRequest>,
    ) -> Result<Response<pb::SignEntriesResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("SignEntries", &request, "");
        call.answer(self.sign(caller, request.into_inner())).await
    }
}

impl Trust {
    async fn roots(&self, request: pb::ListRootsRequest) -> Result<pb::ListRootsResponse, Refusal> {
        let mut roots = self.0.exchange.roots(request.after_version).await?;
        let more = roots.len() > ROOTS;
        roots.truncate(ROOTS);
        let roots = roots.into_iter().map(|root| to_wire(root).to_pb()).collect();
        Ok(pb::ListRootsResponse { roots, more })
    }

    async fn add(
        &self,
        caller: Caller,
        request: pb::AddRootRequest,
    ) -> Result<pb::AddRootResponse, Refusal> {
        caller.may(Right::SetRoot)?;
        let root = request.root.ok_or_else(|| Violation::new("is required"));
        let root = root.and_then(fields::frozen).at("root")?;
        let version = self.0.exchange.add_root(root, caller.somebody(), self.0.clock.now()).await?;
        tracing::info!(version, "root of trust added");
        Ok(pb::AddRootResponse { version })
    }

    async fn sign(
        &self,
        caller: Caller,
        request: pb::SignEntriesRequest,
    ) -> Result<pb::SignEntriesResponse, Refusal> {
        caller.may(Right::Release)?;
        let entries = fields::bounded(request.entries, MAX_ENTRIES, "entries")?;
        let each = |(index, one)| entry_signatures(one).at_index(index).at("entries");
        let signed = entries.into_iter().enumerate().map(each).collect::<Result<Vec<_>, _>>()?;
        let count = signed.len();
        let (by, now) = (caller.somebody(), self.0.clock.now());
        self.0.exchange.sign_entries(signed, by, now).await?;
        tracing::info!(count, "entries signed anew");
        Ok(pb::SignEntriesResponse {})
    }
}

fn entry_signatures(form: pb::EntrySignatures) -> Result<EntrySignatures, Violation> {
    let pb::EntrySignatures { position, body_digest, signatures } = form;
    if position == 0 {
        return Err(Violation::new("is required").at("position"));
    }
    let body_digest = Digest::from_pb(body_digest).at("body_digest")?;
    let signatures = signatures_from_pb(signatures)?;
    if signatures.is_empty() {
        return Err(Violation::new("is required").at("signatures"));
    }
    Ok(EntrySignatures { position, body_digest, signatures })
}
