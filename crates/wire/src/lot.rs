//! Notes on lots.

use chablon_model::{LotEvent, LotNote};

use crate::common::moment;
use crate::form::{Coded, Wire, code, coded, optional_parsed, parsed, to_text, words};
use crate::{At, Violation, pb};

coded!(LotEvent = pb::LotEvent { Received, Used, Gone });

/// The longest name of a lot, in bytes.
const MAX_LOT_BYTES: usize = 200;

impl Wire for LotNote {
    type Pb = pb::LotNote;

    fn to_pb(&self) -> pb::LotNote {
        pb::LotNote {
            site: self.site.to_string(),
            ingredient: self.ingredient.to_string(),
            supplier: to_text(self.supplier.as_ref()),
            lot: self.lot.clone(),
            event: self.event.code(),
            at_ms: self.at.0,
            author: self.author.clone(),
        }
    }

    fn from_pb(note: pb::LotNote) -> Result<Self, Violation> {
        if note.lot.len() > MAX_LOT_BYTES {
            let reason = format!("must have at most {MAX_LOT_BYTES} bytes");
            return Err(Violation::new(reason).at("lot"));
        }
        Ok(Self {
            site: parsed(&note.site).at("site")?,
            ingredient: parsed(&note.ingredient).at("ingredient")?,
            supplier: optional_parsed(&note.supplier, "supplier")?,
            lot: words(note.lot, "lot")?,
            event: code(note.event, "event")?,
            at: moment(note.at_ms).at("at_ms")?,
            author: words(note.author, "author")?,
        })
    }
}
