//! From the demand of products to the demand of everything that they use, exactly.

use chablon_model::Scaling;
use chablon_quantity::Exact;

use super::error::{PlanError, SmallDemand};
use crate::SiteKit;
use crate::compiled::{CompiledBook, CompiledLine, RecipeIndex};
use crate::flat::{Exploded, Flat, Making, Root, Stop};

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
    let flat = Flat::new(book, roots, site)?;
    let made = explode_flat(book, &flat, nets)?.made;
    Ok(flat.nodes.iter().map(|node| node.recipe).zip(made).rev().collect())
}

/// What these net masses of the products come to.
pub(crate) fn explode_flat<'a>(
    book: &CompiledBook,
    flat: &'a Flat<Exact>,
    nets: &[Exact],
) -> Result<Exploded<'a, Exact>, PlanError> {
    flat.explode(nets.iter().cloned()).map_err(|stop| error(book, flat, stop))
}

/// What stopped the pass, in terms of the book.
fn error(book: &CompiledBook, flat: &Flat<Exact>, stop: Stop<Exact>) -> PlanError {
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
