//! Whom a replica trusts.

use chablon_model::{Checkpoint, Digest};
use chablon_trust::TrustedRoot;

use super::Replica;
use super::source::Source;
use crate::error::Kind;
use crate::hub::Roots;
use crate::{Client, Error, SignedBytes};

/// How many versions of a root are looked through for the one that is pinned. A group that rotates
/// its keys every month has as many in 83 years.
const MOST_VERSIONS: usize = 1000;

/// The root of trust that a replica begins with.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Pin {
    /// This one, which came by another way than through the hub.
    Root(SignedBytes),
    /// The one of this digest, which the chef has told. The hub is asked for its bytes.
    Digest(Digest),
    /// The first that the hub shows. Whoever sits between here and the hub at this moment is
    /// trusted for ever after: compare its digest with the chef's.
    FirstShown,
}

/// Whom a replica trusts, and what was vouched for last.
#[derive(Clone, Debug)]
pub(crate) struct Trusting {
    pub(crate) root: TrustedRoot,
    /// The checkpoint that was taken last, if the root still names the key that signed it: with a
    /// hub's key that was replaced all that it signed is given up.
    pub(crate) mark: Option<Checkpoint>,
}

impl Replica {
    /// Trusts a root of trust from now on, and the versions to which it leads. From then on nothing
    /// is taken that the release keys didn't sign and that a hub's key doesn't vouch for; what is
    /// held from before is listed anew by the next catch-up.
    ///
    /// The same pin again changes nothing, so it may be given each time. The first pin of a root whose
    /// bytes are given needs no hub.
    ///
    /// # Errors
    /// [`Error::untrusted`] where the root isn't the one that is pinned or isn't signed.
    /// [`Error::is_not_found`] where the hub doesn't have it. [`Error::is_conflict`] where the
    /// replica trusts a root to which this one doesn't lead: [`rebuild`](Self::rebuild) it to trust
    /// another.
    pub async fn pin(&self, client: &Client, pin: &Pin) -> Result<TrustedRoot, Error> {
        self.pin_from(client, pin).await
    }

    pub(crate) async fn pin_from(
        &self,
        source: &dyn Source,
        pin: &Pin,
    ) -> Result<TrustedRoot, Error> {
        let held = self.trusting().await?.map(|trusting| trusting.root);
        let led = match &held {
            Some(root) if pin.is(root) => return Ok(root.clone()),
            Some(root) if *pin == Pin::FirstShown => return Ok(root.clone()),
            None if let Pin::Root(shown) = pin => return self.begin_with(shown).await,
            _ => versions(source, pin).await?,
        };
        let digest = |root: &TrustedRoot| root.frozen().digest;
        if held.is_some_and(|held| led.iter().all(|one| digest(one) != digest(&held))) {
            let message = "this replica trusts another root, to which the pinned one doesn't lead; \
                           remove it and sync anew to trust that one";
            return Err(Error::new(Kind::Conflict, message));
        }
        let latest = led.last().expect("the pinned root is the first").clone();
        self.keep_root(&latest).await?;
        Ok(latest)
    }

    /// Trusts a root whose bytes are at hand: nobody has to be asked, and the next catch-up follows it
    /// to its latest version.
    async fn begin_with(&self, shown: &SignedBytes) -> Result<TrustedRoot, Error> {
        let root = TrustedRoot::pinned(shown, shown.digest)?;
        self.keep_root(&root).await?;
        Ok(root)
    }

    /// The root that is trusted; none where the replica takes whatever its hub shows.
    pub async fn trusted_root(&self) -> Result<Option<TrustedRoot>, Error> {
        Ok(self.trusting().await?.map(|trusting| trusting.root))
    }

    /// Whom it trusts now. What stands in the store was verified before it was put there.
    pub(crate) async fn trusting(&self) -> Result<Option<Trusting>, Error> {
        let Some(trust) = self.store.trust().await.map_err(Error::of_store)? else {
            return Ok(None);
        };
        let root = TrustedRoot::as_it_says(&to_wire(trust.root))?;
        let mark = trust.checkpoint.and_then(|kept| root.checkpoint(&to_wire(kept)).ok());
        Ok(Some(Trusting { root, mark }))
    }

    /// Follows the root to its latest version, one after the other.
    pub(super) async fn follow_root(&self, source: &dyn Source) -> Result<(), Error> {
        let Some(Trusting { mut root, .. }) = self.trusting().await? else { return Ok(()) };
        loop {
            let Roots { roots, more } = source.roots(root.root().version).await?;
            for next in &roots {
                root = root.next(next)?;
                self.keep_root(&root).await?;
            }
            if !more || roots.is_empty() {
                return Ok(());
            }
        }
    }

    async fn keep_root(&self, root: &TrustedRoot) -> Result<(), Error> {
        let kept = self.store.trust_root(root.root().version, to_store(root.frozen())).await;
        kept.map_err(Error::of_store)
    }
}

impl Pin {
    /// Whether this is the pin of a root.
    fn is(&self, root: &TrustedRoot) -> bool {
        match self {
            Self::Root(pinned) => pinned.digest == root.frozen().digest,
            Self::Digest(digest) => *digest == root.frozen().digest,
            Self::FirstShown => false,
        }
    }

    /// The pinned root, if this is it.
    fn admits(&self, shown: &SignedBytes) -> Option<Result<TrustedRoot, Error>> {
        let wanted = match self {
            Self::Root(pinned) => pinned.digest,
            Self::Digest(digest) => *digest,
            Self::FirstShown => shown.digest,
        };
        (shown.digest == wanted).then(|| TrustedRoot::pinned(shown, wanted).map_err(Error::from))
    }
}

/// The pinned root and the versions to which it leads.
async fn versions(source: &dyn Source, pin: &Pin) -> Result<Vec<TrustedRoot>, Error> {
    let mut led: Vec<TrustedRoot> = Vec::new();
    if let Pin::Root(root) = pin {
        led.push(TrustedRoot::pinned(root, root.digest)?);
    }
    let mut after = led.last().map_or(0, |root| root.root().version);
    for _ in 0..MOST_VERSIONS {
        let Roots { roots, more } = source.roots(after).await?;
        for shown in &roots {
            match led.last() {
                Some(last) => led.push(last.next(shown)?),
                None => led.extend(pin.admits(shown).transpose()?),
            }
        }
        after = after.saturating_add(u32::try_from(roots.len()).unwrap_or(u32::MAX));
        if !more || roots.is_empty() {
            break;
        }
    }
    if led.is_empty() {
        let message = match pin {
            Pin::FirstShown => "the hub has no root of trust; have one added, or sync without one",
            _ => {
                "the hub doesn't have the pinned root of trust; compare the digest with the chef's"
            }
        };
        return Err(Error::new(Kind::NotFound, message));
    }
    Ok(led)
}

pub(super) fn to_wire(frozen: chablon_store::Frozen) -> SignedBytes {
    let chablon_store::Frozen { digest, bytes, signatures } = frozen;
    SignedBytes { bytes, digest, signatures }
}

pub(super) fn to_store(frozen: &SignedBytes) -> chablon_store::Frozen {
    let SignedBytes { bytes, digest, signatures } = frozen.clone();
    chablon_store::Frozen { digest, bytes, signatures }
}
