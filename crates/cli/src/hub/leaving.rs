//! What kitchens that leave groups would make again.

use chablon_model::{DocumentContent, Manifest};
use chablon_sdk::change::Comparison;
use chablon_sdk::drafts::Proposed;
use chablon_sdk::publish::Terms;
use chablon_sdk::{Client, Error, InForceAgain};

use crate::clock;

/// What would be in force again if a draft was released to everyone now.
pub(crate) async fn again_by_draft(
    client: &Client,
    proposed: &Proposed,
    comparison: &Comparison,
) -> Result<Vec<InForceAgain>, Error> {
    let parts =
        async |terms: &Terms| Ok(client.draft_release(proposed, terms).await?.parts().to_vec());
    again(client, comparison, parts).await
}

/// What would be in force again if a book was released to everyone now.
pub(crate) async fn again_by_book(
    client: &Client,
    documents: &[DocumentContent],
    comparison: &Comparison,
) -> Result<Vec<InForceAgain>, Error> {
    let parts = async |terms: &Terms| Ok(client.draft(documents, terms).await?.parts().to_vec());
    again(client, comparison, parts).await
}

/// The same by the parts of a release, which is only made where a kitchen leaves a group.
async fn again(
    client: &Client,
    comparison: &Comparison,
    parts: impl AsyncFnOnce(&Terms) -> Result<Vec<Manifest>, Error>,
) -> Result<Vec<InForceAgain>, Error> {
    let leaving = comparison.leaving();
    if leaving.is_empty() {
        return Ok(Vec::new());
    }
    let terms = as_if();
    client.in_force_again(&leaving, &parts(&terms).await?, terms.holds_from).await
}

/// The terms of a release that is only thought of.
fn as_if() -> Terms {
    Terms::new(clock::now(), "what it would mean", "nobody yet")
}
