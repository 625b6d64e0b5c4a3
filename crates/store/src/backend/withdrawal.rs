//! Whether a withdrawal fits what a hub holds.

use chablon_model::{NextStep, RevisionRef, Withdrawal};

use super::check_frozen;
use crate::{HubError, WithdrawalCommit};

/// What a store must look up before it takes a withdrawal.
#[derive(Clone, Copy, Debug)]
pub struct KnownToWithdraw {
    /// Whether the withdrawn revision was ever released.
    pub released: bool,
    /// Whether the revision to go back to is stored; true when there is none.
    pub target_held: bool,
    /// Whether an entry about the document has these very bytes, and there is a root of trust.
    pub recorded: bool,
}

/// Whether a commit is whole in itself.
///
/// # Errors
/// [`HubError::Malformed`], [`HubError::DigestMismatch`].
pub fn check_withdrawal(commit: &WithdrawalCommit) -> Result<(), HubError> {
    let Withdrawal { revision, next, .. } = &commit.withdrawal;
    let malformed = |what: String| Err(HubError::Malformed(what));
    match next {
        NextStep::GoBackTo(target) if target.key != revision.key => malformed(format!(
            "a withdrawal of `{}` can't go back to `{}`; name an earlier revision of the same",
            revision.key, target.key
        )),
        NextStep::GoBackTo(target) if target == revision => {
            malformed(format!("a withdrawal of `{}` goes back to what it withdraws", revision.key))
        }
        _ => check_frozen(|| format!("the withdrawal of `{}`", revision.key), &commit.body),
    }
}

/// Whether a withdrawal fits what is stored.
///
/// # Errors
/// [`HubError::NotReleased`], [`HubError::MissingRevision`], [`HubError::Malformed`].
pub fn fits_withdrawal(withdrawal: &Withdrawal, known: KnownToWithdraw) -> Result<(), HubError> {
    let boxed = |reference: &RevisionRef| Box::new(reference.clone());
    match &withdrawal.next {
        _ if !known.released => Err(HubError::NotReleased(boxed(&withdrawal.revision))),
        NextStep::GoBackTo(target) if !known.target_held => {
            Err(HubError::MissingRevision(boxed(target)))
        }
        // A reader takes a signed notice once: whoever could repeat it could undo what came after.
        _ if known.recorded => Err(HubError::Malformed(format!(
            "this very withdrawal of `{}` was recorded before; state another moment or reason",
            withdrawal.revision.key
        ))),
        _ => Ok(()),
    }
}
