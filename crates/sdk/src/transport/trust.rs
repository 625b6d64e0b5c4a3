//! Roots of trust, and signatures that come later.

use chablon_wire::pb::trust_service_client::TrustServiceClient;
use chablon_wire::{Frozen, Wire, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES, each};
use crate::Error;
use crate::hub::{EntrySignatures, Roots};

fn client(link: Link) -> TrustServiceClient<Link> {
    TrustServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn roots(hub: &Grpc, after: u32) -> Result<Roots, Error> {
    let request = hub.request(pb::ListRootsRequest { after_version: after });
    let answer = hub.attempt(|link| async move { client(link).list_roots(request).await }).await?;
    Ok(Roots { roots: each(answer.roots, Frozen::from_pb)?, more: answer.more })
}

pub(super) async fn add_root(hub: &Grpc, root: &Frozen) -> Result<u32, Error> {
    let request = hub.request(pb::AddRootRequest { root: Some(root.to_pb()) });
    let answer = hub.attempt(|link| async move { client(link).add_root(request).await }).await?;
    Ok(answer.version)
}

pub(super) async fn sign_entries(hub: &Grpc, signed: &[EntrySignatures]) -> Result<(), Error> {
    let entries = signed.iter().map(|one| pb::EntrySignatures {
        position: one.position,
        body_digest: one.body_digest.to_pb(),
        signatures: one.signatures.iter().map(Wire::to_pb).collect(),
    });
    let request = hub.request(pb::SignEntriesRequest { entries: entries.collect() });
    hub.attempt(|link| async move { client(link).sign_entries(request).await }).await?;
    Ok(())
}
