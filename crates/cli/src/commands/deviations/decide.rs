//! What granting and refusing have in common.

use chablon_model::{Deviation, DeviationId};
use chablon_sdk::deviations::{DecisionDraft, Submitted};
use chablon_sdk::trust::SigningKey;
use chablon_sdk::{Client, Recorded};

use crate::failure::Failure;

/// A deviation by its id.
pub(super) async fn find(client: &Client, id: &DeviationId) -> Result<Submitted, Failure> {
    let found = client.deviation(id).await;
    found.map_err(|error| Failure::of(&error, "nothing was decided"))
}

/// Sends a decision, signed by keys where the group signs.
pub(super) async fn send(
    client: &Client,
    submitted: &Submitted,
    decided: Deviation,
    keys: &[SigningKey],
) -> Result<Recorded, Failure> {
    let failed = |error| Failure::of(&error, "nothing was decided");
    let mut draft = DecisionDraft::new(submitted, decided).map_err(failed)?;
    for key in keys {
        draft.sign(key);
    }
    client.decide_deviation(&draft).await.map_err(|error| {
        let unknown = error.outcome_unknown();
        let so = if unknown { "it may have been decided or not" } else { "nothing was decided" };
        Failure::of(&error, so)
    })
}
