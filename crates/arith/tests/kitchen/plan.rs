//! Plans worked by hand.

use crate::book::*;
use chablon_arith::{Demand, Library, Plan, PlanError, SiteKit, Target, compile, plan};
use chablon_model::{Ingredient, Recipe};

fn ingredients() -> Vec<Ingredient> {
    ["flour", "butter", "sugar", "milk"].into_iter().map(ingredient).collect()
}

fn plan_of(
    recipes: &[Recipe],
    demands: &[(&str, Target)],
    site: Option<&SiteKit>,
) -> Result<Plan, PlanError> {
    let ingredients = ingredients();
    let (book, problems) = compile(&Library::new(&ingredients, recipes));
    assert_eq!(problems, []);
    let demands: Vec<Demand> = demands
        .iter()
        .map(|(id, target)| Demand::new(id.parse().unwrap(), target.clone()))
        .collect();
    plan(&book, &demands, site)
}

#[test]
fn a_mass_is_scaled_by_yield_and_losses() {
    // 1000 g in, 10 % lost, 900 g out; 1800 g need 2000 g in.
    let dough = loses(recipe("dough", vec![take("flour", "600 g"), take("milk", "400 g")]), "10 %");
    let plan = plan_of(&[dough], &[("dough", Target::grams(1800))], None).unwrap();
    let dough = &plan.components[0];
    assert_eq!(dough.factor, n("2"));
    assert_eq!(dough.input, n("2000"));
    assert_eq!(dough.lines[0].mass, n("1200"));
    assert_eq!(plan.ingredients[1].mass, n("800"));
}

#[test]
fn largest_on_hand_is_found_though_demand_falls_at_a_batch_split() {
    // Each batch takes 100 g of butter whatever its size and at most 300 g in all. 300 g are one
    // batch with 200 g of flour; 301 g are two, with 101 g of flour.
    let mix = recipe("mix", vec![take("flour", "200 g"), per_batch(take("butter", "100 g"))]);
    let mix = at_most(mix, "300 g");
    let on_hand =
        |mass: &str| Target::OnHand { ingredient: "flour".parse().unwrap(), mass: n(mass) };
    let net = |mass: &str| {
        let plan = plan_of(std::slice::from_ref(&mix), &[("mix", on_hand(mass))], None).unwrap();
        (plan.products[0].net.clone(), plan.ingredients[1].mass.clone())
    };
    assert_eq!(net("150"), (n("350"), n("150")));
    assert_eq!(net("200"), (n("400"), n("200")));
    assert_eq!(net("401"), (n("701"), n("401")));
}
