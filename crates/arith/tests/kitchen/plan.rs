//! Plans worked by hand.

use chablon_arith::{
    Demand, Hint, Library, Plan, PlanError, PlannedRecipe, SiteKit, Target, WeighFlag, compile,
    plan,
};
use chablon_model::{Content, Ingredient, Labour, Line, Nutrient, Recipe};
use chablon_quantity::Exact;
use test_case::test_case;

use crate::book::*;

fn larder() -> Vec<Ingredient> {
    let egg = Ingredient {
        piece_mass: Some(q("50 g")),
        edible_yield: Some(q("80 %")),
        ..ingredient("egg")
    };
    let milk = Ingredient { density: Some(q("1.03 g/mL")), ..ingredient("milk") };
    let mut larder = vec![egg, milk];
    larder.extend(["butter", "flour", "salt", "sugar", "vanilla"].map(ingredient));
    larder
}

fn plan_of(
    recipes: &[Recipe],
    demands: &[(&str, Target)],
    site: Option<&SiteKit>,
) -> Result<Plan, PlanError> {
    let larder = larder();
    let (book, problems) = compile(&Library::new(&larder, recipes));
    assert!(problems.iter().all(|one| one.code() == "unexplained-loss"), "{problems:?}");
    let demand = |(id, target): &(&str, Target)| Demand::new(id.parse().unwrap(), target.clone());
    let demands: Vec<Demand> = demands.iter().map(demand).collect();
    plan(&book, &demands, site)
}

fn one(recipe: &Recipe, target: Target) -> PlannedRecipe {
    at(recipe, target, None)
}

fn at(recipe: &Recipe, target: Target, site: Option<&SiteKit>) -> PlannedRecipe {
    let id = recipe.id.as_str();
    let mut plan = plan_of(std::slice::from_ref(recipe), &[(id, target)], site).unwrap();
    plan.components.remove(0)
}

fn masses(planned: &PlannedRecipe) -> Vec<Exact> {
    planned.lines.iter().map(|line| line.mass.clone()).collect()
}

fn codes(planned: &PlannedRecipe) -> Vec<&'static str> {
    planned.warnings.iter().map(chablon_arith::Warning::code).collect()
}

#[test]
fn a_mass_is_scaled_by_yield_and_losses() {
    // 1000 g in, 10 % lost, 900 g out; 1800 g need 2000 g in.
    let dough = loses(recipe("dough", vec![take("flour", "600 g"), take("milk", "400 g")]), "10 %");
    let dough = one(&dough, Target::grams(1800));
    assert_eq!(dough.factor, n("2"));
    assert_eq!(dough.input, n("2000"));
    assert_eq!(masses(&dough), [n("1200"), n("800")]);
}

#[test]
fn every_kind_of_amount_has_a_mass() {
    let lines = vec![
        base(take("flour", "500 g")),
        base(take("sugar", "1 lb")),
        take("milk", "1/2 cup"),
        take("egg", "3 pieces"),
        take("salt", "2 %"),
        take("vanilla", "to taste"),
    ];
    let planned = one(&recipe("cake", lines), Target::Factor(n("1")));
    let pound = n("45359237/100000");
    let half_cup = n("473176473/4000000");
    let share = (n("500") + &pound) * n("1/50");
    let milk = half_cup * n("103/100");
    assert_eq!(masses(&planned), [n("500"), pound, milk, n("150"), share, n("0")]);
    assert_eq!(codes(&planned), ["to-taste"]);
}

#[test_case(Target::pieces(96), "2"; "pieces")]
#[test_case(Target::grams(2112), "2"; "net mass")]
#[test_case(Target::Factor(n("2")), "2"; "factor")]
#[test_case(Target::WrittenBatches(n("2")), "2"; "written batches")]
#[test_case(Target::Pieces(n("1/2")), "1/96"; "half a piece")]
fn every_target_asks_for_a_net_mass(target: Target, factor: &str) {
    let cream = recipe("cream", vec![take("milk", "1056 g")]);
    let cream = pieces(cream, "48", Some("22 g"));
    assert_eq!(one(&cream, target).factor, n(factor));
}

#[test]
fn written_batches_are_made_apart_where_no_bowl_bounds_them() {
    let cream = makes(recipe("cream", vec![take("milk", "500 g")]), "500 g");
    assert_eq!(one(&cream, Target::WrittenBatches(n("5/2"))).batches, n("3"));
    assert_eq!(one(&cream, Target::Factor(n("5/2"))).batches, n("1"));
    let bounded = at_most(cream, "2 kg");
    assert_eq!(one(&bounded, Target::WrittenBatches(n("5/2"))).batches, n("1"));
}

#[test]
fn residue_and_fixed_amounts_count_for_every_batch() {
    // A batch of at most 1000 g in makes 950 g. 1800 g are two batches: 1900 g in all, of which
    // 200 g are fixed; the others make up 1700 g of 900 written.
    let lines = vec![take("milk", "900 g"), per_batch(take("butter", "100 g"))];
    let mix = at_most(residue(recipe("mix", lines), "50 g"), "1 kg");
    let planned = one(&mix, Target::grams(1800));
    assert_eq!(planned.batches, n("2"));
    assert_eq!(masses(&planned), [n("1700"), n("200")]);
    assert_eq!(planned.factor, n("17/9"));
    assert_eq!(planned.lines[0].per_batch, n("850"));
    assert_eq!(planned.input, n("1900"));
}

#[test]
fn the_smaller_of_recipe_and_bowl_bounds_a_batch() {
    let mut mix = at_most(recipe("mix", vec![take("milk", "1 kg")]), "4 kg");
    mix.batch.equipment = Some("mixer".parse().unwrap());
    let small = SiteKit::from(&bowl(bowl(site("harbour"), "mixer", "2 kg"), "mixer", "3 kg"));
    let large = SiteKit::from(&bowl(site("millrace"), "mixer", "12 kg"));
    let other = SiteKit::from(&bowl(site("station"), "oven", "1 kg"));
    let batches = |site| at(&mix, Target::grams(12_000), site).batches;
    assert_eq!(batches(Some(&small)), n("4"));
    assert_eq!(batches(Some(&large)), n("3"));
    assert_eq!(batches(Some(&other)), n("3"));
    assert_eq!(batches(None), n("3"));
}

#[test]
fn a_batch_below_the_minimum_is_warned_of_and_made_as_asked() {
    let mut mix = recipe("mix", vec![take("milk", "1 kg")]);
    mix.batch.min = Some(q("500 g"));
    assert_eq!(codes(&one(&mix, Target::grams(499))), ["below-minimum-batch"]);
    assert!(codes(&one(&mix, Target::grams(500))).is_empty());
}

#[test]
fn a_yield_that_the_losses_do_not_explain_is_warned_of() {
    let mix = |yields| makes(recipe("mix", vec![take("milk", "1 kg")]), yields);
    assert!(codes(&one(&mix("970 g"), Target::grams(100))).is_empty());
    assert_eq!(codes(&one(&mix("969 g"), Target::grams(100))), ["unexplained-loss"]);
    assert_eq!(codes(&one(&mix("1031 g"), Target::grams(100))), ["unexplained-loss"]);
}

#[test]
fn a_shared_component_is_made_once_for_all_products() {
    let cream = at_most(recipe("cream", vec![take("milk", "1 kg")]), "1 kg");
    let tart = pieces(recipe("tart", vec![component("cream", "100 g")]), "2", None);
    let bun =
        pieces(recipe("bun", vec![component("cream", "30 g"), take("flour", "70 g")]), "1", None);
    let recipes = [tart, bun, cream];
    let plan = plan_of(&recipes, &[("tart", Target::pieces(6)), ("bun", Target::pieces(30))], None);
    let plan = plan.unwrap();
    let order: Vec<&str> = plan.components.iter().map(|one| one.recipe.as_str()).collect();
    assert_eq!(order, ["cream", "bun", "tart"]);
    let cream = &plan.components[0];
    assert_eq!((&cream.net, &cream.batches), (&n("1200"), &n("2")));
    let totals: Vec<&Exact> = plan.ingredients.iter().map(|one| &one.mass).collect();
    assert_eq!(totals, [&n("2100"), &n("1200")]);
    assert_eq!(plan.products[0].net, n("300"));
    assert_eq!(plan.products[1].pieces, Some(n("30")));
}

#[test]
fn a_component_is_counted_and_measured_by_its_own_figures() {
    let mut cream = recipe("cream", vec![take("milk", "500 g")]);
    cream.density = Some(q("0.5 g/mL"));
    let shell = pieces(recipe("shell", vec![take("flour", "300 g")]), "10", None);
    let lines = vec![component("cream", "40 mL"), component("shell", "1 piece")];
    let puff = pieces(recipe("puff", lines), "1", None);
    let plan = plan_of(&[cream, puff, shell], &[("puff", Target::pieces(20))], None).unwrap();
    let nets: Vec<&Exact> = plan.components.iter().map(|one| &one.net).collect();
    assert_eq!(nets, [&n("400"), &n("600"), &n("1000")]);
    assert_eq!(plan.components[1].pieces, Some(n("20")));
}

#[test]
fn a_component_to_taste_is_listed_and_not_made() {
    let cream = recipe("cream", vec![take("milk", "500 g")]);
    let tart = recipe("tart", vec![take("flour", "1 kg"), component("cream", "to taste")]);
    let plan = plan_of(&[cream, tart], &[("tart", Target::grams(500))], None).unwrap();
    assert_eq!(plan.components.len(), 1);
    assert_eq!(masses(&plan.components[0]), [n("500"), n("0")]);
    assert_eq!(codes(&plan.components[0]), ["to-taste"]);
}

fn refused(recipe: &Recipe, target: Target) -> PlanError {
    let id = recipe.id.as_str();
    plan_of(std::slice::from_ref(recipe), &[(id, target)], None).unwrap_err()
}

fn on_hand(ingredient: &str, mass: &str) -> Target {
    Target::OnHand { ingredient: ingredient.parse().unwrap(), mass: n(mass) }
}

#[test_case(Target::pieces(2), "no-pieces")]
#[test_case(Target::grams(0), "not-positive")]
#[test_case(Target::Factor(n("-1")), "not-positive")]
#[test_case(on_hand("nothing", "1"), "unknown-ingredient")]
#[test_case(on_hand("sugar", "100"), "on-hand-not-used")]
#[test_case(on_hand("vanilla", "100"), "on-hand-not-used"; "to taste is not used")]
#[test_case(on_hand("milk", "0"), "not-positive"; "nothing on hand")]
#[test_case(on_hand("milk", "1/2"), "on-hand-too-little")]
#[test_case(on_hand("butter", "100"), "on-hand-no-limit")]
#[test_case(on_hand("butter", "99"), "on-hand-too-little"; "less than a batch takes")]
#[test_case(Target::grams(100), "below-per-batch")]
fn a_target_is_refused(target: Target, code: &str) {
    let lines = vec![
        take("milk", "900 g"),
        per_batch(take("butter", "100 g")),
        take("vanilla", "to taste"),
    ];
    assert_eq!(refused(&recipe("mix", lines), target).code(), code);
}

#[test]
fn a_bowl_that_its_residue_fills_is_refused() {
    let mix = residue(recipe("mix", vec![take("milk", "1 kg")]), "100 g");
    let error = refused(&at_most(mix, "100 g"), Target::grams(10));
    let text = "a bowl of 100.000 g gives 100.000 g of `mix`, and 100.000 g stays behind";
    assert_eq!((error.code(), error.to_string().as_str()), ("capacity-below-residue", text));
}

#[test]
fn more_is_refused_than_one_demand_can_say() {
    let mix = recipe("mix", vec![take("milk", "1 kg")]);
    let recipes = [mix];
    let code = |demands: &[(&str, Target)]| plan_of(&recipes, demands, None).unwrap_err().code();
    assert_eq!(code(&[]), "nothing-asked");
    assert_eq!(code(&[("bread", Target::grams(1))]), "unknown-recipe");
    let both = [("mix", on_hand("milk", "10")), ("mix", Target::grams(1))];
    assert_eq!(code(&both), "on-hand-among-others");
}

#[test]
fn largest_on_hand_is_found_though_demand_falls_at_a_batch_split() {
    // Each batch takes 100 g of butter whatever its size and at most 300 g in all. 300 g are one
    // batch with 200 g of flour; 301 g are two, with 101 g of flour.
    let mix = recipe("mix", vec![take("flour", "200 g"), per_batch(take("butter", "100 g"))]);
    let mix = at_most(mix, "300 g");
    let makes = |mass: &str| {
        let planned = one(&mix, on_hand("flour", mass));
        (planned.net, planned.lines[0].mass.clone())
    };
    assert_eq!(makes("150"), (n("350"), n("150")));
    assert_eq!(makes("200"), (n("400"), n("200")));
    assert_eq!(makes("401"), (n("701"), n("401")));
}

#[test]
fn what_is_on_hand_is_purchased() {
    // 1 kg of eggs is 800 g edible: 16 pieces' worth of 50 g.
    let cake = pieces(recipe("cake", vec![take("egg", "1 piece")]), "1", None);
    assert_eq!(one(&cake, on_hand("egg", "1000")).net, n("800"));
    assert_eq!(one(&cake, on_hand("egg", "1062")).pieces, Some(n("16")));
    assert_eq!(one(&cake, on_hand("egg", "1063")).pieces, Some(n("17")));
}

fn scales() -> SiteKit {
    let fine = scale(site("harbour"), "fine", "200 g", "0.1 g");
    SiteKit::from(&scale(scale(fine, "bench", "6 kg", "1 g"), "floor", "30 kg", "20 g"))
}

#[test_case("150.04 g", "fine", "1", "150"; "the finest that reaches it")]
#[test_case("200 g", "fine", "1", "200"; "at its capacity")]
#[test_case("200.5 g", "bench", "1", "201"; "half an increment rounds up")]
#[test_case("6 kg", "bench", "1", "6000"; "bench at its capacity")]
#[test_case("6001 g", "floor", "1", "6000"; "the next one")]
#[test_case("70 kg", "floor", "3", "23340"; "in equal weighings")]
fn a_line_is_weighed(amount: &str, scale: &str, weighings: &str, reading: &str) {
    let mix = recipe("mix", vec![take("milk", amount)]);
    let planned = at(&mix, Target::Factor(n("1")), Some(&scales()));
    let weigh = planned.lines[0].weigh.as_ref().unwrap();
    assert_eq!(weigh.scale, scale);
    assert_eq!((&weigh.weighings, &weigh.reading), (&n(weighings), &n(reading)));
    assert_eq!(weigh.flag, None);
}

#[test]
fn what_the_scales_cannot_weigh_is_flagged_with_what_helps() {
    let lines = vec![take("milk", "900 g"), take("salt", "1.34 g"), take("vanilla", "0.04 g")];
    let mix = at_most(recipe("mix", lines), "20 kg");
    let planned = at(&mix, Target::Factor(n("1")), Some(&scales()));
    let [milk, salt, vanilla] = &planned.lines[..] else { panic!("three lines") };
    assert_eq!((milk.flag(), salt.flag()), (None, Some(WeighFlag::OverTolerance)));
    assert_eq!(vanilla.flag(), Some(WeighFlag::ReadsZero));
    assert_eq!(vanilla.weigh.as_ref().unwrap().error_percent(), n("100"));
    assert_eq!(codes(&planned), ["over-tolerance", "over-tolerance"]);
    // Half of 0.1 g is 2 % of 2.5 g: from there on any mass is near enough.
    let Hint::FinerScale { increment } = &salt.hints[0] else { panic!("a finer scale") };
    assert_eq!(increment, &n("67/1250"));
    let Hint::LargerBatch { times, mass } = &salt.hints[1] else { panic!("a larger batch") };
    assert_eq!((times, mass), (&n("125/67"), &n("5/2")));
    // 2.5 g of salt in 2.5 g of milk; 2.68 g of that hold 1.34 g of salt.
    let pre_mix =
        Hint::PreMix { carrier: 1, weigh: n("5/2"), carrier_mass: n("5/2"), take: n("67/25") };
    assert_eq!(salt.hints[2], pre_mix);
    // A batch 62.5 times as large doesn't fit the bowl.
    assert!(!vanilla.hints.iter().any(|hint| matches!(hint, Hint::LargerBatch { .. })));
}

#[test]
fn a_pre_mix_takes_what_is_dry_and_goes_in_at_the_same_step() {
    let dry = |id: &str| {
        let stated = [(Nutrient::Water, q("12 g")), (Nutrient::Fat, q("1 g"))];
        Ingredient { content: Content(stated.into()), ..ingredient(id) }
    };
    let mut larder = larder();
    larder.extend(["starch", "cocoa"].map(dry));
    let at_step = |line: Line, id: &str| Line { step: Some(id.parse().unwrap()), ..line };
    let lines = vec![
        at_step(take("cocoa", "4 kg"), "s1"),
        at_step(take("milk", "2 kg"), "s0"),
        at_step(take("starch", "150 g"), "s0"),
        at_step(take("butter", "5 kg"), "s0"),
        at_step(take("salt", "1.34 g"), "s0"),
    ];
    let mix =
        step(step(recipe("mix", lines), "1 min", Labour::PerBatch), "1 min", Labour::PerBatch);
    let (book, _) = compile(&Library::new(&larder, [&mix]));
    let demand = Demand::new(mix.id.clone(), Target::Factor(n("1")));
    let plan = plan(&book, &[demand], Some(&scales())).unwrap();
    let hints = &plan.components[0].lines[4].hints;
    let carriers = hints.iter().filter_map(|hint| match hint {
        Hint::PreMix { carrier, .. } => Some(*carrier),
        _ => None,
    });
    assert_eq!(carriers.collect::<Vec<_>>(), [3], "starch, not the heavier butter, milk or cocoa");
}

#[test]
fn lines_are_shown_in_per_cent_of_the_base() {
    let lines =
        vec![base(take("flour", "900 g")), base(take("sugar", "100 g")), take("salt", "2 %")];
    let dough = one(&recipe("dough", lines), Target::Factor(n("7/3")));
    let shares = dough.lines.iter().map(|line| line.of_base.clone().unwrap());
    assert_eq!(shares.collect::<Vec<_>>(), [n("90"), n("10"), n("2")]);
    let plain = one(&recipe("plain", vec![take("flour", "900 g")]), Target::Factor(n("1")));
    assert_eq!(plain.lines[0].of_base, None);
}

#[test]
fn a_demand_that_cannot_be_made_is_told_in_the_trades_words() {
    let roll = pieces(recipe("roll", vec![take("flour", "1 kg")]), "20", None);
    let told = |recipe: &Recipe, target: Target| {
        let demands = [(recipe.id.as_str(), target)];
        plan_of(std::slice::from_ref(recipe), &demands, None).unwrap_err().to_string()
    };
    assert_eq!(told(&roll, Target::pieces(0)), "there is nothing to make in 0 pieces of `roll`");
    assert_eq!(
        told(&roll, Target::Factor(n("-1/2"))),
        "there is nothing to make in -0.5 times the written amount of `roll`"
    );
    let soup = recipe("soup", vec![take("milk", "1 kg"), per_batch(take("salt", "30 g"))]);
    assert_eq!(
        told(&soup, Target::grams(20)),
        "20 g of `soup` is too little: what every batch takes, however small, makes more than that"
    );
}

#[test]
fn a_tolerance_of_its_own_is_kept() {
    let mut salt = take("salt", "1.34 g");
    salt.tolerance = Some(q("3 %"));
    let planned = at(&recipe("mix", vec![salt]), Target::Factor(n("1")), Some(&scales()));
    // 1.3 g is 2.985 % off.
    assert_eq!(planned.lines[0].flag(), None);
}

#[test]
fn nothing_is_weighed_without_a_site_or_without_a_scale() {
    let mix = recipe("mix", vec![take("milk", "900 g")]);
    assert_eq!(one(&mix, Target::grams(1)).lines[0].weigh, None);
    let bare = SiteKit::from(&site("harbour"));
    assert_eq!(at(&mix, Target::grams(1), Some(&bare)).lines[0].weigh, None);
}
