//! Withdrawing: a released revision is taken back.

use chablon_model::{
    Audience, DocumentKey, EntryBody, Manifest, Moment, NextStep, RevisionRef, SiteId, View,
    Visibility, Withdrawal,
};
use chablon_store::{
    Actor, Epoch, Frozen, HubError, Request, RequestId, SiteRecord, WithdrawalCommit, digest_of,
};
use chablon_trust::{Payload, TrustError};
use chablon_wire::decode_withdrawal;

use crate::bodies::{BodyError, content, read};
use crate::read::says;
use crate::{Exchange, StoreFault, TrustFault, blocking};

/// Why a withdrawal wasn't made.
#[derive(Debug, thiserror::Error)]
pub enum WithdrawalError {
    /// The notice is refused by itself.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// A revision was never released to anyone that the notice addresses.
    #[error(
        "revision {} of `{}` was never released to anyone that this notice addresses",
        .0.number,
        .0.key
    )]
    NeverReleased(Box<RevisionRef>),
    /// The notice tells others of a site's own document.
    #[error("`{document}` is for site `{site}` alone; address that site and nobody else")]
    TooWide {
        /// The document.
        document: DocumentKey,
        /// The site whose own it is.
        site: SiteId,
    },
    /// The request's id was used with other content.
    #[error("request id `{0}` was used with other content; choose a new one")]
    RequestIdReused(RequestId),
    /// It isn't signed as the group's root wants it.
    #[error(transparent)]
    Untrusted(TrustError),
    /// The store refused the change for a reason that was not foreseen here.
    #[error("{0}")]
    Refused(String),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for WithdrawalError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::NotReleased(reference) | HubError::MissingRevision(reference) => {
                Self::NeverReleased(reference)
            }
            HubError::RequestIdReused(request) => Self::RequestIdReused(request),
            HubError::Malformed(what) => Self::Refused(what),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl From<TrustFault> for WithdrawalError {
    fn from(fault: TrustFault) -> Self {
        match fault {
            TrustFault::Refused(error) => Self::Untrusted(error),
            TrustFault::Store(fault) => Self::Store(fault),
            other => Self::Refused(other.to_string()),
        }
    }
}

/// A withdrawal as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WithdrawalRequest {
    /// The client's name for the request, by which it may be repeated.
    pub request_id: RequestId,
    /// The notice.
    pub notice: Frozen,
}

impl WithdrawalRequest {
    fn request(&self) -> Request {
        let content = format!("withdrawal 1\n{}", content(&self.notice));
        Request { id: self.request_id.clone(), digest: digest_of(content.as_bytes()) }
    }
}

/// A withdrawal that was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withdrawn {
    /// The history of the feed.
    pub epoch: Epoch,
    /// Its position.
    pub position: u64,
}

impl Exchange {
    /// Takes a released revision back.
    ///
    /// The same request may be sent again; it gets the first answer.
    pub async fn withdraw(
        &self,
        request: WithdrawalRequest,
        by: Option<Actor>,
        now: Moment,
    ) -> Result<Withdrawn, WithdrawalError> {
        let (request, withdrawal) = blocking(move || {
            let withdrawal = read("notice", &request.notice, decode_withdrawal)?;
            Ok::<_, WithdrawalError>((request, withdrawal))
        })
        .await?;
        self.check_signed(Payload::Withdrawal, std::slice::from_ref(&request.notice)).await?;
        self.check_secrecy(&withdrawal).await?;
        self.check_released(&withdrawal).await?;
        let name = request.request();
        // Who calls an open hub without a name is taken for whom the notice names.
        let stated = || Actor { name: withdrawal.author.clone(), role: None };
        let by = by.unwrap_or_else(stated);
        let body = request.notice;
        let commit = WithdrawalCommit { request: name, at: now, by, withdrawal, body };
        let committed = self.store.withdraw(commit).await?;
        Ok(Withdrawn { epoch: committed.epoch, position: committed.first_position })
    }

    /// Refuses to tell others of a site's own document. They couldn't fetch what to go back to, and
    /// have no business knowing that it exists.
    async fn check_secrecy(&self, withdrawal: &Withdrawal) -> Result<(), WithdrawalError> {
        let Withdrawal { revision, audience, .. } = withdrawal;
        let stored = self.held(&[revision.digest]).await?.pop();
        match stored.map(|stored| stored.visible_to) {
            Some(Visibility::Site(site)) if *audience != Audience::site(site.clone()) => {
                Err(WithdrawalError::TooWide { document: revision.key.clone(), site })
            }
            _ => Ok(()),
        }
    }

    /// Refuses to withdraw, or to go back to, what was never released to any of the addressed.
    async fn check_released(&self, withdrawal: &Withdrawal) -> Result<(), WithdrawalError> {
        let history = self.store.history(&View::Whole, &withdrawal.revision.key).await?;
        let mut releases: Vec<Manifest> = Vec::new();
        for entry in &history {
            if let EntryBody::Release(manifest) = says(entry)? {
                releases.push(manifest);
            }
        }
        let sites = self.store.sites().await?;
        releases.retain(|release| overlap(&release.audience, &withdrawal.audience, &sites));
        let target = match &withdrawal.next {
            NextStep::GoBackTo(target) => Some(target),
            NextStep::MakeNone => None,
        };
        for named in [Some(&withdrawal.revision), target].into_iter().flatten() {
            if !releases.iter().any(|release| release.items.contains(named)) {
                return Err(WithdrawalError::NeverReleased(Box::new(named.clone())));
            }
        }
        Ok(())
    }
}

/// Whether two audiences have a site in common, one that is known or one that may join a group.
fn overlap(one: &Audience, other: &Audience, sites: &[SiteRecord]) -> bool {
    let (
        Audience::Of { groups, sites: named },
        Audience::Of { groups: others, sites: named_there },
    ) = (one, other)
    else {
        return true;
    };
    let both = |record: &SiteRecord| {
        [one, other].iter().all(|audience| audience.addresses(&record.site, &record.groups))
    };
    !groups.is_disjoint(others) || !named.is_disjoint(named_there) || sites.iter().any(both)
}
