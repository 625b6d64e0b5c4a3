//! Joining by a code.

use chablon_model::{ActorName, Digest, Role, SiteId};
use subtle::ConstantTimeEq as _;

use crate::access::MAX_FAILURES;
use crate::{AccessRefusal, Account, Attempt, Enrolment, HubError, NewEnrolment, RequestId};

/// Whether two digests of secrets are equal.
///
/// In a time that doesn't depend on where they differ. What leaked otherwise would be little use:
/// nobody can steer a digest towards a stored one. But that costs nothing here, and then need not be
/// argued anew for each use.
pub fn same_secret(one: &Digest, other: &Digest) -> bool {
    one.0.ct_eq(&other.0).into()
}

/// Whether an enrolment is coherent in itself.
///
/// # Errors
/// [`HubError::Malformed`].
pub fn check_enrolment(commit: &NewEnrolment) -> Result<(), HubError> {
    if !commit.role.fits(commit.site.as_ref()) {
        let wanted = if commit.role == Role::Kitchen { "belongs to a site" } else { "has no site" };
        return Err(HubError::Malformed(format!("a {} {wanted}", commit.role)));
    }
    if commit.expires_at <= commit.at || commit.token_expires_at.is_some_and(|at| at <= commit.at) {
        return Err(HubError::Malformed("what is given must be good for a while".to_owned()));
    }
    Ok(())
}

/// Whether the account that has the name is the one that is meant.
///
/// # Errors
/// [`AccessRefusal::NameTaken`], [`AccessRefusal::ShutOut`].
pub fn fits_account(
    found: &Account,
    name: &ActorName,
    role: Role,
    site: Option<&SiteId>,
) -> Result<(), AccessRefusal> {
    if found.revoked_at.is_some() {
        return Err(AccessRefusal::ShutOut(name.clone()));
    }
    let same = found.role == role && found.site.as_ref() == site;
    if same { Ok(()) } else { Err(AccessRefusal::NameTaken(name.clone())) }
}

/// Whether a request that was carried out before is the same.
///
/// # Errors
/// [`HubError::RequestIdReused`].
pub fn same_request(id: &RequestId, digest: Digest, stored: Digest) -> Result<(), HubError> {
    if digest == stored { Ok(()) } else { Err(HubError::RequestIdReused(id.clone())) }
}

/// What becomes of an attempt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The code is spent, and the token kept.
    Join,
    /// It was done before.
    Again,
    /// Nothing is done.
    Refused(AccessRefusal),
    /// Nothing is done, and the failure counted.
    Counted(AccessRefusal),
}

/// What becomes of an attempt to join by a code. Whatever else is wrong with a code is told only to
/// those who have its secret.
pub fn judge(found: &Enrolment, account: &Account, attempt: &Attempt) -> Verdict {
    if account.revoked_at.is_some() {
        return Verdict::Refused(AccessRefusal::CodeUnknown);
    }
    if found.failures >= MAX_FAILURES {
        return Verdict::Refused(AccessRefusal::CodeVoid);
    }
    if !same_secret(&found.code_digest, &attempt.code_digest) {
        return Verdict::Counted(AccessRefusal::CodeUnknown);
    }
    match &found.spent_for {
        Some(token) if *token == attempt.token => Verdict::Again,
        Some(_) => Verdict::Refused(AccessRefusal::CodeSpent),
        None if found.expires_at <= attempt.at => {
            Verdict::Refused(AccessRefusal::CodeExpired { expired_at: found.expires_at })
        }
        None => Verdict::Join,
    }
}
