//! Everything that a recipe's figures are computed from, followed along its pins.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    Digest, DocumentContent, DocumentKey, Ingredient, IngredientId, Recipe, RecipeId, Revision,
    RevisionRef,
};

/// The ingredients and recipes that one or more revisions reach along their pins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Closure {
    /// The ingredients.
    pub ingredients: BTreeMap<IngredientId, Ingredient>,
    /// The recipes, those at the root among them.
    pub recipes: BTreeMap<RecipeId, Recipe>,
    /// The digests of every revision in it: the basis of figures computed from it.
    pub digests: BTreeSet<Digest>,
}

/// Why pins don't lead to one consistent set of documents.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ClosureError {
    /// Two paths reach two revisions of one document.
    #[error(
        "`{key}` is pinned at revision {first} by one component and at revision {second} by \
         another; release both on the same revision"
    )]
    TwoRevisions {
        /// The document.
        key: DocumentKey,
        /// One revision number.
        first: u32,
        /// The other.
        second: u32,
    },
    /// A revision's content is another document than its reference names.
    #[error("the revision stored for `{wanted}` holds `{found}`")]
    OtherDocument {
        /// What was asked for.
        wanted: DocumentKey,
        /// What came.
        found: DocumentKey,
    },
}

/// Two recipes that can't be planned as one: they mean different things by one id.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{one}` and `{other}` were released on different revisions of `{id}`, so they can't be made in \
     one plan; plan them apart, or ask for both on one revision"
)]
pub struct Apart {
    /// One recipe.
    pub one: RecipeId,
    /// The other.
    pub other: RecipeId,
    /// The recipe or ingredient that both use.
    pub id: String,
}

/// Whether the figures of some recipes can be computed as one: each id means one thing in all of
/// their closures.
///
/// # Errors
/// The first two that are apart.
pub fn agree(recipes: &[(&RecipeId, &Closure)]) -> Result<(), Apart> {
    for (at, (other, theirs)) in recipes.iter().enumerate() {
        for (one, ours) in &recipes[..at] {
            let recipe = apart(&ours.recipes, &theirs.recipes);
            let id = recipe.or_else(|| apart(&ours.ingredients, &theirs.ingredients));
            if let Some(id) = id {
                return Err(Apart { one: (*one).clone(), other: (*other).clone(), id });
            }
        }
    }
    Ok(())
}

/// The first id under which two maps have different values.
fn apart<K: Ord + ToString, V: PartialEq>(
    one: &BTreeMap<K, V>,
    other: &BTreeMap<K, V>,
) -> Option<String> {
    let differs = |(id, value): &(&K, &V)| other.get(id).is_some_and(|theirs| theirs != *value);
    one.iter().find(differs).map(|(id, _)| id.to_string())
}

/// Collects a closure step by step, so that the revisions may come from anywhere.
///
/// Ask for what is [`wanted`](Self::wanted), [`add`](Self::add) each, and repeat until nothing
/// is wanted any more.
#[derive(Debug, Default)]
pub struct ClosureBuilder {
    reach: Reach,
    closure: Closure,
}

/// Follows pins step by step without keeping what it comes by, as [`ClosureBuilder`] does with it.
#[derive(Debug, Default)]
pub struct Reach {
    reached: BTreeMap<DocumentKey, RevisionRef>,
    wanted: BTreeMap<DocumentKey, RevisionRef>,
}

impl Reach {
    /// Starts from these revisions.
    pub fn new(roots: impl IntoIterator<Item = RevisionRef>) -> Result<Self, ClosureError> {
        let mut reach = Self::default();
        roots.into_iter().try_for_each(|root| reach.reach(&root))?;
        Ok(reach)
    }

    /// What is still to be gone through; nothing at the end.
    pub fn wanted(&self) -> Vec<RevisionRef> {
        self.wanted.values().cloned().collect()
    }

    /// Goes on from a wanted revision to what it pins.
    pub fn add(
        &mut self,
        reference: &RevisionRef,
        revision: &Revision,
    ) -> Result<(), ClosureError> {
        let found = revision.content.key();
        if found != reference.key {
            return Err(ClosureError::OtherDocument { wanted: reference.key.clone(), found });
        }
        revision.pins.iter().try_for_each(|pin| self.reach(pin))?;
        self.wanted.remove(&reference.key);
        Ok(())
    }

    fn reach(&mut self, pin: &RevisionRef) -> Result<(), ClosureError> {
        match self.reached.get(&pin.key) {
            Some(known) if known.digest == pin.digest => Ok(()),
            Some(known) => Err(ClosureError::TwoRevisions {
                key: pin.key.clone(),
                first: known.number,
                second: pin.number,
            }),
            None => {
                self.reached.insert(pin.key.clone(), pin.clone());
                self.wanted.insert(pin.key.clone(), pin.clone());
                Ok(())
            }
        }
    }
}

impl ClosureBuilder {
    /// Starts from these revisions.
    pub fn new(roots: impl IntoIterator<Item = RevisionRef>) -> Result<Self, ClosureError> {
        Ok(Self { reach: Reach::new(roots)?, closure: Closure::default() })
    }

    /// What is still to be added.
    pub fn wanted(&self) -> Vec<RevisionRef> {
        self.reach.wanted()
    }

    /// Adds a wanted revision and wants what it pins.
    pub fn add(&mut self, reference: &RevisionRef, revision: Revision) -> Result<(), ClosureError> {
        self.reach.add(reference, &revision)?;
        self.closure.digests.insert(reference.digest);
        match revision.content {
            DocumentContent::Ingredient(ingredient) => {
                self.closure.ingredients.insert(ingredient.id.clone(), ingredient);
            }
            DocumentContent::Recipe(recipe) => {
                self.closure.recipes.insert(recipe.id.clone(), recipe);
            }
            DocumentContent::Book(_) | DocumentContent::Site(_) | DocumentContent::Prices(_) => {}
        }
        Ok(())
    }

    /// The closure, once nothing is wanted any more.
    pub fn finish(self) -> Option<Closure> {
        self.reach.wanted.is_empty().then_some(self.closure)
    }
}
