//! Taking a bundle.

use super::Replica;
use super::sync::{Progress, Relisted};
use crate::error::Kind;
use crate::trust::Notice;
use crate::{Bundle, Error};

/// What came with a bundle.
#[derive(Debug)]
#[non_exhaustive]
pub struct Imported {
    /// What came.
    pub progress: Progress,
    /// Whether all had to be listed anew, and why.
    pub relisted: Option<Relisted>,
    /// What must be told of those whom the replica trusts.
    pub notices: Vec<Notice>,
}

impl Replica {
    /// Takes all that a bundle has beyond what is held, by the rules by which it takes what a hub
    /// shows. Taking it again changes nothing. What was received is told to the hub when it is heard
    /// of again.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where the bundle is another site's, or of another history than what is
    /// held and the replica trusts no root; [`Error::is_precondition`] where it is older than what is
    /// held; [`Error::untrusted`]; [`Error::is_damaged`]. Nothing of it was taken then.
    pub async fn import(&self, bundle: &Bundle) -> Result<Imported, Error> {
        self.suits(bundle).await?;
        let (progress, relisted) = self.take_all(bundle, |_| ()).await?;
        Ok(Imported { progress, relisted, notices: self.notices().await? })
    }

    async fn suits(&self, bundle: &Bundle) -> Result<(), Error> {
        if bundle.site() != &self.site {
            let message =
                format!("the bundle is that of `{}`, not of `{}`", bundle.site(), self.site);
            return Err(Error::new(Kind::Conflict, message));
        }
        let held = self.cursor().await?;
        let other_history = held.is_some_and(|held| held.epoch != bundle.epoch());
        if other_history && self.trusting().await?.is_none() {
            let message = "the bundle is of another history than what is held, and nothing vouches \
                           for it; sync with the hub, or pin the group's root first";
            return Err(Error::new(Kind::Conflict, message));
        }
        Ok(())
    }
}
