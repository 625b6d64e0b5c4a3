//! Our own answers to a case.

use chablon_book::AuthoredBook;
use chablon_sdk::arith::{self, CompiledBook, Demand, Library, PriceBook, SiteKit, Target};
use chablon_sdk::figures::Authored;
use chablon_sdk::model::{Day, DocumentContent, IngredientId, Site, SiteId};
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
        if case.get("products").is_some() { self.of_several(case) } else { self.of_one(case) }
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
