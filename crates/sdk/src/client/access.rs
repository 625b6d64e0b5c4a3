//! Joining, letting in and shutting out.

use futures::stream::BoxStream;
use uuid::Uuid;

use super::Client;
use crate::access::{AccessToken, Account, EnrolmentCode, Identity, Invitation, Shut, random_code};
use crate::{Error, retry};

impl Client {
    /// Makes a code by which somebody may join, once. Hand it over by a way that others don't hear.
    ///
    /// # Errors
    /// [`Error::is_denied`] where whoever calls doesn't manage access; [`Error::is_conflict`] where
    /// the name is taken. After [`Error::outcome_unknown`] ask again: a code that nobody has is no
    /// danger.
    pub async fn invite(&self, whom: &Invitation) -> Result<(EnrolmentCode, Account), Error> {
        let (code, id) = (random_code()?, Uuid::new_v4().to_string());
        let answer = retry::changing(&self.options, || self.hub.invite(&id, whom, &code)).await?;
        Ok((code, answer))
    }

    /// Joins by a code, with a token that was made on this machine
    /// ([`random_token`](crate::access::random_token)). From then on
    /// [`Options::with_token`](crate::Options::with_token) lets calls in.
    ///
    /// # Errors
    /// [`Error::is_denied`] where the code isn't good. After [`Error::outcome_unknown`] join again
    /// by the same code with the same token.
    pub async fn join(&self, code: &EnrolmentCode, token: &AccessToken) -> Result<Account, Error> {
        retry::changing(&self.options, || self.hub.join(code, token)).await
    }

    /// Everyone whom the hub knows, by name.
    pub fn accounts(&self) -> BoxStream<'static, Result<Account, Error>> {
        self.paged(
            |client, page| async move { client.reading(|| client.hub.accounts(&page)).await },
        )
    }

    /// Shuts a token out, or an account, at once and for ever.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where there is no such thing.
    pub async fn shut_out(&self, what: &Shut) -> Result<(), Error> {
        let id = Uuid::new_v4().to_string();
        retry::changing(&self.options, || self.hub.shut_out(&id, what)).await
    }

    /// Whom the hub takes this client for.
    pub async fn who_am_i(&self) -> Result<Identity, Error> {
        self.reading(|| self.hub.who_am_i()).await
    }
}
