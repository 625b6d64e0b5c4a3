//! What a kitchen says to its hub.

use std::collections::BTreeSet;

use chablon_model::{DocumentKey, Entry, EntryBody, Moment, Standing, in_force};
use chablon_store::{Outgoing, Said, Statement};
use chablon_wire::{Acknowledgement, MAX_REASON_BYTES, Statement as SaidOf};

use super::Replica;
use crate::error::Kind;
use crate::{Client, Error};

/// How many statements are delivered in one call.
const AT_ONCE: usize = 500;

impl Replica {
    /// Says that the kitchen works by what is in force of these documents now: by a release, or by
    /// the withdrawal that stopped one. It is queued here and delivered by the next catch-up.
    ///
    /// Saying it again changes nothing. Whatever was said of a release holds for all of it.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where nothing of a document is in force; then nothing is said.
    pub async fn say_in_use(&self, documents: &[DocumentKey]) -> Result<(), Error> {
        self.say(documents, Statement::InUse, None).await
    }

    /// Says that the kitchen doesn't work by what is in force of these documents now, and why. It
    /// stays the standard: whoever answers for it is told, and decides.
    ///
    /// # Errors
    /// As [`Replica::say_in_use`]; [`Error::is_invalid`] where no reason is given, or one of more
    /// than 2,000 bytes, which the hub would never take.
    pub async fn say_refused(&self, documents: &[DocumentKey], reason: &str) -> Result<(), Error> {
        if reason.trim().is_empty() || reason.len() > MAX_REASON_BYTES {
            let fault = format!("a refusal needs its reason, of at most {MAX_REASON_BYTES} bytes");
            return Err(Error::new(Kind::Invalid, fault));
        }
        self.say(documents, Statement::Refused, Some(reason)).await
    }

    async fn say(
        &self,
        documents: &[DocumentKey],
        statement: Statement,
        reason: Option<&str>,
    ) -> Result<(), Error> {
        let (entries, now) = (self.entries().await?, (self.clock)());
        let positions: BTreeSet<u64> = documents
            .iter()
            .map(|key| {
                let standing = in_force(&entries, key, now);
                decided_by(&entries, &standing).ok_or_else(|| nothing_of(key))
            })
            .collect::<Result<_, _>>()?;
        let before = self.store.said().await.map_err(Error::of_store)?;
        for position in positions {
            let last = last_word(&before, position);
            if last.is_some_and(|one| one.statement == statement && one.reason.as_deref() == reason)
            {
                continue;
            }
            // What is said last counts, also where the clock was set back.
            let at = last.map_or(now, |last| now.max(Moment(last.at.0 + 1)));
            let said = Said { position, statement, at, reason: reason.map(str::to_owned) };
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
        let Outgoing { said, body_digest, .. } = waiting;
        let Said { position, statement, at, reason } = said.clone();
        let statement = match statement {
            Statement::Received => SaidOf::Received,
            Statement::InUse => SaidOf::InUse,
            Statement::Refused => SaidOf::Refused,
        };
        let (site, body_digest) = (self.site.clone(), *body_digest);
        Acknowledgement { site, position, body_digest, statement, at, reason }
    }
}

/// Whether the kitchen last said that it uses an entry, or that it refuses it.
fn last_word(said: &[Said], position: u64) -> Option<&Said> {
    let words = said.iter().filter(|one| one.position == position && one.statement.renews());
    words.max_by_key(|one| one.at)
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
        format!("nothing of `{key}` is in force here, so nothing can be said of it"),
    )
}
