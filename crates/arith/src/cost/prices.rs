//! Which price is used for an ingredient at a site on a day (section 7).

use std::cmp::Reverse;
use std::collections::HashMap;

use chablon_model::{Day, IngredientId, Pack, Price, PriceList, PriceListId, Site, SupplierId};
use chablon_quantity::{Currency, Exact, Grams, HourlyRate, Millilitres, MoneyAmount};

use super::rates::rate;
use crate::compiled::{CompiledBook, CompiledIngredient, IngredientIndex};

/// The price lists that count for a site, or for the group, and what they are costed in.
#[derive(Clone, Debug)]
pub struct PriceBook<'a> {
    currency: Currency,
    labour_rate: Option<HourlyRate>,
    /// The site's own lists, by id; none for the group.
    own: Vec<&'a PriceList>,
    /// The group's lists, by id.
    group: Vec<&'a PriceList>,
    /// The prices of each ingredient in the written order: the site's own, the group's.
    entries: HashMap<&'a IngredientId, [Vec<Entry<'a>>; 2]>,
}

/// A price and the list that it stands in.
#[derive(Clone, Copy, Debug)]
struct Entry<'a> {
    price: &'a Price,
    list: &'a PriceListId,
}

/// The price that is used for an ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote {
    /// Purchased grams of one pack.
    pub pack: Exact,
    /// What a pack costs, in the currency of the price.
    pub price: Exact,
    /// The currency of the price.
    pub currency: Currency,
    /// What a pack costs, in the currency that is costed in.
    pub converted: Exact,
    /// The day from which the price holds.
    pub from: Day,
    /// Who sells it.
    pub supplier: Option<SupplierId>,
    /// The list that it stands in.
    pub list: PriceListId,
}

impl Quote {
    /// What a purchased gram costs, in the currency that is costed in.
    pub fn per_gram(&self) -> Exact {
        &self.converted / &self.pack
    }
}

/// Why an ingredient has no price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoPrice {
    /// No list has one that holds by the day.
    NotListed,
    /// The pack can't be weighed: its density or piece mass isn't known, or it holds nothing.
    NoPackMass,
    /// No rate holds by the day that would convert it.
    NoRate {
        /// The currency of the price.
        from: Currency,
        /// The currency that is costed in.
        to: Currency,
    },
}

impl<'a> PriceBook<'a> {
    /// The group's own prices, in the book's currency.
    pub fn of_group(currency: Currency, lists: impl IntoIterator<Item = &'a PriceList>) -> Self {
        Self::new(currency, None, None, lists)
    }

    /// What a site pays, in its own currency or else the book's. Other sites' lists are left out.
    pub fn of_site(
        site: &'a Site,
        currency: Currency,
        lists: impl IntoIterator<Item = &'a PriceList>,
    ) -> Self {
        Self::new(site.currency.unwrap_or(currency), site.labour_rate, Some(site), lists)
    }

    fn new(
        currency: Currency,
        labour_rate: Option<HourlyRate>,
        site: Option<&'a Site>,
        lists: impl IntoIterator<Item = &'a PriceList>,
    ) -> Self {
        let mut lists: Vec<&PriceList> = lists.into_iter().collect();
        lists.sort_by(|a, b| a.id.cmp(&b.id));
        let (group, of_sites): (Vec<_>, Vec<_>) =
            lists.into_iter().partition(|list| list.site.is_none());
        let is_own = |list: &&PriceList| list.site.as_ref() == site.map(|site| &site.id);
        let own: Vec<&PriceList> = of_sites.into_iter().filter(is_own).collect();
        let mut entries: HashMap<&IngredientId, [Vec<Entry<'_>>; 2]> = HashMap::new();
        for (level, lists) in [&own, &group].into_iter().enumerate() {
            for list in lists {
                for price in &list.prices {
                    let entry = Entry { price, list: &list.id };
                    entries.entry(&price.ingredient).or_default()[level].push(entry);
                }
            }
        }
        Self { currency, labour_rate, own, group, entries }
    }

    /// The currency that is costed in.
    pub fn currency(&self) -> Currency {
        self.currency
    }

    /// What an amount is worth in the currency that is costed in, where a rate holds by the day.
    pub fn convert(&self, amount: &Exact, from: Currency, day: Day) -> Option<Exact> {
        Some(amount * rate([&self.own, &self.group], from, self.currency, day)?)
    }

    /// What an hour of labour costs in the currency that is costed in.
    pub(super) fn hour(&self, day: Day) -> Option<Exact> {
        let HourlyRate(rate) = self.labour_rate?;
        self.convert(&rate.exact(), rate.currency, day).filter(|rate| !rate.is_negative())
    }

    /// The price of an ingredient on a day: the newest of the site's own that hold by then, else
    /// of the group's; of several the preferred, then the cheapest per gram, then by supplier,
    /// then as written.
    ///
    /// A price that can't be converted or weighed is as good as none, so it gives way to another.
    pub fn quote(
        &self,
        book: &CompiledBook,
        ingredient: IngredientIndex,
        day: Day,
    ) -> Result<Quote, NoPrice> {
        let ingredient = book.ingredient(ingredient);
        let levels = self.entries.get(&ingredient.id).ok_or(NoPrice::NotListed)?;
        let mut reason = NoPrice::NotListed;
        for entries in levels {
            let mut best: Option<Ranked> = None;
            for entry in entries.iter().filter(|entry| holds(entry.price, day)) {
                match self.quoted(ingredient, *entry, day) {
                    Ok(other) if best.as_ref().is_none_or(|best| other.rank() < best.rank()) => {
                        best = Some(other);
                    }
                    Ok(_) => {}
                    Err(fault) => reason = fault,
                }
            }
            if let Some(best) = best {
                return Ok(best.quote);
            }
        }
        Err(reason)
    }

    /// What an edible gram of an ingredient costs on a day, in the currency that is costed in.
    pub fn gram_cost(
        &self,
        book: &CompiledBook,
        ingredient: IngredientIndex,
        day: Day,
    ) -> Result<Exact, NoPrice> {
        let quote = self.quote(book, ingredient, day)?;
        Ok(quote.per_gram() / &book.ingredient(ingredient).edible_yield)
    }

    /// What an edible gram of an ingredient would cost by a price that no list has, converted by
    /// the rates of a day.
    pub fn gram_cost_by(
        &self,
        book: &CompiledBook,
        ingredient: IngredientIndex,
        (pack, price): (&Pack, &MoneyAmount),
        day: Day,
    ) -> Result<Exact, NoPrice> {
        let ingredient = book.ingredient(ingredient);
        let pack = pack_mass(ingredient, pack).ok_or(NoPrice::NoPackMass)?;
        let no_rate = NoPrice::NoRate { from: price.currency, to: self.currency };
        let converted = self.convert(&price.exact(), price.currency, day).ok_or(no_rate)?;
        Ok(converted / pack / &ingredient.edible_yield)
    }

    fn quoted(
        &self,
        ingredient: &CompiledIngredient,
        Entry { price: entry, list }: Entry<'_>,
        day: Day,
    ) -> Result<Ranked, NoPrice> {
        let pack = pack_mass(ingredient, &entry.pack).ok_or(NoPrice::NoPackMass)?;
        let (price, currency) = (entry.price.exact(), entry.price.currency);
        let no_rate = NoPrice::NoRate { from: currency, to: self.currency };
        let converted = self.convert(&price, currency, day).ok_or(no_rate)?;
        let (from, supplier, list) = (entry.from, entry.supplier.clone(), list.clone());
        let quote = Quote { pack, price, currency, converted, from, supplier, list };
        Ok(Ranked { preferred: entry.preferred, per_gram: quote.per_gram(), quote })
    }
}

/// A price with what it is chosen by.
struct Ranked {
    preferred: bool,
    per_gram: Exact,
    quote: Quote,
}

impl Ranked {
    /// The lowest is taken; of equal ranks the first that was written.
    fn rank(&self) -> (Reverse<Day>, Reverse<bool>, &Exact, &Option<SupplierId>) {
        let Quote { from, supplier, .. } = &self.quote;
        (Reverse(*from), Reverse(self.preferred), &self.per_gram, supplier)
    }
}

fn holds(price: &Price, day: Day) -> bool {
    price.from <= day && !price.price.number.is_negative()
}

/// Purchased grams of a pack, or nothing where they aren't known or not above 0.
///
/// A counted pack holds pieces as they are bought: their edible mass over the edible yield.
pub(super) fn pack_mass(ingredient: &CompiledIngredient, pack: &Pack) -> Option<Exact> {
    let mass = match pack {
        Pack::Mass(mass) => mass.quantity().grams(),
        Pack::Volume(volume) => volume.quantity().millilitres() * ingredient.density.as_ref()?,
        Pack::Count(count) => {
            count.quantity().0 * ingredient.piece_mass.as_ref()? / &ingredient.edible_yield
        }
    };
    mass.is_positive().then_some(mass)
}
