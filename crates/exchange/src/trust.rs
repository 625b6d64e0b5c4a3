//! Whose signatures count.

use chablon_model::{Moment, View};
use chablon_store::{
    Actor, EntrySignatures, Frozen, HubError, RootCommit, RootRecord, SigningCommit,
};
use chablon_trust::{Payload, TrustError, TrustedRoot};

use crate::{Exchange, StoreFault};

/// Why a root or signatures aren't taken. Nothing of them was.
#[derive(Debug, thiserror::Error)]
pub enum TrustFault {
    /// They break a rule of trust.
    #[error(transparent)]
    Refused(#[from] TrustError),
    /// Another version of the root is next.
    #[error(
        "the next version of the root of trust is {expected}, not {found}; read the latest, then \
         make the next"
    )]
    Conflict {
        /// The version that follows.
        expected: u32,
        /// The version that was given.
        found: u32,
    },
    /// There is no root by which signatures would count.
    #[error("there is no root of trust yet; add the first version, then sign")]
    NoRoot,
    /// An entry that doesn't exist.
    #[error("the feed has no entry at position {0}")]
    UnknownEntry(u64),
    /// An entry of another history.
    #[error("the entry at position {0} has another digest; list the feed anew, then sign")]
    OtherEntry(u64),
    /// What was asked contradicts itself.
    #[error("{0}")]
    Malformed(String),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for TrustFault {
    fn from(error: HubError) -> Self {
        match error {
            HubError::RootConflict { expected, found } => Self::Conflict { expected, found },
            HubError::UnknownEntry { position } => Self::UnknownEntry(position),
            HubError::EntryMismatch { position, .. } => Self::OtherEntry(position),
            HubError::Malformed(what) => Self::Malformed(what),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl Exchange {
    /// The versions of the root after one, in order.
    pub async fn roots(&self, after: u32) -> Result<Vec<Frozen>, TrustFault> {
        let roots = self.store.roots(after).await?;
        Ok(roots.into_iter().map(|root| root.frozen).collect())
    }

    /// Adds the next version of the root; gives its version.
    pub async fn add_root(&self, root: Frozen, by: Actor, now: Moment) -> Result<u32, TrustFault> {
        let given = to_wire(&root);
        let by_itself = TrustedRoot::as_it_says(&given)?;
        let trusted = match self.trusted().await? {
            // The latest once more is no other, so repeating is safe.
            Some(latest) if latest.frozen().digest != root.digest => latest.next(&given)?,
            _ => by_itself,
        };
        let version = trusted.root().version;
        let root = RootRecord { version, frozen: root };
        self.store.add_root(RootCommit { at: now, by, root }).await?;
        Ok(version)
    }

    /// Puts signatures beside entries, where they are enough.
    pub async fn sign_entries(
        &self,
        signed: Vec<EntrySignatures>,
        by: Actor,
        now: Moment,
    ) -> Result<(), TrustFault> {
        let trusted = self.trusted().await?.ok_or(TrustFault::NoRoot)?;
        for one in &signed {
            let (payload, body) = self.body_at(one.position).await?;
            let body = Frozen { signatures: one.signatures.clone(), ..body };
            if body.digest != one.body_digest {
                return Err(TrustFault::OtherEntry(one.position));
            }
            trusted.verify_entry(payload, &to_wire(&body))?;
        }
        self.store.sign_entries(SigningCommit { at: now, by, signed }).await?;
        self.forget_recent().await;
        Ok(())
    }

    async fn body_at(&self, position: u64) -> Result<(Payload, Frozen), TrustFault> {
        let unknown = || TrustFault::UnknownEntry(position);
        let before = position.checked_sub(1).ok_or_else(unknown)?;
        let page = self.store.entries(&View::Whole, before, std::num::NonZeroU32::MIN).await?;
        let found = page.entries.into_iter().find(|entry| entry.position == position);
        let entry = found.ok_or_else(unknown)?;
        Ok((crate::read::payload(entry.kind), entry.body))
    }

    /// The latest root, if there is one. The store took it only after the one before it.
    async fn trusted(&self) -> Result<Option<TrustedRoot>, TrustFault> {
        let ground = self.store.ground(&View::Whole, &[]).await?;
        Ok(ground.root.as_ref().map(trusted).transpose()?)
    }

    /// Refuses bodies that the release keys of the latest root didn't sign. Without a root all are
    /// good.
    pub(crate) async fn check_signed(
        &self,
        payload: Payload,
        bodies: &[Frozen],
    ) -> Result<(), TrustFault> {
        let ground = self.store.ground(&View::Whole, &[]).await?;
        check_signed_by(ground.root.as_ref(), payload, bodies)
    }
}

/// The same where the latest root is at hand.
pub(crate) fn check_signed_by(
    root: Option<&RootRecord>,
    payload: Payload,
    bodies: &[Frozen],
) -> Result<(), TrustFault> {
    let Some(root) = root else { return Ok(()) };
    let root = trusted(root)?;
    Ok(bodies.iter().try_for_each(|body| root.verify_entry(payload, &to_wire(body)))?)
}

fn trusted(root: &RootRecord) -> Result<TrustedRoot, StoreFault> {
    TrustedRoot::as_it_says(&to_wire(&root.frozen)).map_err(|error| {
        StoreFault::unreadable(&format!("version {} of the root", root.version), &error)
    })
}

pub(crate) fn to_wire(frozen: &Frozen) -> chablon_wire::Frozen {
    let Frozen { digest, bytes, signatures } = frozen.clone();
    chablon_wire::Frozen { bytes, digest, signatures }
}
