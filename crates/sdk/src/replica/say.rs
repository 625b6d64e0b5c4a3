//! What a kitchen says to its hub.

use chablon_model::{DocumentKey, Entry, EntryBody, Standing, in_force};
use chablon_store::{Outgoing, Said, Statement};
use chablon_wire::{Acknowledgement, Statement as SaidOf};

use super::Replica;
use crate::error::Kind;
use crate::{Client, Error};

/// How many statements are delivered in one call.
const AT_ONCE: usize = 500;

impl Replica {
    /// Says that the kitchen works by what is in force of these documents now: by a release, or by
    /// the withdrawal that stopped one. It is queued here and delivered by the next catch-up.
    ///
    /// Saying it again changes nothing.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where nothing of a document is in force; then nothing is said.
    pub async fn say_in_use(&self, documents: &[DocumentKey]) -> Result<(), Error> {
        let (entries, at) = (self.entries().await?, (self.clock)());
        let positions: Vec<u64> = documents
            .iter()
            .map(|key| {
                let standing = in_force(&entries, key, at);
                decided_by(&entries, &standing).ok_or_else(|| nothing_of(key))
            })
            .collect::<Result<_, _>>()?;
        for position in positions {
            let said = Said { position, statement: Statement::InUse, at };
            self.store.say(said).await.map_err(Error::of_store)?;
        }
        Ok(())
    }

    /// Delivers what waits to be said. Where that fails, it goes on waiting.
    pub(super) async fn deliver(&self, client: &Client) -> Result<(u64, Option<Error>), Error> {
        let mut delivered = 0;
        loop {
            let waiting = self.store.outbox(AT_ONCE).await.map_err(Error::of_store)?;
            if waiting.is_empty() {
                return Ok((delivered, None));
            }
            let said: Vec<_> = waiting.iter().map(|one| self.acknowledgement(one)).collect();
            if let Err(error) = client.acknowledge(&said).await {
                tracing::warn!(%error, waiting = waiting.len(), "what was to be said still waits");
                return Ok((delivered, Some(error)));
            }
            let ids: Vec<u64> = waiting.iter().map(|one| one.id).collect();
            self.store.outbox_sent(&ids).await.map_err(Error::of_store)?;
            delivered += ids.len() as u64;
        }
    }

    fn acknowledgement(&self, waiting: &Outgoing) -> Acknowledgement {
        let Outgoing { said: Said { position, statement, at }, body_digest, .. } = *waiting;
        let statement = match statement {
            Statement::Received => SaidOf::Received,
            Statement::InUse => SaidOf::InUse,
        };
        Acknowledgement { site: self.site.clone(), position, body_digest, statement, at }
    }
}

/// The position of the entry that makes a document's standing what it is: that of its release, or
/// that of the withdrawal that stopped it or went back. Kitchens speak of that entry.
pub fn decided_by(entries: &[Entry], standing: &Standing<'_>) -> Option<u64> {
    let because = match standing {
        Standing::None => return None,
        Standing::InForce { position, because: None, .. } => return Some(*position),
        Standing::InForce { because: Some(because), .. } | Standing::Stopped { because } => because,
    };
    let says =
        |entry: &&Entry| matches!(&entry.body, EntryBody::Withdrawal(one) if one == *because);
    entries.iter().filter(says).map(|entry| entry.position).max()
}

fn nothing_of(key: &DocumentKey) -> Error {
    Error::new(
        Kind::NotFound,
        format!("nothing of `{key}` is in force here, so it can't be in use"),
    )
}
