//! `chablon shock`.

use chablon_model::{Day, IdError, IngredientId, Language, Pack, SiteId};
use chablon_quantity::{Authored, Exact, MoneyAmount, ParseError, ShareUnit};
use chablon_sdk::figures::{NewPrice, PriceChange, PriceMove};
use clap::Args;

use crate::arguments::{Format, SourceArguments, parse_language};
use crate::failure::{Exit, Failure};
use crate::source::Source;
use crate::{clock, console, text};

/// What other prices do to every recipe: old and new unit cost, the hardest hit first
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    moved: Moved,
    /// One kitchen; all kitchens of the book if not given
    #[arg(long, value_name = "ID")]
    site: Option<SiteId>,
    /// The day whose prices and rates count; today if not given
    #[arg(long, value_name = "DATE")]
    on: Option<Day>,
    /// The language of names
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Which prices move.
#[derive(Debug, Args)]
#[group(required = true, multiple = true)]
struct Moved {
    /// A price that moves, as often as needed: honey-acacia="+12 %", or
    /// butter-unsalted="82.50 EUR for 10 kg"
    #[arg(long = "price", value_name = "INGREDIENT=PRICE", value_parser = parse_change)]
    prices: Vec<PriceChange>,
    /// Instead: all that have moved since this day
    #[arg(long, value_name = "DATE", conflicts_with = "prices")]
    since: Option<Day>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let source = Source::open_whole(&arguments.source)?;
    let Moved { prices, since } = &arguments.moved;
    let moved = since.map_or_else(|| PriceMove::To(prices.clone()), PriceMove::Since);
    let site = arguments.site.as_ref();
    let shock = source.shock(&moved, site, arguments.on.unwrap_or_else(clock::today))?;
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(site, arguments.language.as_ref())?;
            source.sheet(text::shock_sheet(&shock, &names, console::width()), &names)
        }
        Format::Json => source.json(shock.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

fn parse_change(text: &str) -> Result<PriceChange, String> {
    let (ingredient, price) = text.split_once('=').ok_or_else(|| {
        format!("`{text}` names no price; write INGREDIENT=PRICE, such as honey-acacia=\"+12 %\"")
    })?;
    let ingredient: IngredientId =
        ingredient.trim().parse().map_err(|error: IdError| error.to_string())?;
    let to = parse_price(price.trim())?;
    Ok(PriceChange { ingredient, to })
}

/// `+12 %`, `-5 %` or `82.50 EUR for 10 kg`.
fn parse_price(text: &str) -> Result<NewPrice, String> {
    let by = |share: &str| share.trim().parse::<Authored<ShareUnit>>().map(|one| one.quantity().0);
    let wrong = |error: ParseError| error.to_string();
    if let Some(share) = text.strip_prefix('+') {
        return Ok(NewPrice::By(by(share).map_err(wrong)?));
    }
    if let Some(share) = text.strip_prefix('-') {
        let by = Exact::from(0) - by(share).map_err(wrong)?;
        if by < Exact::from(-1) {
            return Err(format!("`{text}` is more than all of it"));
        }
        return Ok(NewPrice::By(by));
    }
    let (price, pack) = text.split_once(" for ").ok_or_else(|| {
        format!("`{text}` is no price; write \"+12 %\", \"-5 %\" or \"82.50 EUR for 10 kg\"")
    })?;
    let price: MoneyAmount = price.trim().parse().map_err(wrong)?;
    Ok(NewPrice::Pack { pack: parse_pack(pack.trim())?, price })
}

fn parse_pack(text: &str) -> Result<Pack, String> {
    let mass = text.parse().map(Pack::Mass);
    let volume = mass.or_else(|_| text.parse().map(Pack::Volume));
    volume.or_else(|_: ParseError| text.parse().map(Pack::Count)).map_err(|_: ParseError| {
        format!("`{text}` is no pack; write a mass, a volume or a count, such as 10 kg")
    })
}

#[cfg(test)]
mod tests {
    use test_case::test_case;

    use super::*;

    #[test_case("+12 %", &NewPrice::By("3/25".parse().unwrap()); "dearer")]
    #[test_case("-5%", &NewPrice::By("-1/20".parse().unwrap()); "cheaper")]
    #[test_case("4 EUR for 1 kg", &NewPrice::Pack { pack: Pack::Mass("1 kg".parse().unwrap()), price: "4 EUR".parse().unwrap() }; "a pack by mass")]
    #[test_case("4 EUR for 30 pieces", &NewPrice::Pack { pack: Pack::Count("30 pieces".parse().unwrap()), price: "4 EUR".parse().unwrap() }; "a pack by count")]
    fn a_price_is_read_as_it_is_said(text: &str, to: &NewPrice) {
        assert_eq!(parse_change(&format!("honey={text}")).unwrap().to, *to);
    }

    #[test_case("honey"; "no price")]
    #[test_case("honey=12 %"; "neither up nor down")]
    #[test_case("honey=-101 %"; "more than all")]
    #[test_case("honey=4 EUR for much"; "no pack")]
    #[test_case("honey=4 for 1 kg"; "no currency")]
    fn what_is_no_price_is_refused(text: &str) {
        parse_change(text).unwrap_err();
    }
}
