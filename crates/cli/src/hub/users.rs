//! Which recipes are made with a revision.

use std::collections::BTreeSet;

use chablon_model::{Digest, DocumentKind, RevisionRef, View};
use chablon_sdk::{Client, Error, StandardState};
use futures::TryStreamExt;

use crate::failure::Failure;

/// The recipes in force at some site that use this revision, directly or by way of others.
pub(crate) async fn users_of(
    client: &Client,
    used: &RevisionRef,
) -> Result<Vec<RevisionRef>, Failure> {
    let pins = pins(client).await.map_err(|error| {
        Failure::of(&error, "it isn't known what is made with it, and nothing was withdrawn")
    })?;
    let mut reached = BTreeSet::from([used.digest]);
    let mut users = BTreeSet::new();
    loop {
        let before = users.len();
        for (recipe, digests) in &pins {
            if digests.iter().any(|digest| reached.contains(digest)) {
                reached.insert(recipe.digest);
                users.insert(recipe.clone());
            }
        }
        if users.len() == before {
            return Ok(users.into_iter().collect());
        }
    }
}

/// Every recipe revision in force at some site, with the digests that it pins.
async fn pins(client: &Client) -> Result<Vec<(RevisionRef, Vec<Digest>)>, Error> {
    let mut in_force = BTreeSet::new();
    for site in client.sites().await? {
        let standards = client.standards(&site.id, Some(DocumentKind::Recipe), None);
        let standards: Vec<_> = standards.try_collect().await?;
        in_force.extend(standards.into_iter().filter_map(|one| match one.state {
            StandardState::InForce(in_force) => Some(in_force.revision.digest),
            StandardState::Stopped(_) => None,
        }));
    }
    let mut revisions = client.revisions(&View::Whole, in_force);
    let mut pins = Vec::new();
    while let Some(frozen) = revisions.try_next().await? {
        let pinned = frozen.read()?.pins.iter().map(|pin| pin.digest).collect();
        pins.push((frozen.reference().clone(), pinned));
    }
    Ok(pins)
}
