//! Laws that hold for any book.

use chablon_arith::{
    CompiledBook, Demand, Library, Plan, PriceBook, RecipeIndex, ScaleKit, SiteKit, Target,
    compile, cost, plan, standard_costs,
};
use chablon_model::{Loss, LossKind, Recipe, Scaling, Uses};
use chablon_quantity::{Authored, Exact, MassUnit, Number, ShareUnit};
use proptest::prelude::*;

use crate::book::n;
use crate::generate::{Book, Random, Shape, currency, day, generate};

const SMALL: Shape<'_> =
    Shape { ingredients: 8, levels: &[4, 3, 2], lines: 4, components: 2, ties: false };

/// An invented book with losses, and with residues, fixed amounts and bounds of a batch besides.
fn uneven(seed: u64, batches: bool) -> Book {
    let mut book = generate(seed, &SMALL);
    let mut random = Random(seed ^ 1);
    for recipe in &mut book.recipes {
        recipe.yields = None;
        for _ in 0..random.below(3) {
            let fraction = Authored::new(number(random.below(30)), ShareUnit);
            let kind = random.of(&[LossKind::Water, LossKind::Whole]);
            recipe.losses.push(Loss::Stage { stage: None, kind, fraction });
        }
        if batches {
            effects(recipe, &mut random);
        }
    }
    book
}

fn number(value: usize) -> Number {
    Number::whole(i64::try_from(value).unwrap())
}

fn grams(value: usize) -> Authored<MassUnit> {
    Authored::new(number(value), MassUnit::Gram)
}

fn effects(recipe: &mut Recipe, random: &mut Random) {
    if random.below(2) == 0 {
        recipe.losses.push(Loss::Residue { stage: None, mass: grams(random.below(5)) });
    }
    if random.below(2) == 0 {
        recipe.batch.max = Some(grams(300 + random.below(4000)));
    }
    for line in &mut recipe.lines[1..] {
        line.scaling = random.of(&[Scaling::Proportional, Scaling::Whole, Scaling::PerBatch]);
    }
}

fn compiled(book: &Book) -> CompiledBook {
    compile(&Library::new(&book.ingredients, &book.recipes)).0
}

/// The plan of a book's last recipe, where its demand can be met at all.
fn planned(book: &CompiledBook, target: Target) -> Option<Plan> {
    let recipe = book.recipes().last()?.id.clone();
    plan(book, &[Demand::new(recipe, target)], None).ok()
}

fn masses(plan: &Plan) -> Vec<Exact> {
    plan.components.iter().flat_map(|one| &one.lines).map(|line| line.mass.clone()).collect()
}

proptest! {
    #[test]
    fn scaling_by_a_and_then_b_is_scaling_by_both(seed in any::<u64>(), a in 1u32..5000, b in 1u32..5000) {
        let book = compiled(&uneven(seed, false));
        let (a, b) = (Exact::from(a) / n("137"), Exact::from(b) / n("211"));
        let first = planned(&book, Target::Factor(a.clone())).unwrap();
        let net = first.products[0].net.clone();
        let then = planned(&book, Target::NetMass(net * &b)).unwrap();
        let both = planned(&book, Target::Factor(a * &b)).unwrap();
        prop_assert_eq!(masses(&then), masses(&both));
        let scaled: Vec<Exact> = masses(&first).iter().map(|mass| mass * &b).collect();
        prop_assert_eq!(scaled, masses(&both));
    }

    #[test]
    fn mass_balances_exactly(seed in any::<u64>(), grams in 1u32..1_000_000) {
        let book = compiled(&uneven(seed, true));
        let Some(plan) = planned(&book, Target::NetMass(Exact::from(grams) / n("7"))) else {
            return Ok(());
        };
        for component in &plan.components {
            let recipe = book.recipe(component.index);
            let input: Exact = component.lines.iter().map(|line| &line.mass).sum();
            prop_assert_eq!(&input, &component.input);
            // What the stated losses leave, less the residue of every batch, is the net mass.
            let net = &input * &recipe.kept - &recipe.residue * &component.batches;
            prop_assert_eq!(&net, &component.net);
            let asked: Exact = plan
                .components
                .iter()
                .flat_map(|user| &user.lines)
                .filter(|line| line.uses == Uses::Component(component.recipe.clone()))
                .map(|line| &line.mass)
                .sum();
            let product = &plan.products[0];
            let own = if product.recipe == component.recipe { product.net.clone() } else { n("0") };
            prop_assert_eq!(asked + own, component.net.clone());
            let largest = recipe.batch_max.clone();
            prop_assert!(largest.is_none_or(|most| &input / &component.batches <= most));
        }
        for total in &plan.ingredients {
            let used = Uses::Ingredient(total.ingredient.clone());
            let lines = plan.components.iter().flat_map(|one| &one.lines);
            let sum: Exact = lines.filter(|line| line.uses == used).map(|line| &line.mass).sum();
            prop_assert_eq!(&sum, &total.mass);
        }
    }

    #[test]
    fn components_are_listed_before_users_and_the_smallest_first(seed in any::<u64>()) {
        let book = compiled(&uneven(seed, false));
        let plan = planned(&book, Target::grams(1)).unwrap();
        let mut waiting: Vec<_> = plan.components.iter().collect();
        let mut listed = Vec::new();
        while !waiting.is_empty() {
            let ready = waiting.iter().filter(|one| {
                one.lines.iter().all(|line| match &line.uses {
                    Uses::Component(id) => listed.contains(id),
                    Uses::Ingredient(_) => true,
                })
            });
            let next = ready.map(|one| one.recipe.clone()).min().unwrap();
            waiting.retain(|one| one.recipe != next);
            listed.push(next);
        }
        let order: Vec<_> = plan.components.iter().map(|one| one.recipe.clone()).collect();
        prop_assert_eq!(order, listed);
    }

    #[test]
    fn products_planned_together_add_up_where_batches_have_no_effect(seed in any::<u64>()) {
        let book = compiled(&uneven(seed, false));
        let ids: Vec<_> = book.recipes().iter().rev().take(3).map(|one| one.id.clone()).collect();
        let demand = |at: usize| Demand::new(ids[at].clone(), Target::grams(100 + at as u64));
        let together = plan(&book, &[demand(0), demand(1), demand(2)], None).unwrap();
        for total in &together.ingredients {
            let apart = (0..3).map(|at| {
                let plan = plan(&book, &[demand(at)], None).unwrap();
                let mut totals = plan.ingredients.into_iter();
                totals.find(|one| one.ingredient == total.ingredient).map_or(n("0"), |one| one.mass)
            });
            prop_assert_eq!(apart.sum::<Exact>(), total.mass.clone());
        }
    }

    #[test]
    fn a_written_batch_costs_its_standard_where_batches_have_no_effect(seed in any::<u64>()) {
        let invented = uneven(seed, false);
        let book = compiled(&invented);
        let prices = PriceBook::of_group(currency(), [&invented.prices]);
        let standard = standard_costs(&book, &prices, day()).pop().unwrap().unwrap();
        let plan = planned(&book, Target::Factor(n("3"))).unwrap();
        let costing = cost(&book, &plan, &prices, day());
        prop_assert_eq!(costing.food, &standard.food * n("3"));
        prop_assert_eq!(costing.per_kg, &standard.per_gram * n("1000"));
        let whole_packs = costing.order.iter().map(|line| &line.cost).sum::<Exact>();
        prop_assert!(whole_packs >= costing.total);
    }

    #[test]
    fn a_reading_is_the_nearest_and_halves_go_up(steps in 1u32..100_000, part in 0u32..8, w in 1u32..4) {
        // A line of so many steps and eighths of a step, on a scale that takes w weighings.
        let mass = (Exact::from(steps) + Exact::from(part) / n("8")) * Exact::from(w);
        let scale = ScaleKit { name: "bench".to_owned(), capacity: &mass / Exact::from(w), increment: n("1") };
        let site = SiteKit { scales: vec![scale], ..SiteKit::default() };
        let mut invented = generate(1, &Shape { levels: &[1], lines: 1, ..SMALL });
        invented.recipes[0].yields = None;
        let book = compiled(&invented);
        let demand = Demand::new(invented.recipes[0].id.clone(), Target::NetMass(mass.clone()));
        let plan = plan(&book, &[demand], Some(&site)).unwrap();
        let weigh = plan.components[0].lines[0].weigh.clone().unwrap();
        let nearest = Exact::from(steps) + if part >= 4 { n("1") } else { n("0") };
        prop_assert_eq!(&weigh.reading, &nearest);
        prop_assert_eq!(&weigh.weighings, &Exact::from(w));
        prop_assert_eq!(&weigh.error, &((nearest * Exact::from(w) - &mass).abs() / mass));
    }

    #[test]
    fn on_hand_finds_what_a_plain_search_finds(seed in any::<u64>(), grams in 1u32..6000, at in 0usize..8) {
        let invented = uneven(seed, true);
        let book = compiled(&invented);
        let Some(last) = book.recipes().last() else { return Ok(()) };
        let ingredient = invented.ingredients[at].id.clone();
        let index = book.find_ingredient(&ingredient).unwrap();
        let mass = Exact::from(grams) / n("3");
        let edible = &mass * &book.ingredient(index).edible_yield;
        let needs = |units: u64| {
            let demand = Demand::new(last.id.clone(), Target::grams(units));
            let plan = plan(&book, &[demand], None).ok()?;
            let total = plan.ingredients.into_iter().find(|one| one.ingredient == ingredient);
            Some(total.map_or(n("0"), |one| one.mass))
        };
        let target = Target::OnHand { ingredient: ingredient.clone(), mass };
        let demand = Demand::new(last.id.clone(), target);
        match plan(&book, &[demand], None) {
            Ok(plan) => {
                let net = plan.products[0].net.to_u64().unwrap();
                prop_assert!(needs(net).unwrap() <= edible);
                // Nothing above it, as far as is quick to look, and in strides from there on.
                let beyond = (1..300).map(|by| net + by).chain((1..300).map(|by| net + by * 97));
                for units in beyond {
                    prop_assert!(needs(units).is_none_or(|mass| mass > edible), "{} {}", net, units);
                }
            }
            Err(error) if error.code() == "on-hand-too-little" => {
                for units in 1..200 {
                    prop_assert!(needs(units).is_none_or(|mass| mass > edible), "{}", units);
                }
            }
            Err(error) => {
                let known = ["on-hand-not-used", "on-hand-no-limit", "below-per-batch",
                    "capacity-below-residue", "recipe-refused"];
                prop_assert!(known.contains(&error.code()), "{}", error);
            }
        }
    }
}

#[test]
fn the_books_of_these_laws_can_be_planned() {
    let met = (0..300).filter(|seed| {
        let book = compiled(&uneven(*seed, true));
        planned(&book, Target::grams(5000)).is_some()
    });
    assert!(met.count() > 100);
    let whole = compiled(&uneven(3, false));
    assert_eq!(whole.recipes().len(), 9);
    assert!(whole.lines_of(RecipeIndex(8)).len() == 4);
}
