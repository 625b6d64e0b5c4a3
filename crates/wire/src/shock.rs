//! Prices that move, as they are asked for.

use chablon_model::{Day, NewPrice, Pack, PriceChange, PriceMove};
use chablon_quantity::Number;

use crate::form::{Wire, list, parsed, required, to_list};
use crate::quantity::some;
use crate::{At, Violation, pb};

impl Wire for PriceMove<Number> {
    type Pb = Option<pb::shock_prices_request::Moved>;

    fn to_pb(&self) -> Self::Pb {
        use pb::shock_prices_request::Moved;
        Some(match self {
            Self::To(changes) => Moved::Changes(pb::PriceChanges { changes: to_list(changes) }),
            Self::Since(day) => Moved::Since(day.to_pb()),
        })
    }

    fn from_pb(moved: Self::Pb) -> Result<Self, Violation> {
        use pb::shock_prices_request::Moved;
        match moved.ok_or_else(Violation::required).at("moved")? {
            Moved::Since(day) => Day::from_pb(day).map(Self::Since).at("since"),
            Moved::Changes(pb::PriceChanges { changes }) => {
                let changes = list(changes, "changes").at("changes")?;
                if changes.is_empty() {
                    return Err(Violation::required().at("changes").at("changes"));
                }
                Ok(Self::To(changes))
            }
        }
    }
}

impl Wire for PriceChange<Number> {
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
