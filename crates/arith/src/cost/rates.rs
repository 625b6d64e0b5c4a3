//! Exchange rates of a day.

use chablon_model::{Day, ExchangeRate, PriceList};
use chablon_quantity::{Currency, Exact};

/// What one unit of a currency is worth in another on a day.
///
/// A direct rate comes before the inverse of the opposite one, the site's lists before the
/// group's, then the newest that holds by the day; of several of one day the last written. Two
/// rates are never chained through a third currency.
pub(super) fn rate(
    levels: [&[&PriceList]; 2],
    from: Currency,
    to: Currency,
    day: Day,
) -> Option<Exact> {
    if from == to {
        return Some(Exact::from(1));
    }
    let newest = |from, to| levels.into_iter().find_map(|lists| newest(lists, from, to, day));
    newest(from, to).or_else(|| Exact::from(1).checked_div(&newest(to, from)?))
}

fn newest(lists: &[&PriceList], from: Currency, to: Currency, day: Day) -> Option<Exact> {
    let rates = lists.iter().flat_map(|list| &list.rates);
    let holds = |rate: &&ExchangeRate| rate.from == from && rate.to == to && rate.on <= day;
    let positive = |rate: &&ExchangeRate| rate.rate.exact().is_positive();
    // The last of equal days is the one that `max_by_key` returns.
    let newest = rates.filter(holds).filter(positive).max_by_key(|rate| rate.on);
    newest.map(|rate| rate.rate.exact())
}
