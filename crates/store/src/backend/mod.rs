//! What all stores decide alike: for those who write a store, not for those who use one.
//!
//! A store looks up what a change refers to, inside the transaction, and asks here whether the
//! change fits. So two databases can't differ in what they refuse, nor in which reason they give
//! first. Whatever needs no look-up is checked before the transaction, which keeps hashing out of
//! it.

mod access;
mod catch_up;
mod compaction;
mod deviation;
mod draft;
mod release;
mod signatures;
mod spoken;
mod trust;
mod withdrawal;

pub use access::{Verdict, check_enrolment, fits_account, judge, same_request, same_secret};
pub use catch_up::{
    Held, changed_revision, check_catch_up, check_revisions, check_stored, check_trusted,
    check_whole, documents, lost_revision, needs,
};
pub use compaction::check_compaction;
pub use deviation::{KnownToDecide, asked_again, check_ask, check_decision, fits_decision};
pub use draft::{after_release, after_step, check_step, step_repeated};
pub use release::{KnownToRelease, check_release, new_revisions};
pub use signatures::{signatures_from_bytes, signatures_to_bytes};
pub use spoken::{Spoken, carried_over};
pub use trust::{check_root, check_signed, newer_root, newest};
pub use withdrawal::{KnownToWithdraw, check_withdrawal, fits_withdrawal};

use crate::{Committed, Frozen, HubError, Request};
use chablon_model::Digest;

/// The answer to a request that was carried out before.
///
/// # Errors
/// [`HubError::RequestIdReused`] when it had other content then.
pub fn repeated(
    request: &Request,
    digest: Digest,
    before: Committed,
) -> Result<Committed, HubError> {
    if digest == request.digest {
        Ok(Committed { repeated: true, ..before })
    } else {
        Err(HubError::RequestIdReused(request.id.clone()))
    }
}

/// Whether an acknowledgement is about the entry that stands at its position.
///
/// # Errors
/// [`HubError::EntryMismatch`].
pub fn check_ack(position: u64, stated: Digest, stored: Digest) -> Result<(), HubError> {
    if stated == stored {
        Ok(())
    } else {
        Err(HubError::EntryMismatch { position, stated, stored })
    }
}

fn check_frozen(what: impl FnOnce() -> String, frozen: &Frozen) -> Result<(), HubError> {
    if frozen.holds() {
        return Ok(());
    }
    let computed = crate::digest_of(&frozen.bytes);
    Err(HubError::DigestMismatch { what: what(), stated: frozen.digest, computed })
}
