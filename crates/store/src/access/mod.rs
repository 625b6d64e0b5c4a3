//! Who may reach a hub: accounts, the codes by which they are joined, and their tokens.
//!
//! A code and a token are random bits, made on the machine that will use them. A store holds their
//! SHA-256 digests alone. A plain hash is enough for them, unlike for a password: nobody can go
//! through 2^80 codes or 2^256 tokens, however fast the hash is.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{ActorName, Moment};

mod account;
mod enrolment;
mod refusal;
mod token;

pub use account::{Account, AccountRecord};
pub use enrolment::{Attempt, Enrolment, MAX_FAILURES, NewEnrolment};
pub use refusal::AccessRefusal;
pub use token::{KeptToken, NewToken, Revocation, Revoked, TokenRecord};

use crate::{HubError, TokenId};

/// The part of a hub's store that knows who may reach it.
///
/// A change is all or nothing, and durable once it is answered, as those of
/// [`HubStore`](crate::HubStore).
#[async_trait]
pub trait AccessStore: Send + Sync {
    /// Keeps a code by which an account may be joined; an account that isn't there is made.
    ///
    /// # Errors
    /// [`HubError::Malformed`] where role and site don't go together;
    /// [`HubError::RequestIdReused`]; [`HubError::Access`] where the name is taken by an account of
    /// another role or site or by one that was shut out, or the code's name is.
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError>;

    /// Joins an account by a code: the code is spent, and the token kept.
    ///
    /// The same token sent again by the same code gets the same answer. A wrong code is counted, and
    /// after [`MAX_FAILURES`] of them the enrolment is void.
    ///
    /// # Errors
    /// [`HubError::Access`] with what is wrong with the code.
    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError>;

    /// A token with its account, whether they are still good or not.
    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError>;

    /// Notes that a token was used. The latest moment stays; an unknown token is passed over.
    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError>;

    /// Accounts with their tokens, ordered by name, starting after a name.
    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError>;

    /// Shuts out a token, or an account with all its tokens and codes. Done again it changes
    /// nothing; the first moment stays.
    ///
    /// # Errors
    /// [`HubError::Access`] where there is no such thing; [`HubError::RequestIdReused`].
    async fn revoke(&self, commit: Revocation) -> Result<(), HubError>;
}
