//! Rows of accounts, codes and tokens.

use chablon_model::{Moment, Role};
use chablon_store::{Account, Enrolment, KeptToken, NewToken, TokenRecord};

use crate::fault::Damage;
use crate::values::Place;

#[derive(sqlx::FromRow)]
pub(super) struct AccountRow {
    pub(super) name: String,
    role: String,
    site: Option<String>,
    account_created_at: i64,
    account_revoked_at: Option<i64>,
}

impl AccountRow {
    pub(super) fn value(&self) -> Result<Account, Damage> {
        let place = Place::new("account", &self.name);
        let unknown = || place.damage("the role is unknown");
        Ok(Account {
            name: place.id(&self.name)?,
            role: Role::parse(&self.role).ok_or_else(unknown)?,
            site: self.site.as_deref().map(|site| place.id(site)).transpose()?,
            created_at: Moment(self.account_created_at),
            revoked_at: self.account_revoked_at.map(Moment),
        })
    }
}

#[derive(sqlx::FromRow)]
pub(super) struct TokenRow {
    token: String,
    pub(super) account: String,
    created_at: i64,
    expires_at: Option<i64>,
    last_used_at: Option<i64>,
    revoked_at: Option<i64>,
}

impl TokenRow {
    pub(super) fn record(&self) -> Result<TokenRecord, Damage> {
        let place = Place::new("access_token", &self.token);
        Ok(TokenRecord {
            id: place.id(&self.token)?,
            created_at: Moment(self.created_at),
            expires_at: self.expires_at.map(Moment),
            last_used_at: self.last_used_at.map(Moment),
            revoked_at: self.revoked_at.map(Moment),
        })
    }
}

#[derive(sqlx::FromRow)]
pub(super) struct KeptRow {
    digest: Vec<u8>,
    #[sqlx(flatten)]
    token: TokenRow,
    #[sqlx(flatten)]
    account: AccountRow,
}

impl KeptRow {
    pub(super) fn value(&self) -> Result<KeptToken, Damage> {
        let digest = Place::new("access_token", &self.token.token).digest(&self.digest)?;
        Ok(KeptToken { account: self.account.value()?, digest, record: self.token.record()? })
    }
}

#[derive(sqlx::FromRow)]
pub(super) struct EnrolmentRow {
    enrolment: String,
    pub(super) account: String,
    code_digest: Vec<u8>,
    expires_at: i64,
    pub(super) token_expires_at: Option<i64>,
    failures: i64,
    token: Option<String>,
    token_digest: Option<Vec<u8>>,
}

impl EnrolmentRow {
    pub(super) fn value(&self) -> Result<Enrolment, Damage> {
        let place = Place::new("enrolment", &self.enrolment);
        let spent_for = self.token.as_deref().map(|token| {
            let digest = self.token_digest.as_deref();
            let digest = digest.ok_or_else(|| place.damage("its token is gone"))?;
            Ok(NewToken { id: place.id(token)?, digest: place.digest(digest)? })
        });
        Ok(Enrolment {
            code_digest: place.digest(&self.code_digest)?,
            expires_at: Moment(self.expires_at),
            failures: u32::try_from(self.failures).map_err(|error| place.damage(error))?,
            spent_for: spent_for.transpose()?,
        })
    }
}
