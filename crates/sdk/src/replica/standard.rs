//! A standard in force at a site, with all that its figures are computed from.

use std::collections::BTreeMap;

use chablon_arith::{Demand, Library, Target};
use chablon_declare::allergens::AllergenDeclaration;
use chablon_model::{
    Book, Closure, ClosureBuilder, Day, Digest, DocumentContent, DocumentKey, DocumentKind, Entry,
    Ingredient, IngredientId, Moment, PriceList, Recipe, RecipeId, Revision, RevisionRef, Site,
    Standing, in_force, standings,
};
use chablon_store::HeldRevision;
use chablon_wire::{InForce, Standard as Listed, StandardState, TakenBack};

use super::Replica;
use crate::declared::{Balanced, Declared, Declaring};
use crate::error::Kind;
use crate::figures::{Caution, Costing, Kitchen, Known, Laid, Plan};
use crate::{Error, FrozenRevision, Reason};

/// A recipe's standard as it is in force at a site at a moment, ready to be made from.
#[derive(Clone, Debug)]
pub struct Standard {
    id: RecipeId,
    in_force: InForce,
    pub(super) closure: Closure,
    site: Option<Read<Site>>,
    settings: Option<Read<Book>>,
    lists: Vec<Read<PriceList>>,
    deviations: Vec<Laid>,
    cautions: Vec<Caution>,
}

/// What a document says, with the digest of the revision that says so.
#[derive(Clone, Debug)]
struct Read<T> {
    digest: Digest,
    value: T,
}

impl<T> Read<T> {
    fn known(&self) -> Known<'_, T> {
        Known { digest: self.digest, value: &self.value }
    }
}

impl Standard {
    /// Which revision it is.
    pub fn revision(&self) -> &RevisionRef {
        &self.in_force.revision
    }

    /// How it came to be in force: by which release, since when, why; and by which withdrawal,
    /// where one went back to it.
    pub fn in_force(&self) -> &InForce {
        &self.in_force
    }

    /// The recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.closure.recipes[&self.id]
    }

    /// The recipe and all that it uses, as its release pinned them and as its deviations have them.
    pub fn recipes(&self) -> &BTreeMap<RecipeId, Recipe> {
        &self.closure.recipes
    }

    /// The ingredients of all those recipes, as its release pinned them.
    pub fn ingredients(&self) -> &BTreeMap<IngredientId, Ingredient> {
        &self.closure.ingredients
    }

    /// The site's own description.
    pub fn site(&self) -> Option<&Site> {
        self.site.as_ref().map(|site| &site.value)
    }

    /// The group's settings.
    pub fn settings(&self) -> Option<&Book> {
        self.settings.as_ref().map(|settings| &settings.value)
    }

    /// The site's deviations that lie over it. The recipes are as the site makes them.
    pub fn deviations(&self) -> &[Laid] {
        &self.deviations
    }

    /// What the kitchen must be told before it makes it. Every plan and costing carries them too.
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }

    /// What to weigh for a demand, with the site's bowls and scales.
    ///
    /// # Errors
    /// [`Error::is_not_computable`]. [`Error::is_not_found`] where the site's own description isn't
    /// in force, so that its bowls and scales aren't known.
    pub fn scale(&self, target: &Target) -> Result<Plan, Error> {
        self.kitchen()?.scale(&[self.demand(target)])
    }

    /// What a demand costs at the site by the prices of a day.
    ///
    /// # Errors
    /// As [`Standard::scale`].
    pub fn cost(&self, target: &Target, on: Day) -> Result<Costing, Error> {
        self.kitchen()?.cost(&[self.demand(target)], on)
    }

    /// What is in the recipe: allergens, content, labels, ingredient lists, control points.
    ///
    /// # Errors
    /// As [`Standard::scale`].
    pub fn declare(&self, how: &Declaring) -> Result<Declared, Error> {
        self.kitchen()?.declare(&self.id, how)
    }

    /// The state of every allergen in the recipe, and why.
    ///
    /// # Errors
    /// As [`Standard::scale`].
    pub fn allergens(&self) -> Result<Vec<AllergenDeclaration>, Error> {
        self.kitchen()?.allergens(&self.id)
    }

    /// The balance of the recipe: its parts, ratios, sweetness and water activity.
    ///
    /// # Errors
    /// As [`Standard::scale`].
    pub fn balance(&self) -> Result<Balanced, Error> {
        self.kitchen()?.balance(&self.id)
    }

    fn demand(&self, target: &Target) -> Demand {
        Demand::new(self.id.clone(), target.clone())
    }

    /// All that its figures are computed from.
    pub(super) fn kitchen(&self) -> Result<Kitchen<'_>, Error> {
        let unknown = || {
            let message = "nothing of the site's own description is in force by then, so its bowls \
                           and scales aren't known";
            Error::new(Kind::NotFound, message).with_reason(Some(Reason::NotInForce))
        };
        let site = self.site.as_ref().ok_or_else(unknown)?;
        Ok(Kitchen {
            library: Library::new(self.closure.ingredients.values(), self.closure.recipes.values()),
            digests: self.closure.digests.clone(),
            site: Some(site.known()),
            settings: self.settings.as_ref().map(Read::known),
            lists: self.lists.iter().map(Read::known).collect(),
            deviations: self.deviations.clone(),
            cautions: self.cautions.clone(),
        })
    }
}

impl Replica {
    /// What is in force of a recipe at a moment, with all that its figures are computed from. The
    /// hub need not be there.
    ///
    /// # Errors
    /// [`Error::stopped`] where it was withdrawn and none is to be made. [`Error::is_not_found`]
    /// where nothing of it is in force yet. [`Error::is_unsupported`] where this program is too old
    /// to read it. [`Error::is_damaged`]: [`rebuild`](Self::rebuild) the replica.
    pub async fn standard(&self, recipe: &RecipeId, at: Moment) -> Result<Standard, Error> {
        let stored = self.store.entries().await.map_err(Error::of_store)?;
        let entries = self.read(&stored)?;
        let in_force = self.in_force(&entries, recipe, at)?;
        let (closure, references) = self.closure(&in_force.revision).await?;
        let (closure, at_site) = self.deviated(closure, &references, &stored, at).await?;
        let around = self.around(&entries, at).await?;
        let mut standard = Standard {
            id: recipe.clone(),
            cautions: (in_force.because.iter().map(went_back))
                .chain(Caution::of_pinned(&entries, &references, at))
                .chain(at_site.notices.into_iter().map(Caution::DeviationLeftOut))
                .collect(),
            deviations: at_site.laid,
            in_force,
            closure,
            site: None,
            settings: None,
            lists: Vec::new(),
        };
        for (digest, content) in around {
            match content {
                DocumentContent::Site(value) => standard.site = Some(Read { digest, value }),
                DocumentContent::Book(value) => standard.settings = Some(Read { digest, value }),
                DocumentContent::Prices(value) => standard.lists.push(Read { digest, value }),
                DocumentContent::Ingredient(_) | DocumentContent::Recipe(_) => {}
            }
        }
        Ok(standard)
    }

    fn in_force(&self, entries: &[Entry], recipe: &RecipeId, at: Moment) -> Result<InForce, Error> {
        let key = DocumentKey::from(recipe);
        let standing = in_force(entries, &key, at);
        match Listed::of(key, &standing).map(|listed| listed.state) {
            Some(StandardState::InForce(in_force)) => Ok(in_force),
            Some(StandardState::Stopped(because)) => Err(Error::stopped_by(because)),
            None => {
                let message =
                    format!("nothing of `{recipe}` is in force at `{}` by then", self.site);
                Err(Error::new(Kind::NotFound, message).with_reason(Some(Reason::NotInForce)))
            }
        }
    }

    /// All that a revision's figures are computed from, followed along the pins.
    pub(super) async fn closure(
        &self,
        root: &RevisionRef,
    ) -> Result<(Closure, Vec<RevisionRef>), Error> {
        let mut builder = ClosureBuilder::new([root.clone()])?;
        let mut references = Vec::new();
        loop {
            let wanted = builder.wanted();
            if wanted.is_empty() {
                break;
            }
            for (reference, revision) in self.read_all(&wanted).await? {
                builder.add(&reference, revision)?;
                references.push(reference);
            }
        }
        let closure = builder.finish().expect("nothing is wanted any more");
        Ok((closure, references))
    }

    /// What surrounds a recipe at the site: the site, the group's settings, the price lists.
    async fn around(
        &self,
        entries: &[Entry],
        at: Moment,
    ) -> Result<Vec<(Digest, DocumentContent)>, Error> {
        let own = DocumentKey::from(&self.site);
        let surrounds = |key: &DocumentKey| match key.kind {
            DocumentKind::Site => *key == own,
            DocumentKind::Book | DocumentKind::Prices => true,
            DocumentKind::Ingredient | DocumentKind::Recipe => false,
        };
        let standings = standings(entries, at);
        let wanted =
            standings.iter().filter(|(key, _)| surrounds(key)).filter_map(|(_, standing)| {
                match standing {
                    Standing::InForce { revision, .. } => Some((*revision).clone()),
                    Standing::None | Standing::Stopped { .. } => None,
                }
            });
        let wanted: Vec<RevisionRef> = wanted.collect();
        let read = self.read_all(&wanted).await?.into_iter();
        Ok(read.map(|(reference, revision)| (reference.digest, revision.content)).collect())
    }

    /// What revisions say that must be held.
    pub(super) async fn read_all(
        &self,
        wanted: &[RevisionRef],
    ) -> Result<Vec<(RevisionRef, Revision)>, Error> {
        let digests: Vec<Digest> = wanted.iter().map(|one| one.digest).collect();
        let held = self.store.revisions(&digests).await.map_err(Error::of_store)?;
        let held: BTreeMap<RevisionRef, HeldRevision> =
            held.into_iter().map(|one| (one.reference.clone(), one)).collect();
        let read = |wanted: &RevisionRef| {
            let bytes =
                held.get(wanted).map(|held| held.bytes.clone()).ok_or_else(|| lost(wanted))?;
            let revision = FrozenRevision::checked(wanted.clone(), bytes)?.read()?;
            Ok((wanted.clone(), revision))
        };
        wanted.iter().map(read).collect()
    }
}

/// What is said of a standard that a withdrawal went back to.
fn went_back(because: &TakenBack) -> Caution {
    let TakenBack { withdrawn, reason, author, .. } = because.clone();
    Caution::WentBack { withdrawn, reason, author }
}

fn lost(reference: &RevisionRef) -> Error {
    let RevisionRef { key, number, .. } = reference;
    let message =
        format!("this replica is damaged: revision {number} of `{key}` is gone; rebuild it");
    Error::new(Kind::Damaged, message)
}
