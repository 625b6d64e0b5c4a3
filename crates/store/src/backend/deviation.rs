//! Whether a deviation fits what a hub holds.

use chablon_model::{Decision, Digest, DocumentKey, SiteId};

use super::check_frozen;
use crate::{AskCommit, DecisionCommit, HubError};

/// What a store must look up before it takes a decision.
#[derive(Clone, Debug)]
pub struct KnownToDecide {
    /// The site that asked.
    pub site: SiteId,
    /// The recipe that it was asked of.
    pub recipe: DocumentKey,
    /// The digest of the last that was said of it.
    pub latest: Digest,
    /// Whether an entry about the recipe has these very bytes, and there is a root of trust.
    pub recorded: bool,
}

/// Whether what is asked is whole in itself.
///
/// # Errors
/// [`HubError::Malformed`], [`HubError::DigestMismatch`].
pub fn check_ask(commit: &AskCommit) -> Result<(), HubError> {
    let id = &commit.deviation.id;
    if commit.deviation.decision != Decision::Asked {
        return Err(HubError::Malformed(format!("deviation `{id}` is decided as it is asked for")));
    }
    check_frozen(|| format!("deviation `{id}`"), &commit.body)
}

/// Whether a decision is whole in itself.
///
/// # Errors
/// [`HubError::Malformed`], [`HubError::DigestMismatch`].
pub fn check_decision(commit: &DecisionCommit) -> Result<(), HubError> {
    let id = &commit.deviation.id;
    if commit.deviation.decision == Decision::Asked {
        return Err(HubError::Malformed(format!(
            "the decision on deviation `{id}` decides nothing"
        )));
    }
    check_frozen(|| format!("the decision on deviation `{id}`"), &commit.body)
}

/// Whether what was asked under an id before is what is asked now.
///
/// # Errors
/// [`HubError::DeviationExists`].
pub fn asked_again(commit: &AskCommit, before: Digest) -> Result<(), HubError> {
    if before == commit.body.digest {
        Ok(())
    } else {
        Err(HubError::DeviationExists(commit.deviation.id.clone()))
    }
}

/// Whether a decision fits what was asked, and is of what is known now.
///
/// # Errors
/// [`HubError::UnknownDeviation`], [`HubError::Malformed`], [`HubError::DeviationDecided`].
pub fn fits_decision(
    commit: &DecisionCommit,
    known: Option<KnownToDecide>,
) -> Result<(), HubError> {
    let deviation = &commit.deviation;
    let id = || deviation.id.clone();
    let known = known.ok_or_else(|| HubError::UnknownDeviation(id()))?;
    if (&known.site, &known.recipe) != (&deviation.site, &deviation.based_on.key) {
        let what = format!("deviation `{}` was asked by another site or of another recipe", id());
        return Err(HubError::Malformed(what));
    }
    if known.latest != commit.seen {
        return Err(HubError::DeviationDecided(id()));
    }
    // A reader takes a signed decision once: whoever could repeat it could undo what came after.
    if known.recorded {
        let what = format!(
            "this very decision on deviation `{}` was recorded before; state another moment",
            id()
        );
        return Err(HubError::Malformed(what));
    }
    Ok(())
}
