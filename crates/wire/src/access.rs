//! Accounts and their tokens, as a hub shows them.

use chablon_model::{ActorName, Moment, Role, SiteId};

use crate::common::moment;
use crate::form::{Coded, Wire, code, coded, list, optional_code, optional_parsed, parsed};
use crate::form::{to_code, to_list, to_text};
use crate::{At, Violation, pb};

coded!(Role = pb::Role { Chef, Deputy, Kitchen, Reader });

/// The role that a field names.
pub fn role(number: i32) -> Result<Role, Violation> {
    code(number, "role")
}

/// The number of a role in the schema.
pub fn role_code(role: Role) -> i32 {
    role.code()
}

/// Whom a hub knows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The name, unique for ever.
    pub name: ActorName,
    /// What it may do.
    pub role: Role,
    /// The one site to which it is bound, if to any.
    pub site: Option<SiteId>,
    /// When it was made.
    pub created_at: Moment,
    /// When it was shut out, if it was.
    pub revoked_at: Option<Moment>,
    /// Its tokens, the oldest first.
    pub tokens: Vec<AccountToken>,
    /// The latest moment until which a code that isn't spent may be used, if there is one.
    pub open_until: Option<Moment>,
}

/// A token, but for its secret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountToken {
    /// Its name, which is no secret.
    pub id: String,
    /// When it was got.
    pub created_at: Moment,
    /// From when it is no longer good, if it ends by itself.
    pub expires_at: Option<Moment>,
    /// When it was used last, to about a minute.
    pub last_used_at: Option<Moment>,
    /// When it was shut out, if it was.
    pub revoked_at: Option<Moment>,
}

/// Whom a hub takes a caller for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Identity {
    /// The account's name, or on an open hub the one that the caller says, if any.
    pub name: Option<ActorName>,
    /// Whether the hub has checked that. False: it is open.
    pub verified: bool,
    /// What the caller may do; none on an open hub, where everyone may do everything.
    pub role: Option<Role>,
    /// The one site to which the caller is bound, if to any.
    pub site: Option<SiteId>,
}

impl Wire for Account {
    type Pb = pb::Account;

    fn to_pb(&self) -> pb::Account {
        pb::Account {
            name: self.name.to_string(),
            role: self.role.code(),
            site: to_text(self.site.as_ref()),
            created_at_ms: self.created_at.0,
            revoked_at_ms: self.revoked_at.map(|at| at.0),
            tokens: to_list(&self.tokens),
            open_until_ms: self.open_until.map(|at| at.0),
        }
    }

    fn from_pb(account: pb::Account) -> Result<Self, Violation> {
        Ok(Self {
            name: parsed(&account.name).at("name")?,
            role: role(account.role)?,
            site: optional_parsed(&account.site, "site")?,
            created_at: moment(account.created_at_ms).at("created_at_ms")?,
            revoked_at: maybe(account.revoked_at_ms, "revoked_at_ms")?,
            tokens: list(account.tokens, "tokens")?,
            open_until: maybe(account.open_until_ms, "open_until_ms")?,
        })
    }
}

impl Wire for AccountToken {
    type Pb = pb::AccessToken;

    fn to_pb(&self) -> pb::AccessToken {
        pb::AccessToken {
            id: self.id.clone(),
            created_at_ms: self.created_at.0,
            expires_at_ms: self.expires_at.map(|at| at.0),
            last_used_at_ms: self.last_used_at.map(|at| at.0),
            revoked_at_ms: self.revoked_at.map(|at| at.0),
        }
    }

    fn from_pb(token: pb::AccessToken) -> Result<Self, Violation> {
        Ok(Self {
            id: parsed(&token.id).at("id")?,
            created_at: moment(token.created_at_ms).at("created_at_ms")?,
            expires_at: maybe(token.expires_at_ms, "expires_at_ms")?,
            last_used_at: maybe(token.last_used_at_ms, "last_used_at_ms")?,
            revoked_at: maybe(token.revoked_at_ms, "revoked_at_ms")?,
        })
    }
}

impl Wire for Identity {
    type Pb = pb::WhoAmIResponse;

    fn to_pb(&self) -> pb::WhoAmIResponse {
        pb::WhoAmIResponse {
            name: to_text(self.name.as_ref()),
            verified: self.verified,
            role: to_code(self.role),
            site: to_text(self.site.as_ref()),
        }
    }

    fn from_pb(identity: pb::WhoAmIResponse) -> Result<Self, Violation> {
        Ok(Self {
            name: optional_parsed(&identity.name, "name")?,
            verified: identity.verified,
            role: optional_code(identity.role, "role")?,
            site: optional_parsed(&identity.site, "site")?,
        })
    }
}

fn maybe(milliseconds: Option<i64>, field: &str) -> Result<Option<Moment>, Violation> {
    milliseconds.map(moment).transpose().at(field)
}
