//! `prices/*.toml`: price lists, called by the names of their files.

use chablon_model::{DocumentKind, ExchangeRate, Price, PriceList, PriceListId};

use super::fields::Fields;
use super::notes::Named;
use super::quantity::{money, pack, plain_number};
use super::value::Value;
use crate::Finding;

/// A price list with the name of its file as id.
pub(super) fn price_list(fields: &mut Fields<'_>, stem: &str) -> Option<PriceList> {
    let id = list_id(fields, stem);
    let site = fields.optional("site", |value| value.reference(Named::Site));
    let prices = fields.each("price", |value| value.table("a price", price));
    let rates = fields.each("rate", |value| value.table("a rate", rate));
    if let Some(rates) = &rates {
        check_rates(rates, fields);
    }
    Some(PriceList { id: id?, site, prices: prices?, rates: rates? })
}

fn list_id(fields: &mut Fields<'_>, stem: &str) -> Option<PriceListId> {
    fields.notes().begin();
    if let Ok(id) = stem.parse::<PriceListId>() {
        fields.notes().identify(DocumentKind::Prices, (&id).into(), fields.span());
        return Some(id);
    }
    let message = format!("a price list is called by its file, and `{stem}` is not an id");
    fields.note(Finding::error("bad-id", message).at(fields.span(), "this file").hint(
        "rename it; an id has lower-case letters a-z and digits, with single hyphens between words",
    ));
    None
}

fn price(fields: &mut Fields<'_>) -> Option<Price> {
    let ingredient = fields.required("ingredient", |value| value.reference(Named::Ingredient));
    let pack = fields.required("pack", pack);
    let price = fields.required("price", money);
    let from = fields.required("from", Value::day);
    let supplier = fields.optional("supplier", Value::id);
    let preferred = fields.flag("preferred");
    Some(Price {
        ingredient: ingredient?,
        pack: pack?,
        price: price?,
        from: from?,
        supplier,
        preferred,
    })
}

fn rate(fields: &mut Fields<'_>) -> Option<ExchangeRate> {
    let from = fields.required("from", |value| value.parsed("bad-currency"));
    let to = fields.required("to", |value| value.parsed("bad-currency"));
    let rate = fields.required("rate", plain_number);
    let on = fields.required("on", Value::day);
    let rate = ExchangeRate { from: from?, to: to?, rate: rate?, on: on? };
    if rate.from == rate.to {
        fields.note(
            Finding::error("same-currency", format!("{} isn't changed into itself", rate.from))
                .at(fields.span_of("to"), "the same")
                .at(fields.span_of("from"), "as this")
                .hint("name two currencies, or take the rate out"),
        );
    }
    Some(rate)
}

/// Of two rates of one day neither is the newest.
fn check_rates(rates: &[ExchangeRate], fields: &Fields<'_>) {
    let same = |a: &ExchangeRate, b: &ExchangeRate| (a.from, a.to, a.on) == (b.from, b.to, b.on);
    for (index, rate) in rates.iter().enumerate() {
        let earlier = rates[..index].iter().position(|earlier| same(earlier, rate));
        if let Some(earlier) = earlier {
            let place = |index: usize| fields.span_of(&format!("rate[{index}]"));
            let message =
                format!("there are two rates from {} to {} on {}", rate.from, rate.to, rate.on);
            fields.note(
                Finding::error("duplicate-rate", message)
                    .at(place(index), "again")
                    .at(place(earlier), "the first")
                    .hint("take one of them out, or date it otherwise"),
            );
        }
    }
}
