//! How old what a kitchen knows is.

use chablon_model::{Checkpoint, Moment};
use chablon_store::Trust;
use chablon_trust::{TrustedRoot, known_at};

use super::{KitchenStore, fault};
use crate::StoreFault;
use crate::trust::to_wire;

impl KitchenStore {
    /// When the kitchen last knew all that a hub knew; none where it never did.
    pub async fn known_at(&self) -> Result<Option<Moment>, StoreFault> {
        let of_store = |error| StoreFault::of(fault(error));
        let heard_at = self.replica.last_contact().await.map_err(of_store)?;
        let trust = self.replica.trust().await.map_err(of_store)?;
        Ok(known_at(trust.as_ref().and_then(vouched).as_ref(), heard_at))
    }
}

/// What was vouched for last, if the root still names the key that signed it. What stands in the
/// store was verified before it was put there.
fn vouched(trust: &Trust) -> Option<Checkpoint> {
    let root = TrustedRoot::as_it_says(&to_wire(&trust.root)).ok()?;
    root.checkpoint(&to_wire(trust.checkpoint.as_ref()?)).ok()
}
