//! Gathering what a figure is computed from.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use chablon_arith::Demand;
use chablon_change::Caution;
use chablon_model::{
    Book, Closure, ClosureBuilder, Digest, DocumentContent, DocumentKey, DocumentKind, Moment,
    PriceList, RecipeId, Revision, RevisionRef, Site, SiteId, View,
};
use chablon_store::{FeedEntry, StoredRevision};
use chablon_wire::{InForce, Standard, StandardState, TakenBack, WireError, decode_revision};

use super::deviated::Deviated;
use super::together::{Standing, together};
use super::{FigureError, FigureQuery, Grounds, Read};
use crate::read::entries;
use crate::{Exchange, ReadError, StoreFault};

/// How many stored revisions are read at a time.
const STEP: usize = 64;

/// The most price lists that count for a site.
const MAX_LISTS: NonZeroU32 = NonZeroU32::new(10_000).unwrap();

/// Whose standards count, when, and up to which position of the feed.
pub(crate) struct Place {
    pub(crate) site: SiteId,
    pub(crate) view: View,
    pub(crate) at: Moment,
    pub(crate) by: u64,
}

/// What stands around every recipe of a site.
pub(super) struct Around {
    pub(super) site: Read<Site>,
    pub(super) settings: Option<Read<Book>>,
    pub(super) lists: Vec<Read<PriceList>>,
}

impl Around {
    /// The group's settings, without which nothing can be costed.
    pub(super) fn settings(&self) -> Result<&Book, FigureError> {
        self.settings.as_ref().map(|settings| &settings.value).ok_or_else(no_settings)
    }
}

pub(super) fn no_settings() -> FigureError {
    let message = "no settings of the group are in force; release them first".to_owned();
    FigureError::NotComputable { of: None, message }
}

impl Exchange {
    pub(super) async fn grounds(&self, query: &FigureQuery) -> Result<Grounds, FigureError> {
        let FigureQuery { site, demands, at } = query;
        let place = self.place(site, *at).await?;
        let mut standards: Vec<Standing> = Vec::with_capacity(demands.len());
        for Demand { recipe, .. } in demands {
            if standards.iter().all(|known| known.recipe != *recipe) {
                let document = DocumentKey::from(recipe);
                let in_force = self.recipe_in_force(&place, &document).await?;
                standards.push(self.standard_of(&place, recipe, in_force).await?);
            }
        }
        let Standing { closure, laid: deviations, cautions, .. } = together(standards)?;
        let around = self.around(&place).await?;
        Ok(Grounds { closure, around, deviations, cautions })
    }

    /// A site at a moment, by what the feed says now.
    pub(super) async fn place(&self, site: &SiteId, at: Moment) -> Result<Place, FigureError> {
        let view = View::Site(site.clone());
        self.known(&view).await?;
        let by = self.store.state().await.map_err(ReadError::from)?.position;
        Ok(Place { site: site.clone(), view, at, by })
    }

    /// What stands around every recipe of a site: what it weighs with, and what things cost.
    pub(super) async fn around(&self, place: &Place) -> Result<Around, FigureError> {
        let site = self.own_site(place).await?;
        let mut around = Around { site, settings: None, lists: Vec::new() };
        for document in self.surroundings(place).await? {
            match self.found(place, &document).await? {
                Some((digest, DocumentContent::Book(value))) => {
                    around.settings = Some(Read { digest, value });
                }
                Some((digest, DocumentContent::Prices(value))) => {
                    around.lists.push(Read { digest, value });
                }
                _ => {}
            }
        }
        Ok(around)
    }

    /// What is in force of a recipe, with what the site makes otherwise.
    pub(super) async fn standard_of(
        &self,
        place: &Place,
        recipe: &RecipeId,
        in_force: InForce,
    ) -> Result<Standing, FigureError> {
        let InForce { revision, because, .. } = in_force;
        let (closure, pinned) = self.closure_of(&revision).await?;
        let history = self.history_of(place, &pinned).await?;
        let said = entries(&history, &place.view).map_err(ReadError::from)?;
        let deviated = self.deviated(place, closure, &pinned, &history, &said).await?;
        let Deviated { closure, at_site } = deviated;
        let mut cautions: Vec<Caution> = because.into_iter().map(went_back).collect();
        cautions.extend(Caution::of_pinned(&said, &pinned, place.at));
        cautions.extend(at_site.notices.into_iter().map(Caution::DeviationLeftOut));
        Ok(Standing { recipe: recipe.clone(), closure, laid: at_site.laid, cautions })
    }

    pub(super) async fn recipe_in_force(
        &self,
        place: &Place,
        document: &DocumentKey,
    ) -> Result<InForce, FigureError> {
        match self.standing(&place.view, document, place.at, place.by).await? {
            Some(Standard { state: StandardState::InForce(in_force), .. }) => Ok(in_force),
            Some(Standard { document, state: StandardState::Stopped(because) }) => {
                let (site, reason) = (place.site.clone(), because.reason);
                Err(FigureError::Withdrawn { document, site, reason })
            }
            None => Err(self.nothing_in_force(&place.site, document, place.at).await?.into()),
        }
    }

    async fn own_site(&self, place: &Place) -> Result<Read<Site>, FigureError> {
        let document = DocumentKey::from(&place.site);
        let found = self.found(place, &document).await?;
        if let Some((digest, DocumentContent::Site(value))) = found {
            return Ok(Read { digest, value });
        }
        Err(self.nothing_in_force(&place.site, &document, place.at).await?.into())
    }

    /// The group's settings and the price lists that the site may see.
    async fn surroundings(&self, place: &Place) -> Result<Vec<DocumentKey>, FigureError> {
        let mut documents = Vec::new();
        for kind in [DocumentKind::Book, DocumentKind::Prices] {
            let heads = self.heads(&place.view, Some(kind), None, MAX_LISTS).await?;
            documents.extend(heads.documents.into_iter().map(|head| head.key));
        }
        Ok(documents)
    }

    /// What is in force of a document, where something is.
    pub(super) async fn found(
        &self,
        place: &Place,
        document: &DocumentKey,
    ) -> Result<Option<(Digest, DocumentContent)>, FigureError> {
        let standing = self.standing(&place.view, document, place.at, place.by).await?;
        let Some(Standard { state: StandardState::InForce(in_force), .. }) = standing else {
            return Ok(None);
        };
        let stored = self.stored(&in_force.revision).await?;
        Ok(Some((stored.reference.digest, read(&stored)?.content)))
    }

    /// What a revision is computed from, along its pins.
    pub(crate) async fn closure_of(
        &self,
        root: &RevisionRef,
    ) -> Result<(Closure, Vec<RevisionRef>), FigureError> {
        let reached = self.store.closure(&[root.digest]).await.map_err(ReadError::from)?;
        let digests: Vec<Digest> = reached.iter().map(|one| one.digest).collect();
        let mut revisions: BTreeMap<Digest, Revision> = BTreeMap::new();
        for step in digests.chunks(STEP) {
            for stored in self.held(step).await.map_err(ReadError::from)? {
                revisions.insert(stored.reference.digest, read(&stored)?);
            }
        }
        Ok((closure(root, revisions)?, reached))
    }

    /// The entries about any of these revisions' documents, by position.
    async fn history_of(
        &self,
        place: &Place,
        pinned: &[RevisionRef],
    ) -> Result<Vec<FeedEntry>, FigureError> {
        let mut history: BTreeMap<u64, FeedEntry> = BTreeMap::new();
        for pin in pinned {
            let about = self.store.history(&place.view, &pin.key).await.map_err(ReadError::from)?;
            history.extend(about.into_iter().map(|entry| (entry.position, entry)));
        }
        history.retain(|position, _| *position <= place.by);
        Ok(history.into_values().collect())
    }
}

/// Follows the pins from a revision. A release is only taken if they lead somewhere, and to one
/// revision of each document.
fn closure(
    root: &RevisionRef,
    mut revisions: BTreeMap<Digest, Revision>,
) -> Result<Closure, StoreFault> {
    let broken = |what: String| StoreFault::Damaged(what);
    let mut builder = ClosureBuilder::new([root.clone()]).map_err(|e| broken(e.to_string()))?;
    loop {
        let wanted = builder.wanted();
        for reference in &wanted {
            let lost = || broken(format!("revision `{}` is gone", reference.digest));
            let revision = revisions.remove(&reference.digest).ok_or_else(lost)?;
            builder.add(reference, revision).map_err(|error| broken(error.to_string()))?;
        }
        if wanted.is_empty() {
            return Ok(builder.finish().unwrap_or_default());
        }
    }
}

/// What a stored revision says.
fn read(stored: &StoredRevision) -> Result<Revision, FigureError> {
    let document = stored.reference.key.clone();
    decode_revision(&stored.bytes).map_err(|error| match error {
        WireError::UnsupportedFeature { feature, .. } => {
            FigureError::Unsupported { document, feature }
        }
        WireError::UnsupportedSchema { version, .. } => {
            FigureError::Unsupported { document, feature: format!("schema-version-{version}") }
        }
        other => StoreFault::unreadable(&format!("revision `{}`", stored.reference.digest), &other)
            .into(),
    })
}

/// What is said of a standard that a withdrawal went back to.
fn went_back(because: TakenBack) -> Caution {
    let TakenBack { withdrawn, reason, author, .. } = because;
    Caution::WentBack { withdrawn, reason, author }
}
