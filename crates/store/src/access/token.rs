//! Tokens.

use chablon_model::{ActorName, Digest, Moment};

use super::Account;
use crate::{Act, Actor, AuditRecord, Request, TokenId};

/// A token to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewToken {
    /// Its name, which is no secret.
    pub id: TokenId,
    /// The digest of its secret.
    pub digest: Digest,
}

/// What is known of a token, but for its secret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TokenRecord {
    /// Its name.
    pub id: TokenId,
    /// When it was got.
    pub created_at: Moment,
    /// The moment from which it is no longer good, if there is one.
    pub expires_at: Option<Moment>,
    /// When it was used last, to about a minute.
    pub last_used_at: Option<Moment>,
    /// When it was shut out, if it was.
    pub revoked_at: Option<Moment>,
}

/// A token with its account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptToken {
    /// Whose it is.
    pub account: Account,
    /// The digest of its secret.
    pub digest: Digest,
    /// The rest.
    pub record: TokenRecord,
}

/// What is shut out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Revoked {
    /// One token; the account may have others.
    Token(TokenId),
    /// An account, with all its tokens and codes.
    Account(ActorName),
}

/// Shuts something out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revocation {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who shuts it out.
    pub by: Actor,
    /// What is shut out.
    pub what: Revoked,
}

impl Revocation {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let subject = match &self.what {
            Revoked::Token(id) => format!("token/{id}"),
            Revoked::Account(name) => format!("account/{name}"),
        };
        let (at, by, detail) = (self.at, self.by.clone(), String::new());
        AuditRecord { at, by, act: Act::Revoke, subject, detail }
    }
}
