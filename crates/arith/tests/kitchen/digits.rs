//! Figures that floats decide have the digits of exact arithmetic, at ties too.

use chablon_arith::{
    CompiledBook, Demand, Explosion, IngredientIndex, Library, PriceBook, RecipeIndex, Recost,
    SiteKit, Target, compile, explode, plan, recost, standard_costs,
};
use chablon_model::EquipmentClass;
use chablon_quantity::{Exact, Rounded};
use proptest::prelude::*;

use crate::book::n;
use crate::generate::{Book, Random, Shape, currency, day, generate};

const SMALL: Shape<'_> =
    Shape { ingredients: 12, levels: &[6, 5, 4, 3], lines: 6, components: 2, ties: true };

fn compiled(book: &Book) -> CompiledBook {
    let (compiled, problems) = compile(&Library::new(&book.ingredients, &book.recipes));
    assert!(problems.iter().all(|one| one.code() == "unexplained-loss"), "{problems:?}");
    compiled
}

/// Compares every unit cost of a recosted book with exact arithmetic; returns how many.
fn compare(book: &CompiledBook, costs: &[Option<Exact>], quick: &Recost) -> usize {
    let mut exact: Vec<Exact> = Vec::new();
    for (at, recipe) in book.recipes().iter().enumerate() {
        let terms = book.lines_of(RecipeIndex(at)).iter().map(|line| match line.uses {
            chablon_arith::Used::Ingredient(index) => {
                costs[index.0].as_ref().map_or(n("0"), |cost| cost * &line.mass)
            }
            chablon_arith::Used::Component(index) => &exact[index.0] * &line.mass,
        });
        let per_gram = terms.sum::<Exact>() / &recipe.net;
        let quick = quick.unit_cost(RecipeIndex(at)).unwrap();
        assert_eq!(quick.per_gram, per_gram.round(4), "{} {per_gram}", recipe.id);
        let per_piece = recipe.piece_mass.as_ref().map(|mass| (&per_gram * mass).round(4));
        assert_eq!(quick.per_piece, per_piece, "{}", recipe.id);
        exact.push(per_gram);
    }
    exact.len()
}

fn gram_costs(book: &CompiledBook, prices: &PriceBook<'_>) -> Vec<Option<Exact>> {
    (0..book.ingredients().len())
        .map(|at| {
            let quote = prices.quote(book, IngredientIndex(at), day()).ok()?;
            Some(quote.per_gram() / &book.ingredients()[at].edible_yield)
        })
        .collect()
}

#[test]
fn a_hundred_thousand_unit_costs() {
    let (mut compared, mut redone) = (0, 0);
    for seed in 0..2800 {
        let shape = Shape { ties: seed % 4 != 0, ..SMALL };
        let book = generate(seed, &shape);
        let compiled = compiled(&book);
        let prices = PriceBook::of_group(currency(), [&book.prices]);
        let costs = gram_costs(&compiled, &prices);
        let mut quick = recost(&compiled, &prices, day());
        redone += quick.redone();
        compared += compare(&compiled, &costs, &quick);
        compared += changed(&compiled, costs, &mut quick, seed);
    }
    assert!(compared >= 100_000, "{compared}");
    // Ties were really met: exact arithmetic had to decide a good part.
    assert!(redone > 1000, "{redone}");
}

/// Changes a few prices, one of them to none, and compares again.
fn changed(
    book: &CompiledBook,
    mut costs: Vec<Option<Exact>>,
    quick: &mut Recost,
    seed: u64,
) -> usize {
    let mut random = Random(seed);
    let changes: Vec<(IngredientIndex, Option<Exact>)> = (0..3)
        .map(|nth| {
            let cost = Exact::ratio(i128::try_from(random.below(500)).unwrap(), 20_000).unwrap();
            (IngredientIndex(random.below(costs.len())), (nth > 0).then_some(cost))
        })
        .collect();
    let before: Vec<_> =
        (0..book.recipes().len()).map(|at| quick.unit_cost(RecipeIndex(at))).collect();
    let touched = quick.change(book, &changes);
    for (index, cost) in changes {
        costs[index.0] = cost;
    }
    for (at, before) in before.into_iter().enumerate() {
        let index = RecipeIndex(at);
        assert!(touched.contains(&index) || quick.unit_cost(index) == before);
    }
    let fresh = Recost::new(book, costs.clone());
    for at in 0..book.recipes().len() {
        assert_eq!(quick.unit_cost(RecipeIndex(at)), fresh.unit_cost(RecipeIndex(at)));
    }
    compare(book, &costs, quick)
}

#[test]
fn a_lower_bound_is_marked_where_a_price_is_missing() {
    let book = generate(7, &SMALL);
    let compiled = compiled(&book);
    let mut list = book.prices.clone();
    list.prices.remove(0);
    let prices = PriceBook::of_group(currency(), [&list]);
    let quick = recost(&compiled, &prices, day());
    let exact = standard_costs(&compiled, &prices, day());
    for (at, exact) in exact.into_iter().enumerate() {
        let (quick, exact) = (quick.unit_cost(RecipeIndex(at)).unwrap(), exact.unwrap());
        assert_eq!(quick.complete, exact.complete);
        assert_eq!(quick.per_gram, exact.per_gram.round(4));
        assert_eq!(quick.per_piece, exact.per_piece.map(|cost| cost.round(4)));
    }
}

/// Demands that put masses on a half of the last digit, beside it, and anywhere.
fn demand(random: &mut Random, net: &Exact) -> Exact {
    let whole = Exact::from(u64::try_from(1 + random.below(4000)).unwrap());
    let nudge = Exact::from(u64::try_from(random.below(3)).unwrap()) * Exact::power_of_ten(-17);
    match random.below(4) {
        0 => net * whole / Exact::from(80_000),
        1 => net * (whole / Exact::from(80_000) + nudge),
        2 => net * whole / Exact::from(7_919),
        _ => whole + nudge,
    }
}

#[test]
fn a_hundred_thousand_masses_and_costs() {
    let mut compared = 0;
    let class: EquipmentClass = "mixer".parse().unwrap();
    for seed in 0..700 {
        let shape = Shape { ties: seed % 4 != 0, ..SMALL };
        let mut book = generate(seed, &shape);
        for recipe in book.recipes.iter_mut().step_by(2) {
            recipe.batch.equipment = Some(class.clone());
        }
        let mut random = Random(seed);
        let bowl = Exact::from(u64::try_from(40 + random.below(200)).unwrap());
        let site = SiteKit { capacities: [(class.clone(), bowl)].into(), ..SiteKit::default() };
        let compiled = compiled(&book);
        let costs = gram_costs(&compiled, &PriceBook::of_group(currency(), [&book.prices]));
        let root = RecipeIndex(compiled.recipes().len() - 1 - random.below(3));
        let explosion = Explosion::new(&compiled, &[root], Some(&site)).unwrap();
        let gram_costs = explosion.gram_costs(currency(), |index| costs[index.0].clone());
        for _ in 0..10 {
            let net = demand(&mut random, &compiled.recipe(root).net);
            let quick = explosion.food_cost(std::slice::from_ref(&net), &gram_costs).unwrap();
            let masses = explosion.exact_masses(std::slice::from_ref(&net)).unwrap();
            let exact: Vec<Rounded> = masses.iter().map(|mass| mass.round(3)).collect();
            assert_eq!(quick.masses.iter().collect::<Vec<_>>(), exact);
            assert_eq!(explosion.masses(std::slice::from_ref(&net)).unwrap(), quick.masses);
            let priced = masses.iter().zip(explosion.ingredients());
            let priced = priced.map(|(mass, index)| mass * costs[index.0].as_ref().unwrap());
            let priced: Vec<Exact> = priced.collect();
            let rounded: Vec<Rounded> = priced.iter().map(|cost| cost.round(2)).collect();
            assert_eq!(quick.costs.iter().collect::<Vec<_>>(), rounded);
            assert_eq!(quick.food, priced.iter().sum::<Exact>().round(2));
            compared += 2 * masses.len() + 1;
        }
    }
    assert!(compared >= 100_000, "{compared}");
}

proptest! {
    #[test]
    fn an_explosion_has_the_digits_of_a_plan(seed in any::<u64>(), thousandths in 1u32..10_000_000) {
        let book = generate(seed, &SMALL);
        let compiled = compiled(&book);
        let id = book.recipes.last().unwrap().id.clone();
        let target = Target::NetMass(Exact::from(thousandths) / Exact::from(1000));
        let demand = Demand::new(id, target);
        let plan = plan(&compiled, std::slice::from_ref(&demand), None).unwrap();
        let quick = explode(&compiled, &demand, None).unwrap();
        prop_assert_eq!(plan.ingredients.len(), quick.len());
        for (total, (index, mass)) in plan.ingredients.iter().zip(quick) {
            prop_assert_eq!(&total.ingredient, &compiled.ingredient(index).id);
            prop_assert_eq!(total.mass.round(3), mass);
        }
    }
}
