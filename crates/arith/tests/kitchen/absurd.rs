//! Models that no kitchen has get an answer or a clear refusal, never a panic or a hang.

use std::time::{Duration, Instant};

use chablon_arith::{Demand, Library, Recost, SiteKit, Target, compile, explode, plan};
use chablon_model::{Amount, Loss, Recipe, Uses};
use chablon_quantity::{Exact, Number};

use crate::book::*;

/// Far more than any of these takes, far less than a hang.
const PATIENCE: Duration = Duration::from_mins(1);

fn demand(id: &str, target: Target) -> Demand {
    Demand::new(id.parse().unwrap(), target)
}

#[test]
fn ten_to_the_thirty_pieces() {
    let tart = pieces(recipe("tart", vec![take("flour", "100 g")]), "3", Some("33 g"));
    let tart = at_most(tart, "6 kg");
    let (book, _) = compile(&Library::new(&[ingredient("flour")], &[tart]));
    let many = demand("tart", Target::Pieces(Exact::power_of_ten(30)));
    let plan = plan(&book, std::slice::from_ref(&many), None).unwrap();
    assert_eq!(plan.components[0].pieces, Some(Exact::power_of_ten(30)));
    assert_eq!(plan.components[0].batches, (Exact::power_of_ten(30) / n("180")).ceil());
    let mass = &plan.ingredients[0].mass;
    assert_eq!(explode(&book, &many, None).unwrap()[0].1, mass.round(3));
    let flour = "flour".parse().unwrap();
    let target = Target::OnHand { ingredient: flour, mass: Exact::power_of_ten(32) };
    let back = chablon_arith::plan(&book, &[demand("tart", target)], None).unwrap();
    assert_eq!(back.products[0].pieces, Some(n("3") * Exact::power_of_ten(30)));
}

fn chain(levels: usize, amount: &str) -> Vec<Recipe> {
    let id = |level: usize| format!("level-{level}");
    (0..levels)
        .map(|level| {
            if level == 0 {
                return recipe(&id(0), vec![take("flour", "1 g")]);
            }
            let below = id(level - 1);
            recipe(&id(level), vec![component(&below, amount), component(&below, amount)])
        })
        .collect()
}

#[test]
fn sixty_levels_of_doublings() {
    let recipes: Vec<Recipe> =
        chain(60, "1 g").into_iter().map(|one| pieces(one, "1", Some("1 g"))).collect();
    let mut recipes = recipes;
    for recipe in &mut recipes[1..] {
        // Two pieces of the level below make one of this: half of it is lost.
        recipe.losses = vec![Loss::Stage {
            stage: None,
            kind: chablon_model::LossKind::Whole,
            fraction: q("50 %"),
        }];
    }
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let top = demand("level-59", Target::pieces(1));
    let plan = plan(&book, std::slice::from_ref(&top), None).unwrap();
    let doubled = n("576460752303423488");
    assert_eq!(plan.ingredients[0].mass, doubled);
    assert_eq!(explode(&book, &top, None).unwrap()[0].1, doubled.round(3));
    assert_eq!(plan.components.len(), 60);
}

#[test]
fn a_hundred_thousand_levels() {
    let start = Instant::now();
    let recipes = chain(100_000, "7 g");
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let plan = plan(&book, &[demand("level-99999", Target::grams(14))], None).unwrap();
    assert_eq!((plan.components.len(), &plan.ingredients[0].mass), (100_000, &n("14")));
    let recost = Recost::new(&book, vec![Some(n("1/2000"))]);
    let last = chablon_arith::RecipeIndex(99_999);
    assert_eq!(recost.unit_cost(last).unwrap().per_gram, n("1/2000").round(4));
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_hundred_thousand_levels_over_a_loop() {
    let start = Instant::now();
    let mut recipes = chain(100_000, "7 g");
    recipes[0].lines.push(component("level-3", "1 g"));
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(book.recipes().len(), 0);
    assert_eq!(problems.iter().filter(|one| one.code() == "cycle").count(), 1);
    assert_eq!(problems.len(), 100_000 - 3);
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_chain_that_makes_numbers_explode_is_refused() {
    let start = Instant::now();
    let mut recipes = chain(5000, "7 g");
    for (level, recipe) in recipes.iter_mut().enumerate() {
        // Pieces of a mass with a denominator of its own, counted by the next.
        let mass = format!("{}/{} g", 2 * level + 999_999_937, 2 * level + 1_000_000_007);
        *recipe = pieces(recipe.clone(), "1", None);
        recipe.losses.push(Loss::Residue { stage: None, mass: q(&mass) });
        for line in &mut recipe.lines {
            line.amount = match line.uses {
                Uses::Component(_) => amount("3 pieces"),
                Uses::Ingredient(_) => amount("9 g"),
            };
        }
    }
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert!(problems.iter().any(|one| one.code() == "number-too-large"), "{}", problems.len());
    assert!(book.recipes().len() > 100, "{}", book.recipes().len());
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_hundred_thousand_lines() {
    let start = Instant::now();
    let lines = (0..100_000).map(|_| take("flour", "0.123 g")).collect();
    let recipes = [recipe("mix", lines)];
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let site = SiteKit::from(&scale(site("harbour"), "bench", "6 kg", "1 g"));
    let plan = plan(&book, &[demand("mix", Target::grams(1))], Some(&site)).unwrap();
    assert_eq!(plan.ingredients[0].mass, n("1"));
    // Every line reads 0 and is flagged, with hints.
    assert_eq!(plan.components[0].warnings.len(), 100_000);
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_sum_that_grows_too_long_is_refused() {
    let start = Instant::now();
    let odd = |at: u64| Number::fraction(0, 1, 2 * at + 1_000_000_007).unwrap();
    let lines = (0..50_000).map(|at| {
        let mass = chablon_quantity::Authored::new(odd(at), chablon_quantity::MassUnit::Gram);
        chablon_model::Line { amount: Amount::Mass(mass), ..take("flour", "1 g") }
    });
    let recipes = [recipe("mix", lines.collect())];
    let (_, problems) = compile(&Library::new(&[ingredient("flour")], &recipes));
    assert_eq!(problems[0].code(), "number-too-large");
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn on_hand_among_countless_batches_ends() {
    let start = Instant::now();
    let crumb = at_most(
        recipe("crumb", vec![take("flour", "2 g"), per_batch(take("salt", "1 g"))]),
        "1003/1000 g",
    );
    let cake = recipe("cake", vec![component("crumb", "1 kg"), per_batch(take("salt", "300 g"))]);
    let cake = at_most(cake, "1 kg");
    let larder = [ingredient("flour"), ingredient("salt")];
    let recipes = [crumb, cake];
    let (book, _) = compile(&Library::new(&larder, &recipes));
    for (ingredient, mass) in [("flour", "100000"), ("salt", "99999999999"), ("salt", "301")] {
        let target = Target::OnHand { ingredient: ingredient.parse().unwrap(), mass: n(mass) };
        if let Err(error) = plan(&book, &[demand("cake", target)], None) {
            let expected = ["on-hand-undecided", "on-hand-too-little", "below-per-batch"];
            assert!(expected.contains(&error.code()), "{error}");
        }
    }
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}
