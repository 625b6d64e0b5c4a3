//! Whom a change of allergens reaches, by what is in force where.

use std::collections::BTreeSet;

use chablon_model::{DocumentContent, DocumentKind, RecipeId, RevisionRef, SiteId, View};
use chablon_wire::StandardState;
use futures::TryStreamExt;

use super::Client;
use crate::Error;
use crate::declared::{AllergenReach, allergen_reach};

impl Client {
    /// What the hub has: the content of the latest revision of every document.
    ///
    /// # Errors
    /// [`Error::is_unsupported`] where something newer wrote one of them; what stands between here
    /// and the hub.
    pub async fn latest(&self) -> Result<Vec<DocumentContent>, Error> {
        let latest: Vec<RevisionRef> = self.documents(&View::Whole).try_collect().await?;
        self.contents(&latest).await
    }

    /// What the changes of allergens of a book against the hub's latest revisions reach: every
    /// recipe, and every kitchen in which one of them is in force now.
    ///
    /// # Errors
    /// As [`Client::latest`].
    pub async fn allergen_reach(
        &self,
        documents: &[DocumentContent],
    ) -> Result<Vec<AllergenReach>, Error> {
        let latest = self.latest().await?;
        let mut reached = allergen_reach(&latest, documents);
        for one in &mut reached {
            one.sites.clear();
        }
        let sites = latest.iter().filter_map(|content| match content {
            DocumentContent::Site(site) => Some(&site.id),
            _ => None,
        });
        for site in sites {
            let in_force = self.recipes_in_force(site).await?;
            for one in &mut reached {
                let its: BTreeSet<RecipeId> =
                    one.recipes.keys().filter(|id| in_force.contains(*id)).cloned().collect();
                if !its.is_empty() {
                    one.sites.insert(site.clone(), its);
                }
            }
        }
        Ok(reached)
    }

    async fn recipes_in_force(&self, site: &SiteId) -> Result<BTreeSet<RecipeId>, Error> {
        let standards = self.standards(site, Some(DocumentKind::Recipe), None);
        let in_force = standards.try_filter_map(|one| async move {
            let is_in_force = matches!(one.state, StandardState::InForce(_));
            Ok(one.document.id.as_str().parse().ok().filter(|_| is_in_force))
        });
        in_force.try_collect().await
    }
}
