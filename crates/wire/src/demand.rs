//! How much is asked for.

use chablon_model::IngredientId;
use chablon_quantity::{Authored, CountUnit, MassUnit, Number};

use crate::form::{Wire, parsed};
use crate::quantity::some;
use crate::{At, Violation, pb};

/// How much of a recipe is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Demand {
    /// So many pieces.
    Pieces(Authored<CountUnit>),
    /// A net mass.
    Mass(Authored<MassUnit>),
    /// So many times the declared yield.
    Factor(Number),
    /// So many written batches.
    Batches(Number),
    /// All that a purchased mass of an ingredient makes.
    OnHand {
        /// The ingredient.
        ingredient: IngredientId,
        /// What there is of it.
        mass: Authored<MassUnit>,
    },
}

impl Wire for Demand {
    type Pb = pb::Target;

    fn to_pb(&self) -> pb::Target {
        use pb::target::Demand as Form;
        let demand = match self {
            Self::Pieces(count) => Form::Pieces(count.to_pb()),
            Self::Mass(mass) => Form::Mass(mass.to_pb()),
            Self::Factor(number) => Form::Factor(number.to_pb()),
            Self::Batches(number) => Form::Batches(number.to_pb()),
            Self::OnHand { ingredient, mass } => Form::OnHand(pb::OnHand {
                ingredient: ingredient.to_string(),
                mass: Some(mass.to_pb()),
            }),
        };
        pb::Target { demand: Some(demand) }
    }

    fn from_pb(target: pb::Target) -> Result<Self, Violation> {
        use pb::target::Demand as Form;
        match target.demand.ok_or_else(Violation::required)? {
            Form::Pieces(count) => some(Some(count), "pieces").map(Self::Pieces),
            Form::Mass(mass) => some(Some(mass), "mass").map(Self::Mass),
            Form::Factor(number) => some(Some(number), "factor").map(Self::Factor),
            Form::Batches(number) => some(Some(number), "batches").map(Self::Batches),
            Form::OnHand(pb::OnHand { ingredient, mass }) => {
                on_hand(&ingredient, mass).at("on_hand")
            }
        }
    }
}

fn on_hand(ingredient: &str, mass: Option<pb::Mass>) -> Result<Demand, Violation> {
    Ok(Demand::OnHand {
        ingredient: parsed(ingredient).at("ingredient")?,
        mass: some(mass, "mass")?,
    })
}
