//! Accounts.

use chablon_model::{ActorName, Moment, Role, SiteId};

use super::TokenRecord;

/// Whom a hub knows: a person, a kitchen or a program, by a name that no other account has or had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The name.
    pub name: ActorName,
    /// What it may do.
    pub role: Role,
    /// The one site to which it is bound, if to any.
    pub site: Option<SiteId>,
    /// When it was made.
    pub created_at: Moment,
    /// When it was shut out, if it was.
    pub revoked_at: Option<Moment>,
}

/// An account with all by which it is reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountRecord {
    /// The account.
    pub account: Account,
    /// Its tokens, in the order in which they were made.
    pub tokens: Vec<TokenRecord>,
    /// The latest moment until which a code that isn't spent may be used, if there is one.
    pub open_until: Option<Moment>,
}
