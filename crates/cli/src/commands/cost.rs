//! `chablon cost`.

use chablon_arith::price_for_share;
use chablon_model::{Day, Language, SiteId};
use chablon_quantity::{Authored, Exact, ShareUnit};
use chablon_sdk::figures::{Costing, Figure, Plan};
use clap::Args;
use serde_json::{Value, json};

use crate::arguments::{DemandArguments, Format, SourceArguments, parse_language};
use crate::failure::{Exit, Failure};
use crate::source::{Asked, Source};
use crate::text::{self, Costed, PriceForShare};
use crate::{clock, console};

/// What a demand costs at a kitchen by the prices of a day, and what to order for it
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    demand: DemandArguments,
    /// The kitchen whose prices count
    #[arg(long, value_name = "ID")]
    site: Option<SiteId>,
    /// The day whose prices and rates count; today if not given
    #[arg(long, value_name = "DATE")]
    on: Option<Day>,
    /// Also the price of which the food is this share: "28 %"
    #[arg(long, value_name = "SHARE", value_parser = parse_share)]
    food_share: Option<Authored<ShareUnit>>,
    /// The language of names; the kitchen's own if not given
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let demands = arguments.demand.demands();
    let source = Source::open_for(&arguments.source, &demands)?;
    let site = arguments.site.as_ref();
    let asked = Asked { demands: &demands, site };
    let costing = source.cost(&asked, arguments.on.unwrap_or_else(clock::today))?;
    let plan = source.scale(&asked)?;
    let for_share = arguments.food_share.and_then(|share| for_share(&plan, &costing, share));
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(Some(&costing.site), arguments.language.as_ref())?;
            let costed = Costed { plan: &plan, costing: &costing, for_share: for_share.as_ref() };
            source.sheet(text::cost_sheet(&costed, &names, console::width()), &names)
        }
        Format::Json => source.json(json(&costing, for_share.as_ref())),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

/// The cost's own keys, with the price for a share beside them.
fn json(costing: &Costing, for_share: Option<&PriceForShare>) -> Value {
    let mut value = costing.to_json();
    if let Some((object, price)) = value.as_object_mut().zip(for_share) {
        let price = json!({
            "food_share_percent": Figure::percent(price.percent.clone()).to_json(),
            "total": price.total.to_json(),
            "per_piece": price.per_piece.as_ref().map(Figure::to_json),
            "per_kg": price.per_kg.to_json(),
        });
        object.insert("price_for_food_share".to_owned(), price);
    }
    value
}

fn for_share(plan: &Plan, costing: &Costing, share: Authored<ShareUnit>) -> Option<PriceForShare> {
    let total = price_for_share(costing.food.exact(), &share.quantity())?;
    let net: Exact = plan.products.iter().map(|product| product.net_g.exact()).sum();
    let per_kg = total.checked_div(&net)? * Exact::from(1000);
    let pieces = plan.only_product().and_then(|product| product.pieces.as_ref());
    Some(PriceForShare {
        percent: share.quantity().0 * Exact::from(100),
        per_piece: pieces
            .and_then(|pieces| total.checked_div(pieces.exact()))
            .map(Figure::unit_cost),
        per_kg: Figure::unit_cost(per_kg),
        total: Figure::total(total, costing.currency),
    })
}

fn parse_share(text: &str) -> Result<Authored<ShareUnit>, String> {
    let share: Authored<ShareUnit> =
        text.parse().map_err(|error: chablon_quantity::ParseError| error.to_string())?;
    if share.quantity().0.is_positive() {
        Ok(share)
    } else {
        Err(format!("`{text}` is not above 0 %, so no price has that share"))
    }
}
