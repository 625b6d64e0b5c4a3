//! From the demand of products to the demand of everything that they use, exactly.

use chablon_model::Scaling;
use chablon_quantity::Exact;

use super::error::{PlanError, SmallDemand};
use crate::compiled::{CompiledBook, CompiledLine, RecipeIndex};
use crate::flat::{Flat, Making, Root, Stop};
use crate::{SiteKit, size};

impl Making<Exact> {
    /// The mass of a line over all batches.
    pub(crate) fn line_mass(&self, line: &CompiledLine) -> Exact {
        match line.scaling {
            Scaling::PerBatch => &line.mass * &self.batches,
            Scaling::Proportional | Scaling::Whole => &line.mass * &self.factor,
        }
    }
}

/// How much of every recipe is made, components included, in making order.
pub(crate) fn explode(
    book: &CompiledBook,
    roots: &[Root],
    nets: &[Exact],
    site: Option<&SiteKit>,
) -> Result<Vec<(RecipeIndex, Making<Exact>)>, PlanError> {
    if let Some(at) = nets.iter().position(|net| !size::manageable(net)) {
        let recipe = book.recipe(roots[at].recipe).id.clone();
        return Err(PlanError::NumberTooLarge { recipe });
    }
    let flat = Flat::<Exact>::new(book, roots, site)?;
    let exploded = flat.explode(nets).map_err(|stop| error(book, &flat, stop))?;
    let made = flat.nodes.iter().map(|node| node.recipe).zip(exploded.made);
    Ok(made.rev().collect())
}

/// What stopped the pass, in terms of the book.
pub(crate) fn error(book: &CompiledBook, flat: &Flat<Exact>, stop: Stop<Exact>) -> PlanError {
    let recipe = |at: usize| book.recipe(flat.nodes[at].recipe).id.clone();
    match stop {
        Stop::BelowPerBatch(at, making) => {
            let Making { net, batches, factor } = *making;
            let demand = SmallDemand { recipe: recipe(at), net, batches, factor };
            PlanError::BelowPerBatch(Box::new(demand))
        }
        Stop::TooLong(at) => PlanError::NumberTooLarge { recipe: recipe(at) },
        Stop::Undecided(never) => match never {},
    }
}
