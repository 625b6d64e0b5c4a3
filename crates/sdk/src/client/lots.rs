//! Lots: noting them, and where one may have gone.

use std::collections::BTreeSet;

use chablon_model::IngredientId;
use futures::TryStreamExt;
use futures::stream::BoxStream;

use super::Client;
use crate::lots::{LotDraft, LotFilter, LotTrace, StoredLotNote};
use crate::where_used::Sought;
use crate::{Error, retry};

impl Client {
    /// Sends a note on a lot and gives its number. Sent twice it is one note.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where the site isn't known or has no such ingredient.
    /// [`Error::outcome_unknown`] where it may have been kept: send the same draft again.
    pub async fn note_lot(&self, draft: &LotDraft) -> Result<u64, Error> {
        retry::changing(&self.options, || self.hub.note_lot(draft)).await
    }

    /// What was noted of lots, by number.
    pub fn lot_notes(
        &self,
        filter: &LotFilter,
    ) -> BoxStream<'static, Result<StoredLotNote, Error>> {
        let filter = filter.clone();
        self.paged(move |client, page| {
            let filter = filter.clone();
            async move { client.reading(|| client.hub.lot_notes(&filter, &page)).await }
        })
    }

    /// Where a lot may have gone: what was noted of it, and every use of what it is a lot of.
    ///
    /// Where the ingredient is given the uses are of that one, noted or not; else of all whose lots
    /// bear these words.
    pub async fn trace_lot(
        &self,
        lot: &str,
        ingredient: Option<&IngredientId>,
    ) -> Result<LotTrace, Error> {
        let lot = Some(lot.to_owned());
        let filter = LotFilter { site: None, ingredient: ingredient.cloned(), lot };
        let notes: Vec<StoredLotNote> = self.lot_notes(&filter).try_collect().await?;
        let mut sought: BTreeSet<IngredientId> =
            notes.iter().map(|one| one.note.ingredient.clone()).collect();
        sought.extend(ingredient.cloned());
        let mut uses = Vec::new();
        for one in sought {
            uses.extend(self.where_used(&Sought::Ingredient(one)).await?);
        }
        uses.sort_by(|a, b| {
            (&a.site, &a.revision.key, a.from).cmp(&(&b.site, &b.revision.key, b.from))
        });
        Ok(LotTrace { notes, uses })
    }
}
