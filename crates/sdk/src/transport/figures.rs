//! Figures that the hub computes.

use std::fmt::Display;
use std::str::FromStr;

use chablon_arith::geometry::OvenPlan;
use chablon_arith::{self as arith, Hint, LabourCost, Target, TrayLoads, WeighFlag};
use chablon_model::{Day, Digest, Moment, Uses};
use chablon_quantity::{Authored, CountUnit, Currency, Exact, MassUnit, Number};
use chablon_wire::pb::figure_service_client::FigureServiceClient;
use chablon_wire::{At, Demand, Violation, Wire, moment, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES, given};
use crate::Error;
use crate::error::Kind;
use crate::figures::{
    Basis, Caution, Component, Costing, Figure, IngredientCost, IngredientTotal, Laid, Line,
    Missing, OrderLine, Plan, PriceUsed, Product, ReplicaState, Warning, Weighing,
};
use crate::hub::{FigureOf, FiguresOf};

pub(super) fn client(link: Link) -> FigureServiceClient<Link> {
    FigureServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn scale(hub: &Grpc, of: &FigureOf) -> Result<Plan, Error> {
    let request = hub.request(pb::ScaleRequest {
        site: of.site.to_string(),
        recipe: of.recipe.to_string(),
        target: Some(demand(&of.target)?.to_pb()),
        at_ms: of.at.map(|at| at.0),
    });
    let answer = hub.attempt(|link| async move { client(link).scale(request).await }).await?;
    let demands = [arith::Demand::new(of.recipe.clone(), of.target.clone())];
    plan(given(answer.plan, "plan")?, &demands).map_err(|violation| Error::of_answer(&violation))
}

pub(super) async fn cost(hub: &Grpc, of: &FigureOf, on: Day) -> Result<Costing, Error> {
    let request = hub.request(pb::CostRequest {
        site: of.site.to_string(),
        recipe: of.recipe.to_string(),
        target: Some(demand(&of.target)?.to_pb()),
        on: Some(on.to_pb()),
        at_ms: of.at.map(|at| at.0),
    });
    let answer = hub.attempt(|link| async move { client(link).cost(request).await }).await?;
    let demands = vec![arith::Demand::new(of.recipe.clone(), of.target.clone())];
    let costing = costing(given(answer.costing, "costing")?, demands, on);
    costing.map_err(|violation| Error::of_answer(&violation))
}

pub(super) async fn scale_all(hub: &Grpc, of: &FiguresOf) -> Result<Plan, Error> {
    let request = hub.request(pb::ScaleAllRequest {
        site: of.site.to_string(),
        products: products(&of.demands)?,
        at_ms: of.at.map(|at| at.0),
    });
    let answer = hub.attempt(|link| async move { client(link).scale_all(request).await }).await?;
    let plan = plan(given(answer.plan, "plan")?, &of.demands);
    plan.map_err(|violation| Error::of_answer(&violation))
}

pub(super) async fn cost_all(hub: &Grpc, of: &FiguresOf, on: Day) -> Result<Costing, Error> {
    let request = hub.request(pb::CostAllRequest {
        site: of.site.to_string(),
        products: products(&of.demands)?,
        on: Some(on.to_pb()),
        at_ms: of.at.map(|at| at.0),
    });
    let answer = hub.attempt(|link| async move { client(link).cost_all(request).await }).await?;
    let costing = costing(given(answer.costing, "costing")?, of.demands.clone(), on);
    costing.map_err(|violation| Error::of_answer(&violation))
}

fn products(demands: &[arith::Demand]) -> Result<Vec<pb::ProductDemand>, Error> {
    let product = |one: &arith::Demand| {
        let target = Some(demand(&one.target)?.to_pb());
        Ok(pb::ProductDemand { recipe: one.recipe.to_string(), target })
    };
    demands.iter().map(product).collect()
}

/// A target as it travels: in grams and pieces.
fn demand(target: &Target) -> Result<Demand, Error> {
    let grams = |mass: &Exact| number(mass).map(|mass| Authored::new(mass, MassUnit::Gram));
    Ok(match target {
        Target::Pieces(count) => Demand::Pieces(Authored::new(number(count)?, CountUnit)),
        Target::NetMass(mass) => Demand::Mass(grams(mass)?),
        Target::Factor(factor) => Demand::Factor(number(factor)?),
        Target::WrittenBatches(batches) => Demand::Batches(number(batches)?),
        Target::OnHand { ingredient, mass } => {
            Demand::OnHand { ingredient: ingredient.clone(), mass: grams(mass)? }
        }
    })
}

/// A number in a form that an author could have written, and so that can be sent.
pub(super) fn number(exact: &Exact) -> Result<Number, Error> {
    let decimal = |exponent: i8| {
        let scaled = exact * Exact::power_of_ten(exponent.into());
        let (numerator, _) = scaled.parts().filter(|_| scaled.is_integer())?;
        Number::decimal(i64::try_from(numerator).ok()?, -exponent)
    };
    let fraction = || {
        let (numerator, denominator) = exact.parts()?;
        let (numerator, denominator) = (numerator.try_into().ok()?, denominator.try_into().ok()?);
        Number::fraction(0, numerator, denominator)
    };
    (0..=18).find_map(decimal).or_else(fraction).ok_or_else(|| {
        let hint = "give one of at most 18 digits";
        Error::new(Kind::Invalid, format!("the number {exact} is too long to be sent; {hint}"))
    })
}

type Read<T> = Result<T, Violation>;

fn plan(plan: pb::Plan, demands: &[arith::Demand]) -> Read<Plan> {
    let components = list(plan.components, component).at("plan.components")?;
    let products = if plan.products.is_empty() {
        // Hubs of before products were told answer for one, which is made last.
        let made = components.last().ok_or_else(|| Violation::new("is empty"));
        let made = made.at("plan.components")?;
        vec![(made.net_g.clone(), made.pieces.clone())]
    } else {
        list(plan.products, comes_to).at("plan.products")?
    };
    if products.len() != demands.len() {
        return Err(Violation::new("names other products than were asked for")).at("plan.products");
    }
    let product = |(demand, (net_g, pieces)): (&arith::Demand, _)| {
        let (recipe, target) = (demand.recipe.clone(), demand.target.clone());
        Product { recipe, target, net_g, pieces }
    };
    Ok(Plan {
        products: demands.iter().zip(products).map(product).collect(),
        site: Some(parsed(&plan.site, "plan.site")?),
        components,
        ingredients: list(plan.ingredients, total).at("plan.ingredients")?,
        basis: basis(plan.basis).at("plan.basis")?,
        deviations: list(plan.deviations, laid).at("plan.deviations")?,
        cautions: plan.cautions.into_iter().map(caution).collect(),
    })
}

/// What a product comes to.
fn comes_to(product: pb::PlannedProduct) -> Read<(Figure, Option<Figure>)> {
    let net_g = figure(product.net_g, "net_g", Figure::grams)?;
    Ok((net_g, optional(product.pieces, "pieces", Figure::pieces)?))
}

fn laid(laid: pb::LaidDeviation) -> Read<Laid> {
    Ok(Laid {
        id: parsed(&laid.deviation_id, "deviation_id")?,
        recipe: parsed(&laid.recipe, "recipe")?,
        departures: laid.departures,
        until: moment(laid.falls_away_ms).at("falls_away_ms")?,
        by: laid.granted_by,
        note: (!laid.note.is_empty()).then_some(laid.note),
    })
}

fn caution(caution: pb::Caution) -> Caution {
    Caution::AsTold { code: caution.code, text: caution.text }
}

fn component(component: pb::PlannedComponent) -> Read<Component> {
    Ok(Component {
        recipe: parsed(&component.recipe, "recipe")?,
        net_g: figure(component.net_g, "net_g", Figure::grams)?,
        pieces: optional(component.pieces, "pieces", Figure::pieces)?,
        batches: component.batches,
        factor: figure(component.factor, "factor", Figure::factor)?,
        input_g: figure(component.input_g, "input_g", Figure::grams)?,
        lines: list(component.lines, line).at("lines")?,
        trays: list(component.trays, tray_loads).at("trays")?,
        warnings: warnings(component.warnings, component.coded_warnings)?,
    })
}

/// Warnings with what programs read of them, where the hub says that.
fn warnings(texts: Vec<String>, coded: Vec<pb::PlanWarning>) -> Read<Vec<Warning>> {
    if coded.is_empty() {
        let bare = |text| Warning { code: None, line: None, text };
        return Ok(texts.into_iter().map(bare).collect());
    }
    if coded.len() != texts.len() {
        return Err(Violation::new("doesn't go with the warnings").at("coded_warnings"));
    }
    let each = |(text, pb::PlanWarning { code, line })| {
        let line = if line == 0 { None } else { Some(line_number(line).at("coded_warnings")?) };
        Ok(Warning { code: Some(code), line, text })
    };
    texts.into_iter().zip(coded).map(each).collect()
}

fn tray_loads(loads: pb::TrayLoads) -> Read<TrayLoads> {
    let pb::TrayLoads { equipment, pieces, per_tray, trays, last_tray, per_load, loads, last_load } =
        loads;
    Ok(TrayLoads {
        equipment: parsed(&equipment, "equipment")?,
        pieces,
        oven: OvenPlan { per_tray, per_load, trays, last_tray, loads, last_load },
    })
}

fn line(line: pb::PlannedLine) -> Read<Line> {
    let uses = match line.item.ok_or_else(|| Violation::new("is required")).at("item")? {
        pb::planned_line::Item::Ingredient(id) => Uses::Ingredient(parsed(&id, "ingredient")?),
        pb::planned_line::Item::Component(id) => Uses::Component(parsed(&id, "component")?),
    };
    let mass_g = figure(line.mass_g, "mass_g", Figure::grams)?;
    Ok(Line {
        number: line_number(line.line).at("line")?,
        uses,
        to_taste: *mass_g.exact() == Exact::from(0),
        mass_g,
        per_batch_g: figure(line.per_batch_g, "per_batch_g", Figure::grams)?,
        bakers_percent: optional(line.bakers_percent, "bakers_percent", Figure::percent)?,
        weigh: line.weigh.map(weighing).transpose().at("weigh")?,
        hints: list(line.hints, hint).at("hints")?,
    })
}

fn line_number(number: u32) -> Read<usize> {
    usize::try_from(number).map_err(|error| Violation::new(error.to_string()))
}

fn hint(hint: pb::WeighingHint) -> Read<Hint> {
    use pb::weighing_hint::Hint as Form;
    Ok(match hint.hint.ok_or_else(|| Violation::new("is not one that this version knows"))? {
        Form::FinerScale(finer) => {
            Hint::FinerScale { increment: value(finer.increment_g, "increment_g")? }
        }
        Form::LargerBatch(larger) => Hint::LargerBatch {
            times: value(larger.times, "times")?,
            mass: value(larger.mass_g, "mass_g")?,
        },
        Form::PreMix(mix) => Hint::PreMix {
            carrier: line_number(mix.carrier_line).at("carrier_line")?,
            weigh: value(mix.weigh_g, "weigh_g")?,
            carrier_mass: value(mix.carrier_g, "carrier_g")?,
            take: value(mix.take_g, "take_g")?,
        },
    })
}

fn weighing(weighing: pb::Weighing) -> Read<Weighing> {
    Ok(Weighing {
        flag: match weighing.flag() {
            pb::WeighingFlag::WithinTolerance => None,
            pb::WeighingFlag::AboveTolerance => Some(WeighFlag::OverTolerance),
            pb::WeighingFlag::ReadsZero => Some(WeighFlag::ReadsZero),
            pb::WeighingFlag::Unspecified => {
                return Err(Violation::new("is not a value that this version knows").at("flag"));
            }
        },
        scale: weighing.scale,
        weighings: weighing.weighings,
        reading_g: figure(weighing.reading_g, "reading_g", Figure::grams)?,
        error_percent: figure(weighing.error_percent, "error_percent", Figure::percent)?,
    })
}

fn total(total: pb::IngredientTotal) -> Read<IngredientTotal> {
    Ok(IngredientTotal {
        ingredient: parsed(&total.ingredient, "ingredient")?,
        mass_g: figure(total.mass_g, "mass_g", Figure::grams)?,
    })
}

fn costing(costing: pb::Costing, products: Vec<arith::Demand>, on: Day) -> Read<Costing> {
    let currency: Currency = parsed(&costing.currency, "costing.currency")?;
    let money = |exact| Figure::total(exact, currency);
    let labour_known = costing.labour.is_some();
    let labour = optional(costing.labour, "costing.labour", money)?;
    let ingredients = list(costing.ingredients, |one| ingredient(one, currency));
    let ingredients = ingredients.at("costing.ingredients")?;
    let order = list(costing.order, |line| order_line(line, currency)).at("costing.order")?;
    Ok(Costing {
        products,
        site: parsed(&costing.site, "costing.site")?,
        on,
        currency,
        missing: missing(&costing.missing, &ingredients, labour_known),
        food: figure(costing.food, "costing.food", money)?,
        labour: labour.unwrap_or_else(|| money(Exact::from(0))),
        total: figure(costing.total, "costing.total", money)?,
        per_piece: optional(costing.per_piece, "costing.per_piece", Figure::unit_cost)?,
        per_kg: figure(costing.per_kg, "costing.per_kg", Figure::unit_cost)?,
        ingredients,
        labour_by_recipe: list(costing.labour_by_recipe, recipe_labour)
            .at("costing.labour_by_recipe")?,
        order,
        basis: basis(costing.basis).at("costing.basis")?,
        deviations: list(costing.deviations, laid).at("costing.deviations")?,
        cautions: costing.cautions.into_iter().map(caution).collect(),
    })
}

/// What is missing: the hub says it in words for people, in the order of what has no cost.
fn missing(texts: &[String], ingredients: &[IngredientCost], labour_known: bool) -> Vec<Missing> {
    let unpriced = ingredients.iter().filter(|one| one.cost.is_none());
    let keys = unpriced.map(|one| one.ingredient.to_string());
    let keys = keys.chain((!labour_known).then(|| "labour_rate".to_owned()));
    let text = texts.iter().cloned().map(Some).chain(std::iter::repeat(None));
    keys.zip(text)
        .map(|(key, text)| Missing { text: text.unwrap_or_else(|| key.clone()), key })
        .collect()
}

fn recipe_labour(labour: pb::RecipeLabour) -> Read<LabourCost> {
    Ok(LabourCost {
        recipe: parsed(&labour.recipe, "recipe")?,
        seconds: value(labour.seconds, "seconds")?,
        cost: labour.cost.map(|cost| value(Some(cost), "cost")).transpose()?,
    })
}

fn ingredient(cost: pb::IngredientCost, currency: Currency) -> Read<IngredientCost> {
    Ok(IngredientCost {
        ingredient: parsed(&cost.ingredient, "ingredient")?,
        mass_g: figure(cost.mass_g, "mass_g", Figure::grams)?,
        purchased_g: figure(cost.purchased_g, "purchased_g", Figure::grams)?,
        cost: optional(cost.cost, "cost", |exact| Figure::total(exact, currency))?,
        price: cost.price.map(price).transpose().at("price")?,
    })
}

fn price(price: pb::PriceUsed) -> Read<PriceUsed> {
    let currency: Currency = parsed(&price.currency, "currency")?;
    let from = price.from.ok_or_else(|| Violation::new("is required")).at("from")?;
    let supplier = (!price.supplier.is_empty()).then(|| parsed(&price.supplier, "supplier"));
    Ok(PriceUsed {
        pack_g: figure(price.pack_g, "pack_g", Figure::grams)?,
        price: figure(price.price, "price", |exact| Figure::total(exact, currency))?,
        currency,
        from: Day::from_pb(from).at("from")?,
        supplier: supplier.transpose()?,
        list: parsed(&price.list, "list")?,
    })
}

fn order_line(line: pb::OrderLine, currency: Currency) -> Read<OrderLine> {
    Ok(OrderLine {
        ingredient: parsed(&line.ingredient, "ingredient")?,
        packs: line.packs,
        cost: figure(line.cost, "cost", |exact| Figure::total(exact, currency))?,
    })
}

pub(super) fn basis(basis: Option<pb::Basis>) -> Read<Basis> {
    let basis = basis.ok_or_else(|| Violation::new("is required"))?;
    let digests = list(basis.digests, Digest::from_pb).at("digests")?;
    Ok(Basis {
        rules: basis.rules_version.to_string(),
        digests: digests.into_iter().collect(),
        replica: replica_state(basis.replica),
    })
}

/// The exact figure. The rounded one that comes with it is for those who can't compute.
pub(super) fn figure(
    figure: Option<pb::Figure>,
    name: &str,
    of: impl FnOnce(Exact) -> Figure,
) -> Read<Figure> {
    value(figure, name).map(of)
}

/// What a figure is exactly.
fn value(figure: Option<pb::Figure>, name: &str) -> Read<Exact> {
    let figure = figure.ok_or_else(|| Violation::new("is required")).at(name)?;
    let exact = figure.exact.parse().map_err(|error| Violation::new(format!("{error}")));
    exact.at("exact").at(name)
}

pub(super) fn optional(
    value: Option<pb::Figure>,
    name: &str,
    of: impl FnOnce(Exact) -> Figure,
) -> Read<Option<Figure>> {
    value.map(|value| figure(Some(value), name, of)).transpose()
}

pub(super) fn list<P, T>(items: Vec<P>, read: impl Fn(P) -> Read<T>) -> Read<Vec<T>> {
    items.into_iter().enumerate().map(|(index, item)| read(item).at_index(index)).collect()
}

pub(super) fn parsed<T: FromStr<Err: Display>>(text: &str, name: &str) -> Read<T> {
    text.parse().map_err(|error: T::Err| Violation::new(error.to_string())).at(name)
}

/// How old the replica is that answered, where one did.
pub(super) fn replica_state(state: Option<pb::ReplicaState>) -> Option<ReplicaState> {
    state.map(|state| ReplicaState { heard_at: state.heard_at_ms.map(Moment) })
}

#[cfg(test)]
mod tests {
    use chablon_quantity::Exact;
    use chablon_wire::pb;
    use proptest::prelude::*;

    use super::{number, warnings};

    proptest! {
        /// What can be sent arrives as the same number.
        #[test]
        fn a_number_travels_exactly(
            numerator in -1_000_000_000_000i64..1_000_000_000_000,
            denominator in 1i64..1_000_000,
        ) {
            let exact = Exact::ratio(numerator.into(), denominator.into()).unwrap();
            prop_assert_eq!(number(&exact).unwrap().exact(), exact);
        }
    }

    #[test]
    fn an_older_hub_says_warnings_for_people_alone() {
        let texts = || vec!["taste it".to_owned(), "too little".to_owned()];
        let bare = warnings(texts(), vec![]).unwrap();
        assert_eq!((bare.len(), &bare[0].code, bare[0].line), (2, &None, None));
        let coded = |code: &str, line| pb::PlanWarning { code: code.to_owned(), line };
        let both = vec![coded("to-taste", 3), coded("below-minimum-batch", 0)];
        let told = warnings(texts(), both.clone()).unwrap();
        assert_eq!((told[0].code.as_deref(), told[0].line), (Some("to-taste"), Some(3)));
        assert_eq!((told[1].line, &*told[1].text), (None, "too little"));
        warnings(texts(), both[..1].to_vec()).unwrap_err();
    }

    #[test]
    fn a_number_that_is_too_long_is_refused() {
        assert!(number(&Exact::power_of_ten(40)).unwrap_err().is_invalid());
        let exact = Exact::ratio(1, 3_000_000_000_000_000_000).unwrap();
        assert!(number(&exact).unwrap_err().is_invalid());
    }
}
