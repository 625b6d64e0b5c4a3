//! Figures: plans and costs of what is in force, each with what it was computed from.

use std::collections::BTreeSet;

use chablon_arith::{self as arith, CompiledBook, Demand, Library, PlanError, PriceBook, SiteKit};
use chablon_change::{Caution, Laid};
use chablon_model::{Closure, Day, Digest, DocumentKey, Moment, PriceMove, RecipeId, SiteId};

mod declared;
mod deviated;
mod gather;
mod shock;
mod together;

pub use declared::DeclareQuery;
use gather::Around;
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
        /// The recipe that was asked for, where one was.
        of: Option<RecipeId>,
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
    /// Of which recipes, and of how much of each; at least one.
    pub demands: Vec<Demand>,
    /// The moment whose standards count.
    pub at: Moment,
}

/// Of which prices it is asked what they do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShockQuery {
    /// At which site.
    pub site: SiteId,
    /// Which prices move.
    pub moved: PriceMove,
    /// The day whose prices and rates count.
    pub on: Day,
    /// The moment whose standards count.
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

/// All that the figures of some recipes at one site are computed from.
struct Grounds {
    closure: Closure,
    around: Around,
    deviations: Vec<Laid>,
    cautions: Vec<Caution>,
}

impl Exchange {
    /// What to weigh for all demands as one plan, with the site's bowls and scales.
    pub async fn scale(&self, query: FigureQuery) -> Result<Founded<arith::Plan>, FigureError> {
        let grounds = self.grounds(&query).await?;
        blocking(move || grounds.scale(&query.demands)).await
    }

    /// What all demands cost at the site by the prices of a day.
    pub async fn cost(
        &self,
        query: FigureQuery,
        on: Day,
    ) -> Result<Founded<arith::Costing>, FigureError> {
        let grounds = self.grounds(&query).await?;
        blocking(move || grounds.cost(&query.demands, on)).await
    }
}

impl Grounds {
    fn scale(self, demands: &[Demand]) -> Result<Founded<arith::Plan>, FigureError> {
        let (_, figure) = self.plan(demands)?;
        let mut basis = self.closure.digests;
        basis.insert(self.around.site.digest);
        Ok(Founded { figure, basis, deviations: self.deviations, cautions: self.cautions })
    }

    fn cost(self, demands: &[Demand], on: Day) -> Result<Founded<arith::Costing>, FigureError> {
        let currency = self.around.settings()?.currency;
        let (book, plan) = self.plan(demands)?;
        let lists = self.around.lists.iter().map(|list| &list.value);
        let prices = PriceBook::of_site(&self.around.site.value, currency, lists);
        let figure = arith::cost(&book, &plan, &prices, on);
        let mut basis = self.closure.digests;
        basis.extend(self.around.digests());
        Ok(Founded { figure, basis, deviations: self.deviations, cautions: self.cautions })
    }

    fn plan(&self, demands: &[Demand]) -> Result<(CompiledBook, arith::Plan), FigureError> {
        let Closure { ingredients, recipes, .. } = &self.closure;
        let (book, _) = arith::compile(&Library::new(ingredients.values(), recipes.values()));
        let kit = SiteKit::from(&self.around.site.value);
        let plan = arith::plan(&book, demands, Some(&kit));
        let plan = plan.map_err(|error| refused(first(demands), &error))?;
        Ok((book, plan))
    }
}

/// The recipe that a refusal of all demands names.
fn first(demands: &[Demand]) -> RecipeId {
    demands.first().expect("a figure is asked of at least one recipe").recipe.clone()
}

fn refused(recipe: RecipeId, error: &PlanError) -> FigureError {
    let message = error.to_string();
    match error {
        PlanError::NotPositive { .. } => FigureError::NotPositive(message),
        _ => FigureError::NotComputable { of: Some(recipe), message },
    }
}
