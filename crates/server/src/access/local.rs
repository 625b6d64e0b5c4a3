//! Access as whoever has the store in hand decides it: for the first chef, whom nobody can let in.

use std::sync::Arc;

use chablon_exchange::{AccessError, EnrolmentRequest, Exchange};
use chablon_model::{ActorName, Moment, Role, SiteId};
use chablon_store::{Actor, HubError, HubStore};
use chablon_wire::EnrolmentCode;
use uuid::Uuid;

use crate::clock::Clock;

/// Why somebody can't be let in.
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
pub struct InviteError(#[from] AccessError);

/// Keeps a code by which somebody may join, for a role and the site that it wants. `good` says from
/// when the code is no longer good and, if it is to end, the token that is got by it.
///
/// # Errors
/// Where the name is that of another account, and where the store fails.
pub async fn invite(
    store: Arc<dyn HubStore>,
    name: ActorName,
    role: Role,
    site: Option<SiteId>,
    code: &EnrolmentCode,
    good: (Moment, Option<Moment>),
) -> Result<(), InviteError> {
    let (expires_at, token_expires_at) = good;
    let asked = EnrolmentRequest {
        request_id: Uuid::new_v4().to_string().parse().expect("a UUID is a token"),
        name,
        role,
        site,
        code: code.id().parse().expect("the name of a code is a token"),
        code_digest: code.digest(),
        expires_at,
        token_expires_at,
    };
    // No account does this: it is done on the machine that holds the store.
    let by = own_machine();
    Exchange::new(store).prepare_enrolment(asked, by, Clock::system().now()).await?;
    Ok(())
}

/// Whoever works on a hub's store on the machine that holds it.
pub(crate) fn own_machine() -> Actor {
    Actor { name: "the hub's own machine".to_owned(), role: None }
}

/// Whether a store knows anybody who may reach its hub.
///
/// # Errors
/// Where the store fails.
pub async fn knows_anybody(store: &dyn HubStore) -> Result<bool, HubError> {
    Ok(!store.accounts(None, std::num::NonZeroU32::MIN).await?.is_empty())
}
