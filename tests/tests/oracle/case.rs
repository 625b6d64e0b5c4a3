//! Our own answers to a case.

use chablon_book::AuthoredBook;
use chablon_sdk::arith::{self, CompiledBook, Demand, Library, PriceBook, SiteKit, Target};
use chablon_sdk::figures::{Authored, NewPrice, PriceChange, PriceMove};
use chablon_sdk::model::{Day, DocumentContent, IngredientId, Pack, Site, SiteId};
use chablon_sdk::quantity::Exact;
use serde_json::Value;

use crate::products;

/// A book, made ready once for all of its cases.
pub(crate) struct Kitchen<'a> {
    pub(crate) book: &'a AuthoredBook,
    pub(crate) compiled: CompiledBook,
    authored: Authored<'a>,
}

impl<'a> Kitchen<'a> {
    pub(crate) fn new(book: &'a AuthoredBook, documents: &'a [DocumentContent]) -> Self {
        let (compiled, _) = arith::compile(&Library::new(&book.ingredients, &book.recipes));
        Self { book, compiled, authored: Authored::new(documents) }
    }

    /// The answer, or the code of the refusal.
    pub(crate) fn answer(&self, case: &Value) -> Result<Value, String> {
        match case["command"].as_str() {
            Some("shock") => Ok(self.of_prices(case)),
            _ if case.get("products").is_some() => self.of_several(case),
            _ => self.of_one(case),
        }
    }

    /// One product, by the path that the command line takes.
    fn of_one(&self, case: &Value) -> Result<Value, String> {
        let Demand { recipe, target } = demand(case);
        let site = case["site"].as_str().map(|site| site.parse::<SiteId>().expect("a site's id"));
        let answer = match (day(case), site) {
            (None, site) => {
                self.authored.scale(&recipe, &target, site.as_ref()).map(|plan| plan.to_json())
            }
            (Some(day), site) => self
                .authored
                .cost(&recipe, &target, &site.expect("a cost has a site"), day)
                .map(|costing| costing.to_json()),
        };
        answer.map_err(|error| error.detail("code").unwrap_or("without a code").to_owned())
    }

    /// Several products at once.
    fn of_several(&self, case: &Value) -> Result<Value, String> {
        let demands: Vec<Demand> =
            case["products"].as_array().expect("products").iter().map(demand).collect();
        let kit = self.kit(case);
        let plan = arith::plan(&self.compiled, &demands, kit.as_ref());
        let plan = plan.map_err(|error| error.code().to_owned())?;
        Ok(match self.prices(case) {
            None => products::plan(&plan, case["site"].as_str()),
            Some((prices, day)) => {
                products::costing(&arith::cost(&self.compiled, &plan, &prices, day))
            }
        })
    }

    /// Prices that move at a site, by the path that the command line takes.
    fn of_prices(&self, case: &Value) -> Value {
        let site = text(&case["site"]).parse().expect("a site's id");
        let moved = match case["since"].as_str() {
            Some(day) => PriceMove::Since(day.parse().expect("a day")),
            None => PriceMove::To(
                case["prices"].as_array().expect("prices").iter().map(change).collect(),
            ),
        };
        let on = day(case).expect("a day");
        let shock = self.authored.shock(&moved, Some(&site), on).expect("prices that can move");
        shock.to_json()["sites"][0].take()
    }

    fn site(&self, case: &Value) -> Option<&'a Site> {
        let id = case["site"].as_str()?;
        self.book.sites.iter().find(|site| site.id.as_str() == id)
    }

    pub(crate) fn kit(&self, case: &Value) -> Option<SiteKit> {
        self.site(case).map(SiteKit::from)
    }

    /// The prices of a case, if it asks for a cost.
    pub(crate) fn prices(&self, case: &Value) -> Option<(PriceBook<'a>, Day)> {
        let (day, site) = (day(case)?, self.site(case).expect("a cost has a site"));
        let currency = self.book.settings.currency;
        Some((PriceBook::of_site(site, currency, &self.book.price_lists), day))
    }
}

fn day(case: &Value) -> Option<Day> {
    case["on"].as_str().map(|day| day.parse().expect("a day"))
}

/// What is asked of one recipe.
pub(crate) fn demand(asked: &Value) -> Demand {
    Demand::new(text(&asked["recipe"]).parse().expect("a recipe's id"), target(&asked["target"]))
}

fn change(asked: &Value) -> PriceChange {
    let to = match asked["by"].as_str() {
        Some(part) => NewPrice::By(part.parse().expect("a part")),
        None => NewPrice::Pack {
            pack: pack(text(&asked["pack"])),
            price: text(&asked["price"]).parse().expect("a price"),
        },
    };
    PriceChange { ingredient: text(&asked["ingredient"]).parse().expect("an id"), to }
}

fn pack(text: &str) -> Pack {
    let mass = text.parse().map(Pack::Mass);
    let volume = mass.or_else(|_| text.parse().map(Pack::Volume));
    volume.or_else(|_| text.parse().map(Pack::Count)).expect("a pack")
}

fn target(target: &Value) -> Target {
    let exact = |figure: &Value| -> Exact { text(&figure["exact"]).parse().expect("a figure") };
    let (kind, value) = target.as_object().and_then(|one| one.iter().next()).expect("a target");
    match kind.as_str() {
        "pieces" => Target::Pieces(exact(value)),
        "mass_g" => Target::NetMass(exact(value)),
        "factor" => Target::Factor(exact(value)),
        "batches" => Target::WrittenBatches(exact(value)),
        "on_hand" => {
            let ingredient: IngredientId = text(&value["ingredient"]).parse().expect("an id");
            Target::OnHand { ingredient, mass: exact(&value["mass_g"]) }
        }
        other => panic!("`{other}` is no kind of target"),
    }
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}
