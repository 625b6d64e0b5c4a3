//! Lots.

use chablon_model::{LotNote, Moment};
use chablon_wire::pb::lot_service_client::LotServiceClient;
use chablon_wire::{At, Violation, Wire, moment, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES, each};
use crate::Error;
use crate::hub::Page;
use crate::lots::{LotDraft, LotFilter, StoredLotNote};

fn client(link: Link) -> LotServiceClient<Link> {
    LotServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn note(hub: &Grpc, draft: &LotDraft) -> Result<u64, Error> {
    let (request_id, note) = (draft.request.to_string(), Some(draft.note.to_pb()));
    let request = hub.request(pb::NoteLotRequest { request_id, note });
    let answer = hub.attempt(|link| async move { client(link).note_lot(request).await }).await?;
    Ok(answer.number)
}

pub(super) async fn list(
    hub: &Grpc,
    filter: &LotFilter,
    page: &str,
) -> Result<Page<StoredLotNote>, Error> {
    let request = hub.request(pb::ListLotNotesRequest {
        site: filter.site.as_ref().map(ToString::to_string).unwrap_or_default(),
        ingredient: filter.ingredient.as_ref().map(ToString::to_string).unwrap_or_default(),
        lot: filter.lot.clone().unwrap_or_default(),
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_lot_notes(request).await }).await?;
    Ok(Page { items: each(answer.notes, stored)?, next: answer.next_page_token })
}

fn stored(kept: pb::StoredLotNote) -> Result<StoredLotNote, Violation> {
    let recorded_at: Moment = moment(kept.recorded_at_ms).at("recorded_at_ms")?;
    let note = kept.note.ok_or_else(|| Violation::new("is required"));
    let note = note.and_then(LotNote::from_pb).at("note")?;
    Ok(StoredLotNote { number: kept.number, recorded_at, note })
}
