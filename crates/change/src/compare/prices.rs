//! Price lists.

use chablon_model::{ExchangeRate, Price, PriceList};

use super::sink::Sink;
use crate::matching::{Pairing, differ};
use crate::{Pair, What, sense};

pub(super) fn compare(lists: Pair<&PriceList>, sink: &mut Sink<'_>) {
    let Pair { before, after } = lists;
    let PriceList { id: _, site, prices, rates } = after;
    sink.add(Pair::changed(before.site.clone(), site.clone()).map(What::PricesOf));
    compare_prices(Pair::new(&before.prices, prices), sink);
    compare_rates(Pair::new(&before.rates, rates), sink);
}

fn compare_prices(prices: Pair<&[Price]>, sink: &mut Sink<'_>) {
    let pairs = Pairing::of(prices)
        .by_key(|one| Some(sense::price(one)))
        .by_key(|one| Some((&one.ingredient, &one.supplier, one.from)))
        .by_key(|one| Some((&one.ingredient, &one.supplier)));
    for price in pairs.items().filter(|price| differ(price, sense::price)) {
        sink.add(What::Price(price.map(|price| price.cloned().map(Box::new))));
    }
}

fn compare_rates(rates: Pair<&[ExchangeRate]>, sink: &mut Sink<'_>) {
    let pairs = Pairing::of(rates)
        .by_key(|one| Some(sense::rate(one)))
        .by_key(|one| Some((one.from, one.to, one.on)))
        .by_key(|one| Some((one.from, one.to)));
    for rate in pairs.items().filter(|rate| differ(rate, sense::rate)) {
        sink.add(What::Rate(rate.map(Option::<&ExchangeRate>::cloned)));
    }
}
