//! Price lists.

use chablon_model::{ExchangeRate, Pack, Price, PriceList, PriceListId};

use crate::form::{Wire, list, optional_parsed, parsed, required, to_list, to_text};
use crate::quantity::some;
use crate::{At, Violation, pb};

/// The form of a price list without its id, which is the revision's.
pub(crate) fn to_pb(prices: &PriceList) -> pb::PriceList {
    pb::PriceList {
        site: to_text(prices.site.as_ref()),
        prices: to_list(&prices.prices),
        rates: to_list(&prices.rates),
    }
}

/// The price list of an id.
pub(crate) fn from_pb(id: PriceListId, prices: pb::PriceList) -> Result<PriceList, Violation> {
    Ok(PriceList {
        id,
        site: optional_parsed(&prices.site, "site")?,
        prices: list(prices.prices, "prices")?,
        rates: list(prices.rates, "rates")?,
    })
}

impl Wire for Price {
    type Pb = pb::Price;

    fn to_pb(&self) -> pb::Price {
        let pack = match &self.pack {
            Pack::Mass(mass) => pb::price::Pack::Mass(mass.to_pb()),
            Pack::Volume(volume) => pb::price::Pack::Volume(volume.to_pb()),
            Pack::Count(count) => pb::price::Pack::Count(count.to_pb()),
        };
        pb::Price {
            ingredient: self.ingredient.to_string(),
            pack: Some(pack),
            price: Some(self.price.to_pb()),
            from: Some(self.from.to_pb()),
            supplier: to_text(self.supplier.as_ref()),
            preferred: self.preferred,
        }
    }

    fn from_pb(price: pb::Price) -> Result<Self, Violation> {
        Ok(Self {
            ingredient: parsed(&price.ingredient).at("ingredient")?,
            pack: pack(price.pack).at("pack")?,
            price: required(price.price, "price")?,
            from: required(price.from, "from")?,
            supplier: optional_parsed(&price.supplier, "supplier")?,
            preferred: price.preferred,
        })
    }
}

fn pack(pack: Option<pb::price::Pack>) -> Result<Pack, Violation> {
    match pack.ok_or_else(Violation::required)? {
        pb::price::Pack::Mass(mass) => some(Some(mass), "mass").map(Pack::Mass),
        pb::price::Pack::Volume(volume) => some(Some(volume), "volume").map(Pack::Volume),
        pb::price::Pack::Count(count) => some(Some(count), "count").map(Pack::Count),
    }
}

impl Wire for ExchangeRate {
    type Pb = pb::ExchangeRate;

    fn to_pb(&self) -> pb::ExchangeRate {
        pb::ExchangeRate {
            from: self.from.to_string(),
            to: self.to.to_string(),
            rate: Some(self.rate.to_pb()),
            on: Some(self.on.to_pb()),
        }
    }

    fn from_pb(rate: pb::ExchangeRate) -> Result<Self, Violation> {
        let from = parsed(&rate.from).at("from")?;
        let to = parsed(&rate.to).at("to")?;
        if from == to {
            return Err(Violation::new(format!("must be another currency than {from}")).at("to"));
        }
        Ok(Self { from, to, rate: some(rate.rate, "rate")?, on: required(rate.on, "on")? })
    }
}
