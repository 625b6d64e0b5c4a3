//! Prices that move, as they are asked for.

use chablon_model::{Day, IngredientId, Pack};
use chablon_quantity::{MoneyAmount, Number};

use crate::form::{Wire, list, parsed, required, to_list};
use crate::quantity::some;
use crate::{At, Violation, pb};

/// Which prices move.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceMove {
    /// These; at least one.
    To(Vec<PriceChange>),
    /// All that differ between this day and the one that is asked for.
    Since(Day),
}

/// One price that moves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceChange {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Where its price goes.
    pub to: NewPrice,
}

/// Where a price goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NewPrice {
    /// So much for a pack.
    Pack {
        /// What is bought.
        pack: Pack,
        /// What it costs.
        price: MoneyAmount,
    },
    /// By this part of what it is.
    By(Number),
}

impl PriceMove {
    /// The field of a request.
    pub fn to_pb(&self) -> pb::shock_prices_request::Moved {
        use pb::shock_prices_request::Moved;
        match self {
            Self::To(changes) => Moved::Changes(pb::PriceChanges { changes: to_list(changes) }),
            Self::Since(day) => Moved::Since(day.to_pb()),
        }
    }

    /// What a request asks for.
    pub fn from_pb(moved: Option<pb::shock_prices_request::Moved>) -> Result<Self, Violation> {
        use pb::shock_prices_request::Moved;
        match moved.ok_or_else(Violation::required).at("moved")? {
            Moved::Since(day) => Day::from_pb(day).map(Self::Since).at("since"),
            Moved::Changes(pb::PriceChanges { changes }) => {
                let changes: Vec<PriceChange> = list(changes, "changes").at("changes")?;
                if changes.is_empty() {
                    return Err(Violation::required().at("changes").at("changes"));
                }
                Ok(Self::To(changes))
            }
        }
    }
}

impl Wire for PriceChange {
    type Pb = pb::PriceChange;

    fn to_pb(&self) -> pb::PriceChange {
        let to = match &self.to {
            NewPrice::By(part) => pb::price_change::To::By(part.to_pb()),
            NewPrice::Pack { pack, price } => pb::price_change::To::Pack(pb::NewPack {
                pack: Some(pack_to_pb(pack)),
                price: Some(price.to_pb()),
            }),
        };
        pb::PriceChange { ingredient: self.ingredient.to_string(), to: Some(to) }
    }

    fn from_pb(change: pb::PriceChange) -> Result<Self, Violation> {
        let to = match change.to.ok_or_else(Violation::required).at("to")? {
            pb::price_change::To::By(part) => Number::from_pb(part).map(NewPrice::By).at("by")?,
            pb::price_change::To::Pack(pb::NewPack { pack, price }) => NewPrice::Pack {
                pack: read_pack(pack).at("pack").at("pack")?,
                price: required(price, "price").at("pack")?,
            },
        };
        Ok(Self { ingredient: parsed(&change.ingredient).at("ingredient")?, to })
    }
}

fn pack_to_pb(pack: &Pack) -> pb::new_pack::Pack {
    match pack {
        Pack::Mass(mass) => pb::new_pack::Pack::Mass(mass.to_pb()),
        Pack::Volume(volume) => pb::new_pack::Pack::Volume(volume.to_pb()),
        Pack::Count(count) => pb::new_pack::Pack::Count(count.to_pb()),
    }
}

fn read_pack(pack: Option<pb::new_pack::Pack>) -> Result<Pack, Violation> {
    match pack.ok_or_else(Violation::required)? {
        pb::new_pack::Pack::Mass(mass) => some(Some(mass), "mass").map(Pack::Mass),
        pb::new_pack::Pack::Volume(volume) => some(Some(volume), "volume").map(Pack::Volume),
        pb::new_pack::Pack::Count(count) => some(Some(count), "count").map(Pack::Count),
    }
}
