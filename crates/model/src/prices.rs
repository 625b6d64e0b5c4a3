//! Price lists.

use chablon_quantity::{Authored, CountUnit, Currency, MassUnit, MoneyAmount, Number, VolumeUnit};

use crate::{Day, IngredientId, PriceListId, SiteId, SupplierId};

/// A list of prices and exchange rates: the group's, or one site's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceList {
    /// The id; in a book the name of its file.
    pub id: PriceListId,
    /// The site whose list it is; the group's where unstated.
    pub site: Option<SiteId>,
    /// The prices, in the written order.
    pub prices: Vec<Price>,
    /// The rates, in the written order.
    pub rates: Vec<ExchangeRate>,
}

/// What one pack is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pack {
    /// A mass.
    Mass(Authored<MassUnit>),
    /// A volume, weighed by the ingredient's density.
    Volume(Authored<VolumeUnit>),
    /// Pieces, weighed by the ingredient's piece mass.
    Count(Authored<CountUnit>),
}

/// A price of one ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// What is bought.
    pub ingredient: IngredientId,
    /// In which pack.
    pub pack: Pack,
    /// What the pack costs.
    pub price: MoneyAmount,
    /// The day from which it holds.
    pub from: Day,
    /// Who sells it.
    pub supplier: Option<SupplierId>,
    /// Whether it is taken before others of the same day.
    pub preferred: bool,
}

/// An exchange rate: one unit of `from` is `rate` units of `to`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExchangeRate {
    /// The currency that is given.
    pub from: Currency,
    /// The currency that is got.
    pub to: Currency,
    /// How much of it. Above 0.
    pub rate: Number,
    /// The day from which it holds.
    pub on: Day,
}
