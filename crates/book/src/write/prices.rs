//! A price list.

use chablon_model::{ExchangeRate, Pack, Price, PriceList};

use super::page::Page;

pub(super) fn prices(list: &PriceList) -> String {
    let mut page = Page::default();
    page.optional("site", list.site.as_ref());
    list.prices.iter().for_each(|one| price(&mut page, one));
    list.rates.iter().for_each(|one| rate(&mut page, one));
    page.finish()
}

fn price(page: &mut Page, price: &Price) {
    page.table("[[price]]");
    page.text("ingredient", &price.ingredient);
    match &price.pack {
        Pack::Mass(mass) => page.text("pack", mass),
        Pack::Volume(volume) => page.text("pack", volume),
        Pack::Count(count) => page.text("pack", count),
    }
    page.text("price", price.price);
    page.raw("from", price.from);
    page.optional("supplier", price.supplier.as_ref());
    page.flag("preferred", price.preferred);
}

fn rate(page: &mut Page, rate: &ExchangeRate) {
    page.table("[[rate]]");
    page.text("from", rate.from);
    page.text("to", rate.to);
    page.text("rate", rate.rate);
    page.raw("on", rate.on);
}
