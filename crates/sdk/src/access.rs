//! Joining a hub, letting others in and shutting them out.

use chablon_model::{ActorName, Moment, Role, SiteId};
pub use chablon_wire::{
    AccessToken, AccessTokenError, Account, AccountToken, EnrolmentCode, EnrolmentCodeError,
    Identity,
};
use uuid::Uuid;

use crate::Error;
use crate::error::Kind;

/// Whom to let in, and as what.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Invitation {
    /// The account's name; that of an account that is there stands for another machine of it.
    pub name: ActorName,
    /// What it may do.
    pub role: Role,
    /// The site: always of a kitchen, never of a chef or a deputy.
    pub site: Option<SiteId>,
    /// From when the code is no longer good; at most 31 days ahead.
    pub expires_at: Moment,
    /// From when the token is no longer good that is got by the code; none: it doesn't end by itself.
    pub token_expires_at: Option<Moment>,
}

impl Invitation {
    /// Whom to let in by a code that is good until a moment.
    pub fn new(name: ActorName, role: Role, site: Option<SiteId>, expires_at: Moment) -> Self {
        Self { name, role, site, expires_at, token_expires_at: None }
    }

    /// With a token that ends by itself.
    #[must_use]
    pub fn with_token_until(self, at: Moment) -> Self {
        Self { token_expires_at: Some(at), ..self }
    }
}

/// What is shut out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shut {
    /// One token, by its name; the account may have others.
    Token(String),
    /// An account, with all its tokens and codes.
    Account(ActorName),
}

/// A new code out of the machine's random bits.
///
/// # Errors
/// Where the machine has none to give.
pub fn random_code() -> Result<EnrolmentCode, Error> {
    random().map(EnrolmentCode::from_random)
}

/// A new token out of the machine's random bits.
///
/// # Errors
/// Where the machine has none to give.
pub fn random_token() -> Result<AccessToken, Error> {
    Ok(AccessToken::new(Uuid::new_v4(), random()?).expect("a UUID names a token"))
}

fn random<const N: usize>() -> Result<[u8; N], Error> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| {
        Error::new(Kind::Unavailable, format!("the machine gives no random bits: {error}"))
    })?;
    Ok(bytes)
}
