//! Figures: plans and costs of what is in force, each with what it was computed from.

use std::collections::BTreeSet;

use chablon_arith::{self as arith, CompiledBook, Demand, Library, PlanError, PriceBook, SiteKit};
use chablon_change::{Caution, Laid};
use chablon_model::{
    Book, Closure, Day, Digest, DocumentKey, Moment, PriceList, RecipeId, Site, SiteId,
};

mod deviated;
mod gather;

pub(crate) use gather::Place;

use crate::{Exchange, ReadError, StoreFault, blocking};

/// Why there is no figure.
#[derive(Debug, thiserror::Error)]
pub enum FigureError {
    /// What it would be computed from isn't there.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The standard was withdrawn, and none is to be made.
    #[error("`{document}` was withdrawn, and none is to be made: {reason}")]
    Withdrawn {
        /// The document.
        document: DocumentKey,
        /// The site.
        site: SiteId,
        /// Why, in the words of the withdrawal.
        reason: String,
    },
    /// What is in force was written for a later version of this program.
    #[error("`{document}` needs `{feature}`, which this hub doesn't know; bring it up to date")]
    Unsupported {
        /// The document.
        document: DocumentKey,
        /// What is needed.
        feature: String,
    },
    /// The amount that is asked for isn't above 0.
    #[error("{0}")]
    NotPositive(String),
    /// Something that the figure needs isn't stated, or the demand can't be met.
    #[error("{message}")]
    NotComputable {
        /// The recipe that was asked for.
        recipe: RecipeId,
        /// What is wrong, and what would mend it.
        message: String,
    },
}

impl From<StoreFault> for FigureError {
    fn from(fault: StoreFault) -> Self {
        Self::Read(fault.into())
    }
}

/// Of what a figure is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FigureQuery {
    /// At which site.
    pub site: SiteId,
    /// Of which recipe, and of how much of it.
    pub demand: Demand,
    /// The moment whose standard counts.
    pub at: Moment,
}

/// A figure with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Founded<F> {
    /// The figure.
    pub figure: F,
    /// The digests of all revisions that it was computed from.
    pub basis: BTreeSet<Digest>,
    /// The deviations that lie over the standard.
    pub deviations: Vec<Laid>,
    /// What the kitchen must be told, though the figure stands.
    pub cautions: Vec<Caution>,
}

/// What a document says, with the digest of the revision that says so.
struct Read<T> {
    digest: Digest,
    value: T,
}

/// All that the figures of one recipe at one site are computed from.
struct Grounds {
    closure: Closure,
    site: Read<Site>,
    settings: Option<Read<Book>>,
    lists: Vec<Read<PriceList>>,
    deviations: Vec<Laid>,
    cautions: Vec<Caution>,
}

impl Exchange {
    /// What to weigh for a demand, with the site's bowls and scales.
    pub async fn scale(&self, query: FigureQuery) -> Result<Founded<arith::Plan>, FigureError> {
        let grounds = self.grounds(&query).await?;
        blocking(move || grounds.scale(&query.demand)).await
    }

    /// What a demand costs at the site by the prices of a day.
    pub async fn cost(
        &self,
        query: FigureQuery,
        on: Day,
    ) -> Result<Founded<arith::Costing>, FigureError> {
        let grounds = self.grounds(&query).await?;
        blocking(move || grounds.cost(&query.demand, on)).await
    }
}

impl Grounds {
    fn scale(self, demand: &Demand) -> Result<Founded<arith::Plan>, FigureError> {
        let (_, figure) = self.plan(demand)?;
        let mut basis = self.closure.digests;
        basis.insert(self.site.digest);
        Ok(Founded { figure, basis, deviations: self.deviations, cautions: self.cautions })
    }

    fn cost(self, demand: &Demand, on: Day) -> Result<Founded<arith::Costing>, FigureError> {
        let Some(settings) = &self.settings else {
            let message = "no settings of the group are in force; release them first".to_owned();
            return Err(FigureError::NotComputable { recipe: demand.recipe.clone(), message });
        };
        let (book, plan) = self.plan(demand)?;
        let lists = self.lists.iter().map(|list| &list.value);
        let prices = PriceBook::of_site(&self.site.value, settings.value.currency, lists);
        let figure = arith::cost(&book, &plan, &prices, on);
        let mut basis = self.closure.digests;
        basis.extend([self.site.digest, settings.digest]);
        basis.extend(self.lists.iter().map(|list| list.digest));
        Ok(Founded { figure, basis, deviations: self.deviations, cautions: self.cautions })
    }

    fn plan(&self, demand: &Demand) -> Result<(CompiledBook, arith::Plan), FigureError> {
        let Closure { ingredients, recipes, .. } = &self.closure;
        let (book, _) = arith::compile(&Library::new(ingredients.values(), recipes.values()));
        let kit = SiteKit::from(&self.site.value);
        let plan = arith::plan(&book, std::slice::from_ref(demand), Some(&kit));
        let plan = plan.map_err(|error| refused(&demand.recipe, &error))?;
        Ok((book, plan))
    }
}

fn refused(recipe: &RecipeId, error: &PlanError) -> FigureError {
    let message = error.to_string();
    match error {
        PlanError::NotPositive { .. } => FigureError::NotPositive(message),
        _ => FigureError::NotComputable { recipe: recipe.clone(), message },
    }
}
