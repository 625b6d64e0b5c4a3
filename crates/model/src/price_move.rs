//! Prices that move: what is asked about, not what is in any list.

use chablon_quantity::{Exact, MoneyAmount};

use crate::{Day, IngredientId, Pack};

/// Which prices move. A part that a price moves by is exact, or in a form that travels.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceMove<P = Exact> {
    /// These, from what they are on the day.
    To(Vec<PriceChange<P>>),
    /// All that differ between this day and the one that is asked for.
    Since(Day),
}

/// One price that moves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceChange<P = Exact> {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Where its price goes.
    pub to: NewPrice<P>,
}

/// Where a price goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NewPrice<P = Exact> {
    /// So much for a pack, in any currency that has a rate.
    Pack {
        /// What is bought.
        pack: Pack,
        /// What it costs.
        price: MoneyAmount,
    },
    /// Up by this part of what it is, or down where it is below 0; not below -1.
    By(P),
}

impl<P> PriceMove<P> {
    /// The same move with its parts in another form, unless one of them has none.
    ///
    /// # Errors
    /// The first that `form` gives.
    pub fn try_map<Q, E>(self, form: impl Fn(P) -> Result<Q, E>) -> Result<PriceMove<Q>, E> {
        let change = |PriceChange { ingredient, to }| {
            let to = match to {
                NewPrice::Pack { pack, price } => NewPrice::Pack { pack, price },
                NewPrice::By(part) => NewPrice::By(form(part)?),
            };
            Ok(PriceChange { ingredient, to })
        };
        match self {
            Self::Since(day) => Ok(PriceMove::Since(day)),
            Self::To(changes) => {
                changes.into_iter().map(change).collect::<Result<_, E>>().map(PriceMove::To)
            }
        }
    }
}
