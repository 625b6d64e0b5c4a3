//! Roots of trust, and signing entries anew.

use std::sync::atomic::{AtomicU64, Ordering};

use chablon_model::View;
use chablon_trust::{self as trust, Payload, SigningKey, TrustError, TrustedRoot};
use futures::TryStreamExt as _;

use super::Client;
use crate::error::Kind;
use crate::hub::{EntrySignatures, Roots};
use crate::{Change, Error, SignedBytes, retry};

/// How many entries are signed in one call.
const AT_ONCE: usize = 500;

impl Client {
    /// The latest root of trust that the hub has, by its own word: what a reader trusts it decides
    /// itself, see [`Replica::pin`](crate::Replica::pin).
    ///
    /// # Errors
    /// [`Error::untrusted`] where the versions don't lead to each other.
    pub async fn latest_root(&self) -> Result<Option<TrustedRoot>, Error> {
        let mut latest: Option<TrustedRoot> = None;
        loop {
            let after = latest.as_ref().map_or(0, |root| root.root().version);
            let Roots { roots, more } = self.roots_after(after).await?;
            for root in &roots {
                latest = Some(match &latest {
                    None => TrustedRoot::as_it_says(root)?,
                    Some(before) => before.next(root)?,
                });
            }
            if !more || roots.is_empty() {
                return Ok(latest);
            }
        }
    }

    /// Adds the next version of the root of trust.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where another version is next; [`Error::is_precondition`] where too few
    /// of the keys that count have signed.
    pub async fn add_root(&self, root: &SignedBytes) -> Result<u32, Error> {
        retry::changing(&self.options, || self.hub.add_root(root)).await
    }

    /// Signs every entry of the feed that the release keys of the hub's latest root haven't signed:
    /// after they were replaced, or where entries are older than the root. Gives how many it signed.
    ///
    /// Look at what is in the feed first: what is signed is vouched for.
    ///
    /// # Errors
    /// [`Error::is_precondition`] where the hub has no root, or these keys aren't enough for it.
    pub async fn sign_entries(&self, keys: &[SigningKey]) -> Result<u64, Error> {
        let none = || Error::new(Kind::Precondition, "the hub has no root of trust; add one first");
        let root = self.latest_root().await?.ok_or_else(none)?;
        let signed = AtomicU64::new(0);
        retry::listing(|| self.sign_by(&root, keys, &signed)).await?;
        Ok(signed.into_inner())
    }

    /// Signs page by page, and counts what was signed.
    async fn sign_by(
        &self,
        root: &TrustedRoot,
        keys: &[SigningKey],
        signed: &AtomicU64,
    ) -> Result<(), Error> {
        let mut changes = self.changes(&View::Whole, None);
        while let Some(stretch) = changes.try_next().await? {
            let mut unsigned = Vec::new();
            for entry in stretch.entries {
                unsigned.extend(sign(root, entry, keys)?);
            }
            for batch in unsigned.chunks(AT_ONCE) {
                retry::changing(&self.options, || self.hub.sign_entries(batch)).await?;
                signed.fetch_add(batch.len() as u64, Ordering::Relaxed);
            }
        }
        Ok(())
    }

    /// Some versions after one.
    pub(crate) async fn roots_after(&self, after: u32) -> Result<Roots, Error> {
        self.reading(|| self.hub.roots(after)).await
    }
}

/// New signatures of an entry, where those that it has aren't enough.
fn sign(
    root: &TrustedRoot,
    entry: Change,
    keys: &[SigningKey],
) -> Result<Option<EntrySignatures>, Error> {
    let payload = Payload::of(&entry.says);
    let Change { position, bytes, digest, signatures, .. } = entry;
    let mut body = SignedBytes { bytes, digest, signatures };
    match root.verify_entry(payload, &body) {
        Ok(()) => return Ok(None),
        Err(TrustError::TooFewSignatures { .. }) => {}
        Err(error) => return Err(error.into()),
    }
    body.signatures.retain(|one| root.root().release.has(&one.key));
    for key in keys {
        trust::sign(&mut body, payload, key);
    }
    root.verify_entry(payload, &body)?;
    let (body_digest, signatures) = (body.digest, body.signatures);
    Ok(Some(EntrySignatures { position, body_digest, signatures }))
}
