//! Documents, revisions and standards.

use chablon_model::{Digest, DocumentKey, DocumentKind, Moment, RevisionRef, SiteId, View};
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::{Frozen, Standard, Wire, decode_pack, document_kind_code, pb};
use futures::{FutureExt as _, StreamExt as _, TryStreamExt as _, stream};
use tokio::task::spawn_blocking;

use super::{Grpc, Link, MAX_ANSWER_BYTES, Turn, each, given, reader};
use crate::error::Kind;
use crate::hub::{Answers, Page, StandardsOf};
use crate::task::joined;
use crate::{Error, FrozenRevision};

fn client(link: Link) -> DocumentServiceClient<Link> {
    DocumentServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn list(
    hub: &Grpc,
    view: &View,
    kind: Option<DocumentKind>,
    page: &str,
) -> Result<Page<RevisionRef>, Error> {
    let request = hub.request(pb::ListDocumentsRequest {
        site: reader(view),
        kind: kind.map_or(0, document_kind_code),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_documents(request).await }).await?;
    Ok(Page { items: each(answer.documents, RevisionRef::from_pb)?, next: answer.next_page_token })
}

pub(super) async fn revision(
    hub: &Grpc,
    view: &View,
    digest: Digest,
) -> Result<FrozenRevision, Error> {
    let request = pb::GetRevisionRequest { site: reader(view), digest: digest.to_pb() };
    let request = hub.request(request);
    let answer =
        hub.attempt(|link| async move { client(link).get_revision(request).await }).await?;
    stored(answer.revision, Some(digest))
}

pub(super) async fn revisions(
    hub: &Grpc,
    view: &View,
    digests: &[Digest],
) -> Result<Answers<FrozenRevision>, Error> {
    let request = pb::BatchGetRevisionsRequest {
        site: reader(view),
        digests: digests.iter().map(Wire::to_pb).collect(),
        packed: true,
        compressed: true,
    };
    let turn = Turn::of(&hub.addresses);
    let deadline = hub.options.deadline;
    let mut client = client(turn.channel());
    let messages = turn.within(deadline, client.batch_get_revisions(request)).await?;
    let packs =
        turn.answers(messages, deadline, |answer| Ok(spawn_blocking(move || unpacked(answer))));
    let revisions = packs.map_ok(|unpacking| joined(unpacking).map(Ok));
    Ok(revisions.try_buffered(UNPACKED_AT_ONCE).map_ok(stream::iter).try_flatten().boxed())
}

/// How many answers are unpacked while the next are on the way.
const UNPACKED_AT_ONCE: usize = 2;

/// What came in one answer. A hub that packs nothing sends one at a time.
fn unpacked(answer: pb::BatchGetRevisionsResponse) -> Vec<Result<FrozenRevision, Error>> {
    let pb::BatchGetRevisionsResponse { revision, mut packed, zstd } = answer;
    if !zstd.is_empty() {
        match decode_pack(&zstd) {
            Ok(some) => packed.extend(some),
            Err(error) => return vec![Err(Error::of_wire(&error))],
        }
    }
    let all = revision.into_iter().chain(packed);
    all.map(|revision| stored(Some(revision), None)).collect()
}

pub(super) async fn standard(
    hub: &Grpc,
    site: &SiteId,
    key: &DocumentKey,
    at: Option<Moment>,
) -> Result<Standard, Error> {
    let request = hub.request(pb::GetStandardRequest {
        site: site.to_string(),
        document: Some(key.to_pb()),
        at_ms: at.map(|at| at.0),
    });
    let answer =
        hub.attempt(|link| async move { client(link).get_standard(request).await }).await?;
    let standard = Standard::from_pb(given(answer.standard, "standard")?);
    standard.map_err(|violation| Error::of_answer(&violation))
}

pub(super) async fn standards(
    hub: &Grpc,
    of: &StandardsOf,
    page: &str,
) -> Result<Page<Standard>, Error> {
    let request = hub.request(pb::ListStandardsRequest {
        site: of.site.to_string(),
        kind: of.kind.map_or(0, document_kind_code),
        at_ms: of.at.map(|at| at.0),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_standards(request).await }).await?;
    Ok(Page { items: each(answer.standards, Standard::from_pb)?, next: answer.next_page_token })
}

/// A revision as it came: hashed, and the one that was asked for.
fn stored(
    stored: Option<pb::StoredRevision>,
    asked: Option<Digest>,
) -> Result<FrozenRevision, Error> {
    let broken = |violation| Error::of_answer(&violation);
    let stored = given(stored, "revision")?;
    let reference = RevisionRef::from_pb(given(stored.revision, "revision.revision")?);
    let reference = reference.map_err(broken)?;
    let frozen = Frozen::from_pb(given(stored.frozen, "revision.frozen")?).map_err(broken)?;
    if asked.is_some_and(|asked| asked != reference.digest) {
        let message =
            format!("the hub answered with `{}`, which wasn't asked for", reference.digest);
        return Err(Error::new(Kind::Unexpected, message));
    }
    FrozenRevision::checked(reference, frozen.bytes)
}
