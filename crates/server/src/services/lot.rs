//! Noting lots, and asking what was noted.

use std::sync::Arc;

use chablon_model::{LotNote, View};
use chablon_store::{LotFilter, StoredLotNote};
use chablon_wire::pb::lot_service_server::LotService;
use chablon_wire::{At, Violation, Wire, pb};
use tonic::{Request, Response, Status, async_trait};

use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many notes a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 1000);

/// The service over a hub.
pub(crate) struct Lots(pub(crate) Arc<Desk>);

#[async_trait]
impl LotService for Lots {
    async fn note_lot(
        &self,
        request: Request<pb::NoteLotRequest>,
    ) -> Result<Response<pb::NoteLotResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("NoteLot", &request, &request.get_ref().request_id);
        call.answer(self.note(caller, request.into_inner())).await
    }

    async fn list_lot_notes(
        &self,
        request: Request<pb::ListLotNotesRequest>,
    ) -> Result<Response<pb::ListLotNotesResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListLotNotes", &request, &request.get_ref().site);
        call.answer(self.list(caller, request.into_inner())).await
    }
}

impl Lots {
    async fn note(
        &self,
        caller: Caller,
        request: pb::NoteLotRequest,
    ) -> Result<pb::NoteLotResponse, Refusal> {
        let note = request.note.ok_or_else(|| Violation::new("is required"));
        let note = note.and_then(LotNote::from_pb).at("note")?;
        caller.may_at(Right::NoteLot, &note.site)?;
        let request_id = fields::request_id(&request.request_id)?;
        let (by, now) = (caller.named(), self.0.clock.now());
        let number = self.0.exchange.note_lot(request_id, note, by, now).await?;
        Ok(pb::NoteLotResponse { number })
    }

    async fn list(
        &self,
        caller: Caller,
        request: pb::ListLotNotesRequest,
    ) -> Result<pb::ListLotNotesResponse, Refusal> {
        let pb::ListLotNotesRequest { site, ingredient, lot, page_size, page_token } = request;
        let paged = Paged::new("ListLotNotes", &[&site, &ingredient, &lot]);
        let after = paged.place::<1>(&page_token)?;
        let after = after.map_or(Ok(0), |[number]| part(&number))?;
        let filter = LotFilter {
            site: match caller.view(&site)? {
                View::Whole => None,
                View::Site(site) => Some(site),
            },
            ingredient: match ingredient.as_str() {
                "" => None,
                id => Some(fields::parsed(id, "ingredient")?),
            },
            lot: (!lot.is_empty()).then_some(lot),
        };
        let limit = fields::page_size(page_size, PAGE.0, PAGE.1);
        let found = self.0.exchange.lot_notes(&filter, after, limit).await?;
        let last = found.notes.last().filter(|_| found.more);
        let token = last.map(|last| paged.token(&[&last.number.to_string()]));
        Ok(pb::ListLotNotesResponse {
            notes: found.notes.iter().map(stored).collect(),
            next_page_token: token.unwrap_or_default(),
        })
    }
}

fn stored(kept: &StoredLotNote) -> pb::StoredLotNote {
    pb::StoredLotNote {
        number: kept.number,
        recorded_at_ms: kept.recorded_at.0,
        note: Some(kept.note.to_pb()),
    }
}
