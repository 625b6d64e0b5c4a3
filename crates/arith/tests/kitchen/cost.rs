//! Costs worked by hand.

use chablon_arith::{
    Costing, Demand, Library, NoPrice, PriceBook, Target, compile, cost, plan, price_for_share,
    standard_costs,
};
use chablon_model::{ExchangeRate, Ingredient, Labour, Price, PriceList, Recipe, Site};
use chablon_quantity::{Exact, Share};

use crate::book::*;

fn eur() -> chablon_quantity::Currency {
    "EUR".parse().unwrap()
}

fn larder() -> Vec<Ingredient> {
    let flour = ingredient("flour");
    let egg = Ingredient {
        piece_mass: Some(q("50 g")),
        edible_yield: Some(q("80 %")),
        ..ingredient("egg")
    };
    let milk = Ingredient { density: Some(q("1.03 g/mL")), ..ingredient("milk") };
    vec![egg, flour, milk]
}

fn costing(recipe: &Recipe, target: Target, site: &Site, lists: &[PriceList]) -> Costing {
    let larder = larder();
    let (book, problems) = compile(&Library::new(&larder, [recipe]));
    assert_eq!(problems, []);
    let plan = plan(&book, &[Demand::new(recipe.id.clone(), target)], None).unwrap();
    cost(&book, &plan, &PriceBook::of_site(site, eur(), lists), day("2026-06-01"))
}

fn cake() -> Recipe {
    let lines =
        vec![take("flour", "500 g"), whole(take("egg", "3 pieces")), take("milk", "200 mL")];
    pieces(recipe("cake", lines), "10", None)
}

fn group() -> PriceList {
    list(
        "group",
        vec![
            price("flour", "25 kg", "20 EUR"),
            price("egg", "30 pieces", "6 EUR"),
            price("milk", "1 L", "1.10 EUR"),
        ],
    )
}

#[test]
fn packs_by_mass_volume_and_count() {
    let costing = costing(&cake(), Target::pieces(10), &site("harbour"), &[group()]);
    let costs: Vec<Option<Exact>> =
        costing.ingredients.iter().map(|one| one.cost.clone()).collect();
    // Eggs: 150 g edible are 187.5 g bought; a pack of 30 is 1500 / 0.8 = 1875 g for 6 EUR.
    // Flour: 500 g of 25 kg for 20 EUR. Milk: 200 mL of 1 L for 1.10 EUR.
    assert_eq!(costs, [Some(n("3/5")), Some(n("2/5")), Some(n("11/50"))]);
    assert_eq!(costing.food, n("61/50"));
    assert_eq!(costing.per_piece, Some(n("61/500")));
    assert!(costing.is_complete());
    assert_eq!(costing.order.iter().map(|line| line.packs.clone()).sum::<Exact>(), n("3"));
    assert_eq!(costing.order_total(), n("271/10"));
}

#[test]
fn whole_pieces_are_ordered_whole() {
    // 13 cakes need 195 g of egg, 3.9 eggs: 4 are ordered, in packs of 2.
    let lists = [list("group", vec![price("egg", "2 pieces", "1 EUR")])];
    let costing = costing(&cake(), Target::pieces(13), &site("harbour"), &lists);
    assert_eq!(costing.order[0].purchased, n("250"));
    assert_eq!(costing.order[0].packs, n("2"));
    assert_eq!(costing.food, n("39/20"));
    let missing: Vec<&str> = costing.missing.iter().map(chablon_arith::Missing::key).collect();
    assert_eq!(missing, ["flour", "milk"]);
}

#[test]
fn labour_by_batch_piece_and_mass() {
    let timed = step(cake(), "10 min", Labour::PerBatch);
    let timed = step(step(timed, "30 s", Labour::PerPiece), "1 h", Labour::WithMass);
    let timed = at_most(timed, "1 kg");
    let site = Site { labour_rate: Some("24 EUR/h".parse().unwrap()), ..site("harbour") };
    let paid = costing(&timed, Target::pieces(20), &site, &[group()]);
    // 1712 g in two batches: 2 x 600 s, 20 x 30 s, 2 x 3600 s = 9000 s at 24 EUR/h.
    assert_eq!(paid.labour_by_recipe[0].seconds, n("9000"));
    assert_eq!(paid.labour, n("60"));
    let unpaid = costing(&timed, Target::pieces(20), &crate::book::site("harbour"), &[group()]);
    assert_eq!(unpaid.missing, [chablon_arith::Missing::LabourRate]);
    assert_eq!(unpaid.total, unpaid.food);
}

/// Which price of flour is used on a day, by what a kilogram costs.
fn used(lists: &[PriceList], on: &str) -> Result<Exact, NoPrice> {
    let larder = larder();
    let cake = cake();
    let (book, _) = compile(&Library::new(&larder, [&cake]));
    let site = site("harbour");
    let flour = book.find_ingredient(&"flour".parse().unwrap()).unwrap();
    let quote = PriceBook::of_site(&site, eur(), lists).quote(&book, flour, day(on))?;
    Ok(quote.per_gram() * Exact::from(1000))
}

fn flour(euros: &str, from: &str) -> Price {
    Price { from: day(from), ..price("flour", "1 kg", euros) }
}

fn of_site(id: &str, site: &str, prices: Vec<Price>) -> PriceList {
    PriceList { site: Some(site.parse().unwrap()), ..list(id, prices) }
}

#[test]
fn the_sites_own_price_comes_first_once_it_holds() {
    let group = list("group", vec![flour("1 EUR", "2026-01-01"), flour("2 EUR", "2026-03-01")]);
    let own = of_site("harbour", "harbour", vec![flour("3 EUR", "2026-02-01")]);
    let other = of_site("millrace", "millrace", vec![flour("9 EUR", "2026-01-01")]);
    let lists = [other, own, group];
    assert_eq!(used(&lists, "2025-12-31"), Err(NoPrice::NotListed));
    assert_eq!(used(&lists, "2026-01-31"), Ok(n("1")));
    assert_eq!(used(&lists, "2026-02-01"), Ok(n("3")));
    assert_eq!(used(&lists, "2026-06-01"), Ok(n("3")));
}

#[test]
fn preferred_then_cheapest_then_supplier() {
    let by =
        |supplier: &str, price: Price| Price { supplier: Some(supplier.parse().unwrap()), ..price };
    let at = |euros| flour(euros, "2026-01-01");
    let preferred = Price { preferred: true, ..at("5 EUR") };
    let lists = |prices| [list("group", prices)];
    assert_eq!(used(&lists(vec![at("2 EUR"), preferred, at("1 EUR")]), "2026-06-01"), Ok(n("5")));
    assert_eq!(used(&lists(vec![at("2 EUR"), at("1 EUR")]), "2026-06-01"), Ok(n("1")));
    let equal = [by("mill", at("1 EUR")), by("dairy", at("1 EUR"))];
    let lists = lists(equal.to_vec());
    let larder = larder();
    let (book, _) = compile(&Library::new(&larder, []));
    let flour = book.find_ingredient(&"flour".parse().unwrap()).unwrap();
    let quote = PriceBook::of_group(eur(), &lists).quote(&book, flour, day("2026-06-01")).unwrap();
    assert_eq!(quote.supplier.unwrap().as_str(), "dairy");
}

#[test]
fn foreign_prices_need_a_rate_and_none_is_chained() {
    let pounds = flour("1 GBP", "2026-01-01");
    let rate = |from: &str, to: &str, rate: &str, on: &str| ExchangeRate {
        from: from.parse().unwrap(),
        to: to.parse().unwrap(),
        rate: rate.parse().unwrap(),
        on: day(on),
    };
    let with = |rates| [PriceList { rates, ..list("group", vec![pounds.clone()]) }];
    let no_rate = Err(NoPrice::NoRate { from: "GBP".parse().unwrap(), to: eur() });
    assert_eq!(used(&with(vec![]), "2026-06-01"), no_rate);
    let late = rate("GBP", "EUR", "2", "2026-07-01");
    assert_eq!(used(&with(vec![late]), "2026-06-01"), no_rate);
    let chain = [rate("GBP", "USD", "2", "2026-01-01"), rate("USD", "EUR", "2", "2026-01-01")];
    assert_eq!(used(&with(chain.to_vec()), "2026-06-01"), no_rate);
    let inverse = rate("EUR", "GBP", "0.8", "2026-05-01");
    assert_eq!(used(&with(vec![inverse.clone()]), "2026-06-01"), Ok(n("5/4")));
    let direct = rate("GBP", "EUR", "1.1", "2026-01-01");
    let corrected = rate("GBP", "EUR", "1.2", "2026-01-01");
    assert_eq!(used(&with(vec![inverse, direct, corrected]), "2026-06-01"), Ok(n("6/5")));
}

#[test]
fn standard_unit_cost_goes_up_the_tree_without_batches() {
    let larder = larder();
    let dough = residue(recipe("dough", vec![take("flour", "1 kg")]), "100 g");
    let roll = pieces(recipe("roll", vec![component("dough", "450 g")]), "9", None);
    let recipes = [dough, roll];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let lists = [group()];
    let costs = standard_costs(&book, &PriceBook::of_group(eur(), &lists), day("2026-06-01"));
    // 0.80 EUR of flour make 900 g of dough; 450 g of it make 9 rolls.
    let roll = costs[1].clone().unwrap();
    assert_eq!(roll.food, n("2/5"));
    assert_eq!(roll.per_piece, Some(n("2/45")));
    assert!(roll.complete);
    assert_eq!(price_for_share(&roll.food, &Share(n("1/4"))), Some(n("8/5")));
    assert_eq!(price_for_share(&roll.food, &Share(n("0"))), None);
}
