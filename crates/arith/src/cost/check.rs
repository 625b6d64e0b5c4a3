//! What is wrong with price lists.

use std::fmt;

use chablon_model::{IngredientId, Pack, Price, PriceList, PriceListId};

use super::prices::pack_mass;
use crate::Library;
use crate::compiled::{CompiledBook, CompiledIngredient};

/// A problem of a price list. Shown as a sentence without the place, and without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceProblem {
    /// The list.
    pub list: PriceListId,
    /// Where in it.
    pub part: PricePart,
    /// What it is.
    pub fault: PriceFault,
}

/// A part of a price list; indices count from 0 in the written order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PricePart {
    /// A price.
    Price(usize),
    /// An exchange rate.
    Rate(usize),
}

/// What is wrong with a price or a rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceFault {
    /// It names an ingredient that isn't there.
    UnknownIngredient(IngredientId),
    /// A pack by volume of an ingredient of unknown density.
    MissingDensity(IngredientId),
    /// A pack by pieces of an ingredient of unknown piece mass.
    MissingPieceMass(IngredientId),
    /// A pack that holds nothing.
    EmptyPack,
    /// A price below 0.
    NegativePrice,
    /// A rate at or below 0.
    RateNotPositive,
}

impl PriceProblem {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self.fault {
            PriceFault::UnknownIngredient(_) => "unknown-ingredient",
            PriceFault::MissingDensity(_) => "missing-density",
            PriceFault::MissingPieceMass(_) => "missing-piece-mass",
            PriceFault::EmptyPack => "empty-pack",
            PriceFault::NegativePrice => "negative-price",
            PriceFault::RateNotPositive => "rate-not-positive",
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> String {
        match &self.fault {
            PriceFault::UnknownIngredient(id) => {
                format!("add an ingredient `{id}`, or correct the name")
            }
            PriceFault::MissingDensity(id) => {
                format!("state the density of `{id}`, or give the pack's mass")
            }
            PriceFault::MissingPieceMass(id) => {
                format!("state the piece mass of `{id}`, or give the pack's mass")
            }
            PriceFault::EmptyPack => "give a pack above 0".to_owned(),
            PriceFault::NegativePrice => "give a price of at least 0".to_owned(),
            PriceFault::RateNotPositive => "give a rate above 0".to_owned(),
        }
    }
}

impl fmt::Display for PriceProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.fault {
            PriceFault::UnknownIngredient(id) => write!(f, "there is no ingredient `{id}`"),
            PriceFault::MissingDensity(id) => {
                write!(f, "a pack of `{id}` by volume has no mass without its density")
            }
            PriceFault::MissingPieceMass(id) => {
                write!(f, "a pack of `{id}` by pieces has no mass without a piece mass")
            }
            PriceFault::EmptyPack => f.write_str("the pack holds nothing"),
            PriceFault::NegativePrice => f.write_str("the price is below 0"),
            PriceFault::RateNotPositive => f.write_str("the rate must be above 0"),
        }
    }
}

/// Everything that is wrong with these price lists, in their order.
///
/// A price of an ingredient whose own figures are refused isn't reported a second time.
pub fn check_prices<'a>(
    library: &Library<'_>,
    book: &CompiledBook,
    lists: impl IntoIterator<Item = &'a PriceList>,
) -> Vec<PriceProblem> {
    lists.into_iter().flat_map(|list| check_list(library, book, list)).collect()
}

fn check_list(library: &Library<'_>, book: &CompiledBook, list: &PriceList) -> Vec<PriceProblem> {
    let place = |part| move |fault| PriceProblem { list: list.id.clone(), part, fault };
    let prices = list.prices.iter().enumerate().flat_map(|(at, price)| {
        price_faults(library, book, price).into_iter().map(place(PricePart::Price(at)))
    });
    let rates = list.rates.iter().enumerate();
    let rates = rates.filter(|(_, rate)| !rate.rate.exact().is_positive());
    let rates = rates.map(|(at, _)| place(PricePart::Rate(at))(PriceFault::RateNotPositive));
    prices.chain(rates).collect()
}

fn price_faults(library: &Library<'_>, book: &CompiledBook, price: &Price) -> Vec<PriceFault> {
    let id = &price.ingredient;
    let compiled = book.find_ingredient(id).map(|index| book.ingredient(index));
    let pack = match compiled {
        None if library.ingredient(id).is_none() => Some(PriceFault::UnknownIngredient(id.clone())),
        None => None,
        Some(ingredient) => pack_fault(ingredient, &price.pack),
    };
    let negative = price.price.number.is_negative().then_some(PriceFault::NegativePrice);
    pack.into_iter().chain(negative).collect()
}

fn pack_fault(ingredient: &CompiledIngredient, pack: &Pack) -> Option<PriceFault> {
    let id = || ingredient.id.clone();
    match pack {
        Pack::Volume(_) if ingredient.density.is_none() => Some(PriceFault::MissingDensity(id())),
        Pack::Count(_) if ingredient.piece_mass.is_none() => {
            Some(PriceFault::MissingPieceMass(id()))
        }
        pack => pack_mass(ingredient, pack).is_none().then_some(PriceFault::EmptyPack),
    }
}
