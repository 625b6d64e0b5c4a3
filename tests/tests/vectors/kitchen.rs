//! Scaling and costing of a book.

use chablon_book::{AuthoredBook, Outcome, Severity};
use chablon_sdk::arith::{self, CompiledBook, Demand, Library, PriceBook, SiteKit};
use chablon_sdk::figures::{Authored, Figure};
use chablon_sdk::model::{RecipeId, Site, SiteId};
use serde_json::{Value, json};

use crate::given::{Answer, Given, Refusal};
use crate::numbers::{figure, target};
use crate::products;

/// The book of a case; a book with errors is refused whole.
fn book(read: &Outcome) -> Result<&AuthoredBook, Refusal> {
    let errors = read.findings.iter().filter(|finding| finding.severity == Severity::Error);
    let codes = || errors.map(|finding| finding.code.to_string()).collect();
    read.book.as_ref().ok_or_else(|| Refusal::Codes(codes()))
}

/// The compiled book, unless the recipe asked for or something that it uses is refused. What
/// counts is why, so the reasons of all refused recipes are given.
fn compile(book: &AuthoredBook, recipe: &str) -> Result<CompiledBook, Refusal> {
    let (compiled, problems) = arith::compile(&Library::new(&book.ingredients, &book.recipes));
    if compiled.find_recipe(&id(recipe)).is_some() {
        return Ok(compiled);
    }
    Err(Refusal::Codes(problems.iter().map(|one| one.code().to_owned()).collect()))
}

fn id(recipe: &str) -> RecipeId {
    recipe.parse().expect("a recipe's id")
}

fn refused(error: &arith::PlanError) -> Refusal {
    Refusal::Codes(vec![error.code().to_owned()])
}

fn failed(error: &chablon_sdk::Error) -> Refusal {
    Refusal::Codes(error.detail("code").map(str::to_owned).into_iter().collect())
}

/// Prices that can't be used refuse a cost.
fn sound_prices(book: &AuthoredBook, compiled: &CompiledBook) -> Result<(), Refusal> {
    let library = Library::new(&book.ingredients, &book.recipes);
    let problems = arith::check_prices(&library, compiled, &book.price_lists);
    let codes: Vec<String> = problems.iter().map(|one| one.code().to_owned()).collect();
    if codes.is_empty() { Ok(()) } else { Err(Refusal::Codes(codes)) }
}

pub(crate) fn scale(read: &Outcome, given: Given<'_>) -> Answer {
    let book = book(read)?;
    compile(book, given.text("recipe"))?;
    let documents = book.documents();
    let site: Option<SiteId> = given.maybe_text("site").map(|site| site.parse().expect("an id"));
    let target = target(given.part("target"))?;
    let plan = Authored::new(&documents).scale(&id(given.text("recipe")), &target, site.as_ref());
    plan.map(|plan| plan.to_json()).map_err(|error| failed(&error))
}

pub(crate) fn cost(read: &Outcome, given: Given<'_>) -> Answer {
    let book = book(read)?;
    sound_prices(book, &compile(book, given.text("recipe"))?)?;
    let documents = book.documents();
    let site: SiteId = given.text("site").parse().expect("an id");
    let (target, day) = (target(given.part("target"))?, given.day("on"));
    let cost = Authored::new(&documents).cost(&id(given.text("recipe")), &target, &site, day);
    cost.map(|cost| cost.to_json()).map_err(|error| failed(&error))
}

fn site<'a>(book: &'a AuthoredBook, given: Given<'_>) -> Option<&'a Site> {
    let id = given.maybe_text("site")?;
    Some(book.sites.iter().find(|site| site.id.as_str() == id).expect("a site of the book"))
}

fn planned(book: &AuthoredBook, given: Given<'_>) -> Result<(CompiledBook, arith::Plan), Refusal> {
    let (compiled, _) = arith::compile(&Library::new(&book.ingredients, &book.recipes));
    let demand =
        |one: Given<'_>| Ok(Demand::new(id(one.text("recipe")), target(one.part("target"))?));
    let demands: Result<Vec<Demand>, Refusal> = given.parts("products").map(demand).collect();
    let kit = site(book, given).map(SiteKit::from);
    let plan = arith::plan(&compiled, &demands?, kit.as_ref()).map_err(|error| refused(&error))?;
    Ok((compiled, plan))
}

pub(crate) fn plan(read: &Outcome, given: Given<'_>) -> Answer {
    let (_, plan) = planned(book(read)?, given)?;
    Ok(products::plan(&plan, given.maybe_text("site")))
}

pub(crate) fn cost_plan(read: &Outcome, given: Given<'_>) -> Answer {
    let book = book(read)?;
    let (compiled, plan) = planned(book, given)?;
    let prices = prices(book, given);
    Ok(products::costing(&arith::cost(&compiled, &plan, &prices, given.day("on"))))
}

fn prices<'a>(book: &'a AuthoredBook, given: Given<'_>) -> PriceBook<'a> {
    let site = site(book, given).expect("a cost has a site");
    PriceBook::of_site(site, book.settings.currency, &book.price_lists)
}

pub(crate) fn standard_cost(read: &Outcome, given: Given<'_>) -> Answer {
    let book = book(read)?;
    let compiled = compile(book, given.text("recipe"))?;
    let costs = arith::standard_costs(&compiled, &prices(book, given), given.day("on"));
    let index = compiled.find_recipe(&id(given.text("recipe"))).expect("it compiles");
    let cost = costs[index.0].as_ref().expect("no figure of a vector is too long");
    let (per, food) = match &cost.per_piece {
        Some(piece) => ("piece", piece),
        None => ("gram", &cost.per_gram),
    };
    let food = Figure::unit_cost(food.clone()).to_json();
    Ok(json!({"per": per, "food": food, "complete": cost.complete}))
}

pub(crate) fn written_batch(read: &Outcome, given: Given<'_>) -> Answer {
    let compiled = compile(book(read)?, given.text("recipe"))?;
    let index = compiled.find_recipe(&id(given.text("recipe"))).expect("it compiles");
    let recipe = compiled.recipe(index);
    let (_, problems) =
        arith::compile(&Library::new(&book(read)?.ingredients, &book(read)?.recipes));
    let of_it = problems.iter().filter(|one| one.recipe() == Some(&recipe.id));
    let warnings: Value = of_it.map(|one| json!({"code": one.code()})).collect();
    let mut found = json!({
        "input_g": figure(&recipe.input(), 3),
        "net_g": figure(&recipe.net, 3),
        "unexplained_percent": Figure::percent(&recipe.unexplained_loss * chablon_sdk::quantity::Exact::from(100)).to_json(),
        "warnings": warnings,
    });
    if let (Some(pieces), Some(each)) = (&recipe.pieces, &recipe.piece_mass) {
        found["pieces"] = figure(pieces, 3);
        found["piece_g"] = figure(each, 3);
    }
    Ok(found)
}
