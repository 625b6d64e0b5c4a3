//! What is declared of a recipe in force.

use std::collections::BTreeSet;

use chablon_change::{Caution, Laid};
use chablon_declare::{Declaration, DeclareError, DeclareOptions, Declarer};
use chablon_model::{Book, Closure, DocumentContent, DocumentKey, IngredientId, Moment, RecipeId};
use chablon_model::{DocumentKind, SiteId};

use super::gather::{Place, no_settings};
use super::together::Standing;
use super::{FigureError, Founded, Read};
use crate::{Exchange, blocking};

/// Of what it is asked what is in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeclareQuery {
    /// At which site.
    pub site: SiteId,
    /// Which recipe.
    pub recipe: RecipeId,
    /// The ingredients that the product's name, a picture or a claim calls for.
    pub emphasised: BTreeSet<IngredientId>,
    /// The moment whose standard counts.
    pub at: Moment,
}

impl Exchange {
    /// What is declared of a recipe as a site makes it.
    pub async fn declare(&self, query: DeclareQuery) -> Result<Founded<Declaration>, FigureError> {
        let DeclareQuery { site, recipe, emphasised, at } = query;
        let place = self.place(&site, at).await?;
        let in_force = self.recipe_in_force(&place, &(&recipe).into()).await?;
        let Standing { closure, laid, cautions, .. } =
            self.standard_of(&place, &recipe, in_force).await?;
        let settings = self.settings(&place).await?;
        let declaring = Declaring { closure, settings, deviations: laid, cautions };
        blocking(move || declaring.declare(&recipe, emphasised)).await
    }

    /// The group's settings in force, without which nothing is declared.
    async fn settings(&self, place: &Place) -> Result<Read<Book>, FigureError> {
        let id = DocumentContent::BOOK_ID.parse().expect("the model's own id");
        let document = DocumentKey { kind: DocumentKind::Book, id };
        match self.found(place, &document).await? {
            Some((digest, DocumentContent::Book(value))) => Ok(Read { digest, value }),
            _ => Err(no_settings()),
        }
    }
}

/// All that a declaration is computed from.
struct Declaring {
    closure: Closure,
    settings: Read<Book>,
    deviations: Vec<Laid>,
    cautions: Vec<Caution>,
}

impl Declaring {
    fn declare(
        self,
        recipe: &RecipeId,
        emphasised: BTreeSet<IngredientId>,
    ) -> Result<Founded<Declaration>, FigureError> {
        let Self { closure, settings, deviations, cautions } = self;
        let Closure { ingredients, recipes, digests: mut basis, .. } = closure;
        let library = chablon_arith::Library::new(ingredients.values(), recipes.values());
        let options = DeclareOptions { settings: &settings.value, emphasised, serving: None };
        let figure = Declarer::new(&library).declare(recipe, &options);
        let figure = figure.map_err(|error| refused(recipe, &error))?;
        basis.insert(settings.digest);
        Ok(Founded { figure, basis, deviations, cautions })
    }
}

fn refused(recipe: &RecipeId, error: &DeclareError) -> FigureError {
    let message = format!("{error}; {}", error.hint());
    FigureError::NotComputable { of: Some(recipe.clone()), message }
}
